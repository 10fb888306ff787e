// How do the other weights give way when one is moved? Whole thousandths that always sum to 1000.

/** Thousandths by criterion, in the order of the criteria. */
export type Weights = Readonly<Record<string, number>>;

export const WHOLE = 1000;

/**
 * One weight set, the others sharing the rest in their present proportion (evenly where all are 0),
 * rounded to thousandths by largest remainder, equal remainders in the order of the criteria. A
 * criterion that stands alone keeps the whole.
 */
export function withWeight(weights: Weights, name: string, thousandths: number): Weights {
  const others = Object.keys(weights).filter((other) => other !== name);
  if (!others.length) return { [name]: WHOLE };
  const own = Math.min(WHOLE, Math.max(0, Math.round(thousandths)));
  const shares = shared(WHOLE - own, others.map((other) => weights[other] ?? 0));
  const next: Record<string, number> = {};
  for (const key of Object.keys(weights)) {
    next[key] = key === name ? own : (shares[others.indexOf(key)] ?? 0);
  }
  return next;
}

/** Weights of only these criteria, in the proportion they have among all. */
export function weightsOf(weights: Weights, names: readonly string[]): Weights {
  const shares = shared(WHOLE, names.map((name) => weights[name] ?? 0));
  return Object.fromEntries(names.map((name, i) => [name, shares[i] ?? 0]));
}

/** A whole number in whole parts that stand in the proportion of `parts`. */
function shared(whole: number, parts: readonly number[]): number[] {
  const sum = parts.reduce((total, part) => total + part, 0);
  const even = sum === 0;
  const divisor = even ? parts.length : sum;
  const counted = parts.map((part) => whole * (even ? 1 : part));
  const shares = counted.map((count) => Math.floor(count / divisor));
  const short = whole - shares.reduce((total, share) => total + share, 0);
  const byRemainder = counted.map((_, i) => i);
  byRemainder.sort((a, b) => ((counted[b] ?? 0) % divisor) - ((counted[a] ?? 0) % divisor) || a - b);
  for (const i of byRemainder.slice(0, short)) shares[i] = (shares[i] ?? 0) + 1;
  return shares;
}
