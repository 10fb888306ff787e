// The twelve-month chart as numbers: draw and passing drifters as stepped lines, their overlap as
// bars below both.
import type { Month } from "../wire/why.ts";

const NAMES = [
  "January", "February", "March", "April", "May", "June",
  "July", "August", "September", "October", "November", "December",
] as const;

export function monthName(month: number): string {
  return NAMES[month - 1] ?? String(month);
}

export function monthInitial(month: number): string {
  return monthName(month).charAt(0);
}

/** The chart's field in its own units; y grows downwards. */
export interface Field {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export interface SeasonShape {
  /** Share at the top of the field. */
  readonly most: number;
  /** Shares that get a line across. */
  readonly marks: readonly number[];
  readonly passing: string;
  /** "" and no bars where the draw may not be seen. */
  readonly draw: string;
  readonly bars: readonly { readonly x: number; readonly y: number; readonly width: number; readonly height: number }[];
}

const STEPS = [0.02, 0.05, 0.1, 0.2, 0.25, 0.5];
const MOST_MARKS = 4;

export function seasonShape(months: readonly Month[], field: Field): SeasonShape {
  const peak = Math.max(...months.flatMap((each) => [each.draw_share ?? 0, each.passing_share]), 0.01);
  const step = STEPS.find((each) => peak / each <= MOST_MARKS) ?? 0.5;
  const most = step * Math.ceil(peak / step - 1e-9);
  const marks = Array.from({ length: Math.round(most / step) + 1 }, (_, i) => i * step);
  const column = field.width / Math.max(1, months.length);
  const y = (share: number): number => field.top + field.height * (1 - share / most);
  const told = drawIsTold(months);
  const bars = months.map(({ overlap = 0 }, i) => ({
    x: field.left + i * column,
    y: y(overlap),
    width: column,
    height: field.top + field.height - y(overlap),
  }));
  return {
    most,
    marks,
    passing: steps(months.map((each) => each.passing_share), field, y),
    draw: told ? steps(months.map((each) => each.draw_share ?? 0), field, y) : "",
    bars: told ? bars : [],
  };
}

/** Whether this viewer may see in which months it draws. */
export function drawIsTold(months: readonly Month[]): boolean {
  return months.length > 0 && months.every((each) => each.draw_share !== undefined && each.overlap !== undefined);
}

/** A line level over each month, with a step between them. */
function steps(shares: readonly number[], field: Field, y: (share: number) => number): string {
  const column = field.width / Math.max(1, shares.length);
  const path = shares.map((share, i) => {
    const from = field.left + i * column;
    const height = y(share).toFixed(2);
    return `${i === 0 ? "M" : "L"}${from.toFixed(2)} ${height}H${(from + column).toFixed(2)}`;
  });
  return path.join("");
}

/** The months of the peaks and the overlap, in words: the chart for those who cannot see it. */
export function seasonSentence(months: readonly Month[]): string {
  const passing = peakMonth(months, (each) => each.passing_share);
  if (!drawIsTold(months)) {
    return passing ? `Passing drifters peak in ${passing}; in which months it draws is not public.` : "No drifters pass in the years used.";
  }
  const draw = peakMonth(months, (each) => each.draw_share ?? 0);
  if (!draw || !passing) return "No draw or no passing drifters in the years used.";
  return draw === passing
    ? `Draw and passing drifters both peak in ${draw}.`
    : `Draw peaks in ${draw}, passing drifters in ${passing}.`;
}

function peakMonth(months: readonly Month[], share: (month: Month) => number): string | null {
  let best: Month | null = null;
  for (const each of months) if (share(each) > (best ? share(best) : 0)) best = each;
  return best ? monthName(best.month) : null;
}
