// Numbers as people read them: sensible digits, unit kept apart, British marks.

const SPACE = "\u00a0";
export const NOTHING = "–";

const plain = new Map<number, Intl.NumberFormat>();

/** A number with a fixed count of decimals and thousands marks. */
export function decimals(value: number, digits: number): string {
  let format = plain.get(digits);
  if (!format) {
    format = new Intl.NumberFormat("en-GB", {
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    });
    plain.set(digits, format);
  }
  return format.format(value);
}

/** A number to about `figures` significant figures, never in exponents; 0 stays 0. */
export function figures(value: number, count: number): string {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? "0" : NOTHING;
  const rounded = Math.abs(Number(value.toPrecision(count))); // 0.996 is 1.0 to two, not 1.00
  const whole = Math.floor(Math.log10(rounded)) + 1;
  return decimals(value, Math.min(6, Math.max(0, count - whole)));
}

/** A share 0..1 as per cent: "71 %", "0.42 %", "below 0.01 %". */
export function percent(share: number): string {
  const hundredths = share * 100;
  if (hundredths > 0 && hundredths < 0.01) return `below${SPACE}0.01${SPACE}%`;
  return `${percentFigure(share)}${SPACE}%`;
}

/** The figure of a per cent without its sign, for columns that state it above. */
export function percentFigure(share: number): string {
  return figures(share * 100, 2);
}

/** Money in words fit for a panel, to the hundred as the list has it: "68,400 CDL", "1.24 million CDL". */
export function money(amount: number, currency: string): string {
  const unit = currency ? `${SPACE}${currency}` : "";
  if (Math.abs(amount) >= 999_500) return `${figures(amount / 1e6, 3)}${SPACE}million${unit}`;
  return `${decimals(Math.round(amount / 100) * 100, 0)}${unit}`;
}

/** Money in a column of thousands, to the hundred: "68.4". */
export function thousands(amount: number): string {
  return Number.isFinite(amount) ? decimals(Math.round(amount / 100) / 10, 1) : NOTHING;
}

/** Money at a glance: "2.48 M", "248,400"; the unit is said once, elsewhere. */
export function shortMoney(amount: number): string {
  if (Math.abs(amount) >= 999_500) return `${decimals(amount / 1e6, 2)}${SPACE}M`;
  return decimals(Math.round(amount / 100) * 100, 0);
}

/** A share that is at least this, so never rounded up: "62 %", "4.9 %". */
export function atLeastPercent(share: number): string {
  const hundredths = share * 100 + 1e-9;
  const digits = hundredths >= 10 ? 0 : hundredths >= 1 ? 1 : 2;
  const cut = Math.floor(hundredths * 10 ** digits) / 10 ** digits;
  return `${decimals(cut, cut === 0 ? 0 : digits)}${SPACE}%`;
}

/** A day as "30 June 2021". */
export function longDate(iso: string): string {
  return new Intl.DateTimeFormat("en-GB", { dateStyle: "long", timeZone: "UTC" }).format(
    new Date(`${iso.slice(0, 10)}T00:00:00Z`),
  );
}

/** A moment as "25 Nov 2025, 14:02", in the reader's own time. */
export function moment(iso: string): string {
  return new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeStyle: "short" }).format(
    new Date(iso),
  );
}

/** First and last of a run of years with their count: "2018–2020 (3)". */
export function yearRun(years: readonly number[]): string {
  const [first, last] = [years[0], years[years.length - 1]];
  if (first === undefined || last === undefined) return NOTHING;
  return years.length === 1 ? `${first}` : `${first}–${last} (${years.length})`;
}
