// What is seen, as the part of an address behind its #: short readable keys of our own. Reasons are never
// part of it; they are kept with a case.
import { type Reasons, type Shares, type Tab, type TrialState, UNCONDITIONED, type Year } from "./trial.ts";
import type { Unit } from "./units.ts";
import { type Weights, weightsOf } from "./weights.ts";

/** Where the map looks, and how closely. */
export interface MapView {
  readonly lat: number;
  readonly lon: number;
  readonly zoom: number;
}

export interface Seen {
  readonly trial: TrialState;
  /** Code of the offtake that is open; "" for none. */
  readonly selected: string;
  /** Null while all is in view. */
  readonly map: MapView | null;
}

export interface Link extends Seen {
  /** Of the data it was made on; "" where it does not say. */
  readonly dataVersion: string;
  /** What it names that these data do not have. */
  readonly unknown: readonly string[];
}

/** What a link may name. */
export interface Named {
  readonly codes: ReadonlySet<string>;
  readonly guilds: ReadonlySet<string>;
  readonly districts: ReadonlySet<string>;
}

const UNIT_KEYS: Readonly<Record<Unit, string>> = { "ML/d": "mld", "L/s": "ls", "m3/s": "m3s", cfs: "cfs" };
const YEARS: readonly Year[] = ["mean", "dry", "median", "wet"];

/** `onCase`: a case is open, so the link says whether something else is tried on a copy of it. */
export function linkOf({ trial, selected, map }: Seen, dataVersion: string, onCase: boolean): string {
  const { unit, year, guild, theme, tab } = trial;
  const parts: [string, string][] = [
    ...(trial.held ? [] : decidingParts(trial)),
    ["try", onCase && !trial.held ? "1" : ""],
    ["u", unit === "ML/d" ? "" : UNIT_KEYS[unit]],
    ["y", year === "mean" ? "" : year],
    ["g", guild === "all" ? "" : written(guild)],
    ["t", theme === "light" ? "" : theme],
    ["tab", tab === "list" ? "" : tab],
    ["at", written(selected)],
    ["map", map ? [map.lat.toFixed(5), map.lon.toFixed(5), map.zoom.toFixed(2)].join(",") : ""],
    ["d", written(dataVersion)],
  ];
  return parts.filter(([, value]) => value !== "").map((part) => part.join("=")).join("&");
}

function decidingParts(trial: TrialState): [string, string][] {
  const codes = (choices: Reasons): string => Object.keys(choices).map(written).join(",");
  const pairs = (of: Shares): string => Object.entries(of).map(([name, value]) => `${written(name)}:${value}`).join(",");
  return [
    ["w", pairs(trial.weights)],
    ["b", trial.budget === null ? "" : String(trial.budget)],
    ["way", trial.way === "best" ? "best" : ""],
    ["in", codes(trial.keptIn)],
    ["out", codes(trial.leftOut)],
    ["least", pairs(trial.districtLeast)],
    ["most", pairs(trial.districtMost)],
    ["n", trial.mostInstalls === null ? "" : String(trial.mostInstalls)],
    ["with", trial.together.map((group) => group.map(written).join("+")).join(",")],
  ];
}

/**
 * What a link shows where `base` is what stands without one; null where it says nothing. `onCase`: base is
 * a case, which holds unless the link says that something else is tried.
 */
export function readLink(text: string, base: TrialState, named: Named, onCase: boolean): Link | null {
  const said = partsOf(text);
  if (!said.size) return null;
  const get = (key: string): string => said.get(key) ?? "";
  const unknown: string[] = [];
  const known = (names: readonly string[], among: ReadonlySet<string>): string[] => {
    unknown.push(...names.filter((name) => !among.has(name)));
    return names.filter((name) => among.has(name));
  };
  const held = onCase && get("try") !== "1";
  const deciding = held ? {} : decidingOf(get, base, named, known);
  const [unit] = Object.entries(UNIT_KEYS).find(([, key]) => key === get("u")) ?? ["ML/d"];
  const [guild = "all"] = known(list(get("g")).map(read), named.guilds);
  const [selected = ""] = known(list(get("at")).map(read), named.codes);
  return {
    trial: {
      ...base,
      ...deciding,
      held,
      unit: unit as Unit,
      year: YEARS.find((year) => year === get("y")) ?? "mean",
      guild,
      theme: get("t") === "projector" ? "projector" : "light",
      tab: (get("tab") === "money" ? "money" : "list") satisfies Tab,
    },
    selected,
    map: mapOf(get("map")),
    dataVersion: read(get("d")),
    unknown: [...new Set(unknown)],
  };
}

type Known = (names: readonly string[], among: ReadonlySet<string>) => string[];

function decidingOf(get: (key: string) => string, base: TrialState, named: Named, known: Known): Partial<TrialState> {
  const choices = (key: string, reasons: Reasons): Reasons =>
    Object.fromEntries(known(list(get(key)).map(read), named.codes).map((code) => [code, reasons[code] ?? ""]));
  const shares = (key: string): Shares => {
    const told = pairsOf(get(key));
    return Object.fromEntries(known(Object.keys(told), named.districts).map((name) => [name, Math.min(1, told[name] ?? 0)]));
  };
  const [budget, installs] = [amount(get("b")), amount(get("n"))];
  return {
    ...UNCONDITIONED,
    weights: weightsIn(pairsOf(get("w")), base.weights, known),
    budget: base.budget === null ? null : (budget ?? base.budget),
    way: get("way") === "best" && base.budget !== null ? "best" : "score",
    keptIn: choices("in", base.keptIn),
    leftOut: choices("out", base.leftOut),
    districtLeast: shares("least"),
    districtMost: shares("most"),
    mostInstalls: installs === null ? null : Math.round(installs),
    together: list(get("with")).map((group) => known(group.split("+").map(read), named.codes)).filter(({ length }) => length > 1),
  };
}

/** The weights of a link; those of before where it weighs nothing that is weighed here. */
function weightsIn(told: Shares, before: Weights, known: Known): Weights {
  const names = Object.keys(before);
  known(Object.keys(told), new Set(names));
  return names.some((name) => (told[name] ?? 0) > 0) ? weightsOf(told, names) : before;
}

function mapOf(text: string): MapView | null {
  const [lat = NaN, lon = NaN, zoom = NaN] = text.split(",").map((part) => (part ? Number(part) : NaN));
  const sound = Math.abs(lat) <= 85 && Math.abs(lon) <= 180 && zoom >= 0 && zoom <= 20;
  return sound ? { lat, lon, zoom } : null;
}


function partsOf(text: string): Map<string, string> {
  const parts = text.replace(/^#/, "").split("&").map((part) => part.split("="));
  return new Map(parts.filter(([key, value]) => key && value).map(([key = "", value = ""]) => [key, value]));
}

function pairsOf(text: string): Record<string, number> {
  const pairs = list(text).map((pair) => pair.split(":"));
  return Object.fromEntries(pairs.map(([name = "", value = ""]) => [read(name), amount(value) ?? 0]));
}

function list(text: string): string[] {
  return text === "" ? [] : text.split(",");
}

/** A number that is not negative; null where there is none. */
function amount(text: string): number | null {
  const value = text === "" ? NaN : Number(text);
  return Number.isFinite(value) && value >= 0 ? value : null;
}

/** So that none of the signs between parts is left in a name. */
function written(name: string): string {
  return encodeURIComponent(name);
}

function read(name: string): string {
  try {
    return decodeURIComponent(name);
  } catch {
    return name; // cut off by whoever sent it on
  }
}
