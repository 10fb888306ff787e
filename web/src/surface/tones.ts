// The map's colours, read from the style sheet so that a theme is one file; read again when the
// page's theme changes.
import type { Dispose } from "../core/dispose.ts";

export interface Tones {
  readonly water: string;
  readonly waterCasing: string;
  readonly paper: string;
  readonly wetland: string;
  readonly forest: string;
  readonly town: string;
  readonly district: string;
  readonly road: string;
  readonly discEdge: string;
  readonly discHalo: string;
  readonly discHole: string;
  readonly litFrom: string;
  readonly litTo: string;
  readonly risk: readonly string[];
  /** Signs of offtakes and lines of rivers are so many times as large as on a desk. */
  readonly signScale: number;
  readonly riverScale: number;
}

export function readTones(element: HTMLElement): Tones {
  const style = getComputedStyle(element);
  const tone = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  return {
    water: tone("water"),
    waterCasing: tone("water-casing"),
    paper: tone("paper"),
    wetland: tone("wetland"),
    forest: tone("forest"),
    town: tone("town"),
    district: tone("district"),
    road: tone("road"),
    discEdge: tone("disc-edge"),
    discHalo: tone("disc-halo"),
    discHole: tone("disc-hole"),
    litFrom: tone("lit-from"),
    litTo: tone("lit-to"),
    signScale: Number(tone("sign-scale")) || 1,
    riverScale: Number(tone("river-scale")) || 1,
    risk: [1, 2, 3, 4, 5].map((step) => tone(`risk-${step}`)),
  };
}

/** Calls back when the page takes another theme. */
export function watchTheme(changed: () => void): Dispose {
  const watcher = new MutationObserver(changed);
  watcher.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
  return () => watcher.disconnect();
}
