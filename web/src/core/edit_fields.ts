// The fields of an offtake as a form has them: in groups, in the unit of the page, and what was typed
// back as the value that is stored.
import type { Cell, FieldTold } from "../wire/edits.ts";
import { inUnit, type Unit, unitSign } from "./units.ts";
import { monthName } from "./why_season.ts";

export interface FieldGroup {
  readonly title: string;
  readonly fields: readonly FieldTold[];
}

/** How values are shown in this form. */
export interface Shown {
  readonly unit: Unit;
  readonly currency: string;
}

const GROUPS: readonly (readonly [string, RegExp])[] = [
  ["Intake", /^(kind|capacity_m3s|cease_flow_m3s|position|night_use_share|intake_depth_m|opening_mm|fitted|power|access)$/],
  ["Use by month", /^use_\d\d$/],
  ["Offer and landholder", /^(willing|status|quote|quote_option|landholder|licence|contact|label|district)$/],
  ["Filter and pump today", /^(flush|filter_|pump|wear_)/],
  ["Where it stands", /^(reach_id|chainage_m)$/],
  ["What the row rests on", /^(basis|observed_on|source)$/],
  ["Further", /./],
];

/** Fields in the order of the form; the key is no field. */
export function fieldGroups(fields: readonly FieldTold[], keyColumns: readonly string[] = ["offtake_id"]): FieldGroup[] {
  const left = new Set(fields.filter(({ name }) => !keyColumns.includes(name)));
  return GROUPS.map(([title, names]) => {
    const taken = [...left].filter(({ name }) => names.test(name));
    for (const each of taken) left.delete(each);
    return { title, fields: taken };
  }).filter((group) => group.fields.length > 0);
}

/** "largest draw", "January": what a field is called. */
export function fieldName({ name, meaning }: FieldTold): string {
  const month = /^use_(\d\d)$/.exec(name)?.[1];
  return month ? monthName(Number(month)) : meaning.charAt(0).toUpperCase() + meaning.slice(1);
}

/** "ML/d", "%", "m": the unit beside the field. */
export function fieldUnit({ unit }: FieldTold, { unit: flow, currency }: Shown): string {
  if (unit === "m3/s") return unitSign(flow);
  if (unit === "share") return "%";
  if (unit === "money") return currency;
  if (unit === "money/year") return currency ? `${currency} a year` : "a year";
  return unit === "-" ? "" : unit.replace("1/day", "a day").replace("h/month", "h a month");
}

function factor({ unit }: FieldTold, shown: Shown): number {
  if (unit === "m3/s") return inUnit(1, shown.unit);
  return unit === "share" ? 100 : 1;
}

export function isNumber({ kind }: FieldTold): boolean {
  return kind === "number" || kind === "integer";
}

/** Trims what floating point adds: 0.1 + 0.2 is 0.3. */
function tidy(value: number, digits: number): number {
  return Number(value.toPrecision(digits));
}

/** A value as it stands in its field; "" where it is blank. */
export function fieldText(field: FieldTold, value: Cell | undefined, shown: Shown): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "number") return String(tidy(value * factor(field, shown), 9));
  return typeof value === "string" ? value : value.join(", ");
}

/** A value in words with its unit: "42 ML/d", "blank". */
export function cellWords(field: FieldTold | undefined, value: Cell | undefined, shown: Shown): string {
  if (value === null || value === undefined || value === "") return "blank";
  if (!field) return typeof value === "object" ? placeWords(value) : String(value);
  const text = fieldText(field, value, shown);
  const unit = isNumber(field) ? fieldUnit(field, shown) : "";
  return unit ? `${text}\u00a0${unit}` : text.replaceAll("_", field.words.length ? " " : "_");
}

export function placeWords([lon, lat]: readonly [number, number]): string {
  return `${Math.abs(lat).toFixed(5)}° ${lat < 0 ? "S" : "N"}, ${Math.abs(lon).toFixed(5)}° ${lon < 0 ? "W" : "E"}`;
}

export type Typed = { readonly value: Cell } | { readonly wrong: string };

const NUMBER = /^[+-]?(\d+|\d{1,3}(,\d{3})+)?(\.\d+)?(e[+-]?\d+)?$/i;

/** What was typed as the value to store, or what would be right instead. */
export function typedCell(field: FieldTold, text: string, shown: Shown): Typed {
  const told = text.trim();
  if (told === "") return field.needed ? { wrong: "This must be filled." } : { value: null };
  if (isNumber(field)) return typedNumber(field, told.replace(/\u2212/g, "-"), shown);
  if (field.kind === "date" && !isDay(told)) return { wrong: "A day as year-month-day, such as 2021-06-30." };
  return { value: told };
}

function typedNumber(field: FieldTold, text: string, shown: Shown): Typed {
  const value = Number(text.replaceAll(",", ""));
  if (!NUMBER.test(text) || !Number.isFinite(value)) return { wrong: "A number, with a point before the decimals." };
  if (field.kind === "integer" && value % 1 !== 0) return { wrong: "A whole number." };
  const stored = tidy(value / factor(field, shown), 12);
  const { least, most, above_zero: aboveZero } = field;
  const edge = (limit: number): string => `${fieldText(field, limit, shown)}${fieldUnit(field, shown) ? ` ${fieldUnit(field, shown)}` : ""}`;
  if (aboveZero && stored <= 0) return { wrong: "Above 0." };
  if (least !== null && stored < least) return { wrong: `At least ${edge(least)}.` };
  if (most !== null && stored > most) return { wrong: `At most ${edge(most)}.` };
  return { value: stored };
}

function isDay(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false;
  const day = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text);
}
