// How the score is made up: points of each criterion, rounded so that what is shown sums to what is
// shown.

const BILLIONTHS_PER_THOUSANDTH = 1e6;

/** One criterion's share of a score. */
export interface ScorePart {
  readonly criterion: string;
  readonly label: string;
  /** 0..1; null where this viewer may not see it. */
  readonly value: number | null;
  readonly weightThousandths: number;
  /** Billionths, as the score. */
  readonly points: number;
  /** As shown, in thousandths. */
  readonly shownThousandths: number;
}

export interface Criterion {
  readonly name: string;
  readonly label: string;
  /** Null where this viewer may not see it. */
  readonly millionths: number | null;
  readonly weightThousandths: number;
}

/** The score as the list shows it, in whole thousandths: half up. */
export function shownScore(billionths: number): number {
  return Math.floor(billionths / BILLIONTHS_PER_THOUSANDTH + 0.5);
}

/**
 * The parts of a score in the order given. At most one criterion may be unseen: it has the rest.
 *
 * Rounding: each part is cut to whole thousandths and those with the largest remainder get one more,
 * the earlier first among equals, until the parts shown sum to the score shown. So no part is off by
 * a whole thousandth, and the sum is right to the last place.
 */
export function scoreParts(criteria: readonly Criterion[], scoreBillionths: number): ScorePart[] {
  const known = criteria.map(({ millionths, weightThousandths }) =>
    millionths === null ? null : millionths * weightThousandths,
  );
  const seen = known.reduce<number>((sum, points) => sum + (points ?? 0), 0);
  const rest = Math.max(0, scoreBillionths - seen);
  const unseen = known.indexOf(null);
  const points = known.map((each, i) => each ?? (i === unseen ? rest : 0));
  const shown = largestRemainder(points, shownScore(scoreBillionths));
  return criteria.map(({ name, label, millionths, weightThousandths }, i) => ({
    criterion: name,
    label,
    value: millionths === null ? null : millionths / 1e6,
    weightThousandths,
    points: points[i] ?? 0,
    shownThousandths: shown[i] ?? 0,
  }));
}

/** Whole thousandths that sum to `total`, each within one of its own billionths. */
export function largestRemainder(billionths: readonly number[], total: number): number[] {
  const shown = billionths.map((points) => Math.floor(points / BILLIONTHS_PER_THOUSANDTH));
  const remainder = billionths.map((points) => points % BILLIONTHS_PER_THOUSANDTH);
  const order = remainder.map((_, i) => i);
  order.sort((a, b) => (remainder[b] ?? 0) - (remainder[a] ?? 0) || a - b);
  let left = total - shown.reduce((sum, each) => sum + each, 0);
  for (const i of order) {
    if (left <= 0) break;
    shown[i] = (shown[i] ?? 0) + 1;
    left -= 1;
  }
  return shown;
}

/** "0.60", "0.125": a weight with as many places as it has, two at least. */
export function weightText(thousandths: number): string {
  return (thousandths / 1000).toFixed(thousandths % 10 === 0 ? 2 : 3);
}

/** "0.480". */
export function thousandthsText(thousandths: number): string {
  return (thousandths / 1000).toFixed(3);
}
