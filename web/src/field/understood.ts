// What does a typed text mean, by the rules of the service? A fault is told at the field, before it is sent.
import type { Form } from "../wire/field.ts";
import type { Note } from "../wire/notes.ts";

export interface Understood {
  readonly value: number | string | null;
  /** "" where it can be sent. */
  readonly fault: string;
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?$/;
const MOST_CHARACTERS = 10_000;
const FAR_TIMES = 3;
const MOST_DEPTH_M = 30;
const MOST_OF_LINE = 4_000;

export function understood(form: Form, typed: string, unit: string): Understood {
  const text = typed.trim();
  if (text === "") return { value: null, fault: "" };
  if (form.holds !== "number") return { value: text, fault: faultOfText(text) };
  if (/,\d/.test(text)) return { value: null, fault: faultOfComma(text) };
  if (!NUMBER.test(text)) return { value: null, fault: "A number with digits and a point, such as 17.28." };
  const perSi = form.per_si[unit];
  if (perSi === undefined) return { value: null, fault: "Choose the unit that stands there." };
  const value = Number(text) / perSi;
  if (!Number.isFinite(value)) return { value: null, fault: "This number is too large." };
  if (value < 0 || (form.above_zero && value === 0)) return { value: null, fault: form.above_zero ? "A number above 0." : "0 or more." };
  if (form.most != null && value > form.most) return { value: null, fault: `At most ${Number((form.most * perSi).toPrecision(4))} ${sign(unit)}.` };
  return { value, fault: "" };
}

/** A comma before three digits may part thousands as well as decimals: both are told, neither is taken. */
function faultOfComma(text: string): string {
  if (/^[1-9]\d{0,2},\d{3}$/.test(text)) return `A comma may mean two things: write ${text.replace(",", "")}, or ${Number(text.replace(",", "."))} with a point.`;
  if (/^\d+,\d+$/.test(text)) return `Write ${text.replace(",", ".")}: a point before the decimals.`;
  return "A number with digits and a point, without commas, such as 17.28.";
}

function faultOfText(text: string): string {
  const lines = text.split(/\r\n|\r|\n/);
  if (text.length > MOST_CHARACTERS || lines.some((line) => line.length > MOST_OF_LINE)) return "Too long to be sent; shorten it or begin another line.";
  return lines.some((line) => /\p{Cc}/u.test(line)) ? "It holds a character that cannot be kept, such as a tab." : "";
}

/** A value in a unit: "21.6 ML/d". */
export function inWords(form: Form | undefined, value: number | string | null, unit: string): string {
  if (value === null || value === "") return "nothing";
  if (typeof value === "string" || !form) return String(value);
  const shown = Number((value * (form.per_si[unit] ?? 1)).toPrecision(4));
  return `${shown} ${sign(unit)}`.trim();
}

/** A depth beyond what a river's intake has is asked about; "" where it may well be. */
export function tooDeep(form: Form, value: number | string | null): string {
  return isDepth(form) && typeof value === "number" && value > MOST_DEPTH_M ? `Deeper than ${MOST_DEPTH_M} m: is that right? Look at the unit too.` : "";
}

export function isDepth({ holds, field }: Pick<Form, "holds" | "field">): boolean {
  return holds === "number" && field.startsWith("depth_");
}

/** The unit with which a field starts: a depth's is m, one that has no other is that one, else it must be chosen. */
export function startUnit(form: Form): string {
  if (form.units.length === 1) return form.units[0] ?? "";
  return isDepth(form) && form.units.includes("m") ? "m" : "";
}

/** How far a value is from what the register says, where it is so far that the unit may be wrong; "" else. */
export function farOff(value: number | string | null, register: number | string | null | undefined, of = ""): string {
  if (typeof value !== "number" || typeof register !== "number" || !(value > 0 && register > 0)) return "";
  const times = Math.max(value / register, register / value);
  return times <= FAR_TIMES ? "" : `That is ${times < 10 ? times.toFixed(1) : Math.round(times)} times ${value > register ? "more" : "less"} than the register says${of}. Is that right? Look at the unit too.`;
}

/** A note as it was written. */
export function asTyped(note: Pick<Note, "typed" | "unit">): string {
  return note.typed.trim() === "" ? "taken back" : `${note.typed.trim()} ${sign(note.unit)}`.trim();
}

export function sign(unit: string): string {
  return unit.replace("m3", "m³");
}
