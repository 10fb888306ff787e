// Sentences of the phone's page: what is inside, why one is, what became of this phone.
import { decimals, percent, shortMoney } from "../core/numbers.ts";
import { RISK_STEPS } from "../core/risk.ts";
import type { Standing } from "./phone_sending.ts";
import { clock, counted } from "./words.ts";
import type { Meeting, Now, Offtake } from "./wire.ts";

const NUMBERS: Readonly<Record<number, string>> = { 2: "two", 3: "three", 4: "four", 5: "five" };
const RISK_WORDS = ["lowest", "second lowest", "middle", "second highest", "highest"] as const;

export function privateWords(leastTried: number): string {
  return `Nobody sees your weights. The wall shows only the middle and the spread, from ${NUMBERS[leastTried] ?? leastTried} phones on.`;
}

/** "Under your weights 29 offtakes are inside the budget; 24 of them are inside the agency’s list too." */
export function insideWords(inside: readonly string[], agencys: ReadonlySet<string>): string {
  const first = `Under your weights ${reached(inside)}`;
  if (!inside.length) return `${first}.`;
  const both = inside.filter((code) => agencys.has(code)).length;
  const all = inside.length === 1 ? "it is" : "all of them are";
  const some = `${both === 0 ? "none" : decimals(both, 0)} of them ${both === 1 ? "is" : "are"}`;
  return `${first}; ${both === inside.length ? all : some} inside the agency’s list too.`;
}

/** What stands before anything was moved: the agency's weights, by score. */
export function startWords(inside: readonly string[], { way }: Meeting): string {
  if (way === "By score") return `Under the agency’s weights ${reached(inside)}: the agency’s own list.`;
  return `Under the agency’s weights, by score, ${reached(inside)}; its own list is the best set.`;
}

function reached(inside: readonly string[]): string {
  return `${counted(inside.length, "offtake is", "offtakes are")} inside the budget`;
}

/** "Round one, budget 2.50 M CDL". */
export function caseWords({ case_name, budget, currency }: Meeting): string {
  return `${case_name}, budget ${shortMoney(budget)}${currency ? ` ${currency}` : ""}`;
}

export function lossWords({ loss_share }: Offtake): string {
  return `${percent(loss_share)} of the loss`;
}

export function costWords({ cost_band }: Offtake, currency: string): string {
  return cost_band === "" ? "cost not public" : `${cost_band}${currency && !cost_band.endsWith(currency) ? ` ${currency}` : ""}`;
}

/**
 * Why it stands where it stands, in a sentence, from what everybody may know. Places are the agency's own: an
 * order by weights on cost alone would tell whose quote is lower.
 */
export function whyWords(site: Offtake, isInside: boolean, currency: string, isOwn: boolean): string {
  const whose = isOwn ? "your" : "the agency’s";
  const stands = `${isInside ? "Inside" : "Outside"} under ${whose} weights, ${ordinal(site.rank)} in the agency’s order`;
  const what = site.kind === "pump" ? "a pump" : "a gravity channel";
  const cost = site.cost_band === "" ? "" : `; a screen here costs ${costWords(site, currency)}`;
  const risk = `at the ${RISK_WORDS[site.risk] ?? ""} of ${NUMBERS[RISK_STEPS]} steps of risk`;
  return `${stands}: ${what} that takes ${percent(site.loss_share)} of the whole loss to pumps, ${risk}${cost}.`;
}

export function ordinal(place: number): string {
  const tens = place % 100;
  const ending = tens >= 11 && tens <= 13 ? "th" : (["th", "st", "nd", "rd"][place % 10] ?? "th");
  return `${place}${ending}`;
}

/** What is on the wall, in a line. */
export function wallWords({ steps }: Meeting, { step, held }: Now): string {
  const title = steps.find((each) => each.step === step)?.title ?? "";
  return held ? `The wall is held at: ${title}` : `On the wall: ${title}`;
}

export function agreedWords({ agreed }: Now): string {
  if (!agreed || agreed.what === "") return "";
  return agreed.what === "case" ? "Agreed: the case as it stands." : "Agreed: the trial under the room’s middle.";
}

/** What is told where this phone is not in the meeting; "" where nothing needs to be. */
export const STANDING_WORDS: Readonly<Record<Standing, string>> = {
  joining: "",
  in: "",
  waiting: "Many phones are joining at once. This one waits its turn and joins by itself.",
  full: "This meeting has as many phones as it can hold. You can still look at the list and follow the wall.",
  door_closed: "The facilitator has closed the door: no more phones join for now. This one joins by itself when it opens. You can look at the list and follow the wall.",
  dropped: "This phone was dropped because it sent too much; join again.",
  over: "This meeting has ended.",
};

/** Since when the net is gone: "Not connected since 19:04. …". */
export function lostWords(since: Date): string {
  return `Not connected since ${clock(since)}. Your weights are safe on this phone and go out when the meeting answers again.`;
}

/** What an offtake or town nearest to a mark is called: "near Tarn". */
export function nearWords({ offtakes, map }: Meeting, x_mm: number, y_mm: number): string {
  const named = [...map.towns.map((town) => ({ name: town.name, x: town.x_mm, y: town.y_mm })), ...offtakes.map((each) => ({ name: `offtake ${each.code}`, x: each.x_mm, y: each.y_mm }))];
  let [name, least] = ["", Infinity];
  for (const each of named) {
    const far = Math.hypot(each.x - x_mm, each.y - y_mm);
    if (far < least) [name, least] = [each.name, far];
  }
  if (name === "") return "on the map";
  return least < 0.05 ? `at ${name}` : `near ${name}`;
}
