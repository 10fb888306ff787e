// A number that is set by slider, buttons, keys or typing: where does each lead?

export interface Scale {
  readonly least: number;
  readonly most: number;
  /** What a button, an arrow key and the slider move by. */
  readonly step: number;
}

/** The next whole step up (1) or down (-1): from between two steps to the nearer side first. */
export function nudged(value: number, steps: number, { least, most, step }: Scale): number {
  const at = value / step;
  const from = steps > 0 ? Math.floor(at + 1e-9) : Math.ceil(at - 1e-9);
  return Math.min(most, Math.max(least, (from + steps) * step));
}

/** The step nearest to where the slider was dragged. */
export function snapped(value: number, { least, most, step }: Scale): number {
  return Math.min(most, Math.max(least, Math.round(value / step) * step));
}

/** Where a key leads on a slider; null where it is no step. */
export function afterKey(key: string, value: number, scale: Scale): number | null {
  switch (key) {
    case "ArrowRight":
    case "ArrowUp":
      return nudged(value, 1, scale);
    case "ArrowLeft":
    case "ArrowDown":
      return nudged(value, -1, scale);
    case "PageUp":
      return nudged(value, 10, scale);
    case "PageDown":
      return nudged(value, -10, scale);
    case "Home":
      return scale.least;
    case "End":
      return scale.most;
    default:
      return null;
  }
}

/** A typed amount: "2,500,000", "2.5 M", "60"; null where it is none. */
export function typedNumber(text: string): number | null {
  const [, figure, size] = /^\s*([\d\s,.]+?)\s*(m|million|k|thousand)?\s*%?\s*$/i.exec(text) ?? [];
  if (!figure) return null;
  const value = Number(figure.replace(/[\s,]/g, ""));
  if (!Number.isFinite(value)) return null;
  const factor = { m: 1e6, k: 1e3 }[size?.[0]?.toLowerCase() ?? ""] ?? (size?.toLowerCase() === "thousand" ? 1e3 : 1);
  return value * factor;
}

/** A step of 1, 2 or 5 with noughts that cuts a range into at most `count` steps. */
export function roundStep(range: number, count: number): number {
  const least = Math.max(range / count, 1e-9);
  const decade = 10 ** Math.floor(Math.log10(least) + 1e-9);
  return [1, 2, 5, 10].map((edge) => edge * decade).find((step) => step >= least * (1 - 1e-9)) ?? decade * 10;
}
