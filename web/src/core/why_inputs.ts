// The inputs of one offtake as lines to read: value with its unit, how it came about, from where.
import type { Input, RestsOn } from "../wire/why.ts";
import { decimals, figures, longDate, money, NOTHING, percent } from "./numbers.ts";
import { basisWord } from "./why_words.ts";
import { monthName } from "./why_season.ts";

export interface InputLine {
  /** Of the offtake's own row; "" where it is of another. */
  readonly column: string;
  readonly term: string;
  readonly value: string;
  readonly basis: string;
  readonly defaultUsed: boolean;
  /** Source and date, where stated. */
  readonly origin: string;
}

/** Turns a flow into text with its unit. */
export type FlowText = (m3s: number) => string;

const MONTHLY = /^use_(\d\d)$/;

/** The panel's own title. */
const TITLE = "offtake_id";

/** A line an input; the twelve months of use share one. */
export function inputLines(inputs: readonly Input[], currency: string, flow: FlowText): InputLine[] {
  const lines: InputLine[] = [];
  const monthly = inputs.filter((each) => MONTHLY.test(each.column) && !isEmpty(each));
  for (const input of inputs) {
    if (input.column === TITLE || isEmpty(input)) continue;
    if (!MONTHLY.test(input.column)) {
      lines.push(line(input, capital(input.meaning), valueText(input, currency, flow)));
    } else if (input === monthly[0]) {
      lines.push({ ...line(input, "Share of capacity by month", monthsText(monthly)), defaultUsed: monthly.every((each) => each.default_used) });
    }
  }
  return lines;
}

/** What nobody gave and nothing stands in for: "quoted capital, pump head". */
export function notGiven(inputs: readonly Input[]): string[] {
  return inputs.filter(isEmpty).map(({ meaning }) => meaning);
}

function isEmpty({ value, default_used }: Input): boolean {
  return (value === null || value === "") && !default_used;
}

function line(input: Input, term: string, value: string): InputLine {
  const dated = input.observed_on ? longDate(input.observed_on) : null;
  const entered = input.by ? `entered by ${input.by}` : null;
  const origin = [input.source, dated, entered].filter(Boolean).join(", ");
  return { column: input.column, term, value, basis: basisWord(input.basis), defaultUsed: input.default_used, origin };
}

const TABLES: Readonly<Record<string, string>> = {
  reaches: "Reach",
  gauges: "Gauge",
  guilds: "Fish",
  options: "Screen",
  efficacy: "What the screen keeps out",
  prices: "Price",
};

/** A row of another table as a heading and its cells: "Reach Upper (up)". */
export function restLines(rest: RestsOn, currency: string, flow: FlowText): { readonly title: string; readonly lines: readonly InputLine[] } {
  const called = rest.name ? `${rest.name} (${rest.key})` : rest.key.replaceAll("/", " ").trim();
  const lines = rest.inputs.map((each) => ({
    column: "",
    term: capital(each.meaning),
    value: valueText(each, currency, flow),
    basis: "",
    defaultUsed: each.default_used,
    origin: "",
  }));
  return { title: `${TABLES[rest.table] ?? rest.table} ${called}`.trim(), lines };
}

export function valueText({ value, unit }: Pick<Input, "value" | "unit">, currency: string, flow: FlowText): string {
  if (value === null || value === "") return "by the model";
  if (typeof value === "string") return /^\d{4}-\d\d-\d\d/.test(value) ? longDate(value) : value.replaceAll("_", " ");
  if (unit === "m3/s") return flow(value);
  if (unit === "share") return percent(value);
  if (unit === "money") return money(value, currency);
  if (unit === "money/year") return `${money(value, currency)} a year`;
  const number = Number.isInteger(value) ? decimals(value, 0) : figures(value, 3);
  return unit && unit !== "-" ? `${number}\u00a0${unitWords(unit)}` : number;
}

const UNITS: Readonly<Record<string, string>> = {
  "1/day": "a day",
  "h/month": "h a month",
  "m/s": "m/s",
  days: "days",
};

function unitWords(unit: string): string {
  return UNITS[unit] ?? unit;
}

/** "January to March 0 %, April 12 %, ...": equal neighbours share a run. */
function monthsText(inputs: readonly Input[]): string {
  const runs: { from: number; to: number; text: string }[] = [];
  for (const { column, value } of inputs) {
    const month = Number(MONTHLY.exec(column)?.[1] ?? 0);
    const text = typeof value === "number" ? percent(value) : NOTHING;
    const last = runs[runs.length - 1];
    if (last && last.text === text && last.to === month - 1) last.to = month;
    else runs.push({ from: month, to: month, text });
  }
  const short = (month: number): string => monthName(month).slice(0, 3);
  return runs
    .map(({ from, to, text }) => `${short(from)}${from === to ? "" : `–${short(to)}`} ${text}`)
    .join(", ");
}

/** "14 inputs: 9 measured, 5 assumed; 3 are defaults." */
export function inputsSentence(lines: readonly InputLine[]): string {
  const count = new Map<string, number>();
  for (const { basis } of lines) count.set(basis, (count.get(basis) ?? 0) + 1);
  const bases = [...count].sort((a, b) => b[1] - a[1]).map(([basis, each]) => `${each} ${basis}`);
  const defaults = lines.filter((each) => each.defaultUsed).length;
  const end = defaults === 0 ? "." : `; ${defaults === 1 ? "1 is a default" : `${defaults} are defaults`}, used where nothing was given.`;
  return `${lines.length === 1 ? "1 input" : `${lines.length} inputs`}: ${bases.join(", ")}${end}`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
