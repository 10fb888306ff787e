// Which offtakes does a word mean? A code, as people write codes; a reach; or a town, for what lies nearest to it.
import type { MapTown, Meeting, Offtake } from "./wire.ts";

export interface Found {
  readonly sites: readonly Offtake[];
  /** The town they are nearest to, where the word names one. */
  readonly town: string;
  /** Whether the word is the whole code of the first. */
  readonly isExact: boolean;
}

const NEAREST = 4;
const NOTHING: Found = { sites: [], town: "", isExact: false };

/** By rank, but for those near a town, which stand first and by how near they are. */
export function foundBy(text: string, { offtakes, map }: Meeting): Found {
  const [asked, code] = [plain(text), keyOf(text)];
  if (asked === "" || code === "") return NOTHING;
  const exact = offtakes.filter((each) => keyOf(each.code) === code);
  if (exact.length) return { sites: exact, town: "", isExact: true };
  const town = map.towns.find(({ name }) => plain(name).startsWith(asked)) ?? map.towns.find(({ name }) => plain(name).includes(asked));
  const near = town ? nearestTo(town, offtakes) : [];
  const others = offtakes.filter((each) => keyOf(each.code).includes(code) || plain(each.reach).includes(asked));
  return { sites: [...new Set([...near, ...others])], town: town?.name ?? "", isExact: false };
}

function nearestTo({ x_mm, y_mm }: MapTown, offtakes: readonly Offtake[]): Offtake[] {
  const far = (each: Offtake): number => Math.hypot(each.x_mm - x_mm, each.y_mm - y_mm);
  return [...offtakes].sort((a, b) => far(a) - far(b)).slice(0, NEAREST);
}

function plain(text: string): string {
  return text.trim().toLowerCase().replace(/\s+/g, " ");
}

/** "LN-069", "ln 69" and "69" are written by the same people. */
function keyOf(code: string): string {
  return code.toLowerCase().replace(/[\s\u00a0-]/g, "").replace(/(^|\D)0+(?=\d)/g, "$1");
}
