// The map's colours, read from the style sheet so that a theme is one file.

export interface Tones {
  readonly water: string;
  readonly waterCasing: string;
  readonly wetland: string;
  readonly forest: string;
  readonly town: string;
  readonly district: string;
  readonly road: string;
  readonly discEdge: string;
  readonly discHalo: string;
  readonly risk: readonly string[];
}

export function readTones(element: HTMLElement): Tones {
  const style = getComputedStyle(element);
  const tone = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    water: tone("water"),
    waterCasing: tone("water-casing"),
    wetland: tone("wetland"),
    forest: tone("forest"),
    town: tone("town"),
    district: tone("district"),
    road: tone("road"),
    discEdge: tone("disc-edge"),
    discHalo: tone("disc-halo"),
    risk: [1, 2, 3, 4, 5].map((step) => tone(`risk-${step}`)),
  };
}
