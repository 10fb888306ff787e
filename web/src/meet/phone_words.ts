// Sentences of the phone's page: what is inside, why one is, what became of this phone.
import { percent, shortMoney } from "../core/numbers.ts";
import { RISK_STEPS } from "../core/risk.ts";
import type { Standing } from "./phone_sending.ts";
import { type Sets, type Stand, standWords } from "./phone_stands.ts";
import { clock, counted } from "./words.ts";
import type { Meeting, Now, Offtake } from "./wire.ts";

const NUMBERS: Readonly<Record<number, string>> = { 2: "two", 3: "three", 4: "four", 5: "five" };
const RISK_WORDS = ["lowest", "second lowest", "middle", "second highest", "highest"] as const;

export function privateWords(leastTried: number): string {
  return `Nobody sees your weights. The wall shows the middle and where at least half lie, from ${inWords(leastTried)} phones on.`;
}

/** Who is told how many speak for a group. */
export function groupWords(leastTried: number): string {
  return `If you want to say. How many phones speak for each group is told to the facilitator, and in the minutes from ${inWords(leastTried)} phones on.`;
}

function inWords(count: number): string {
  return NUMBERS[count] ?? String(count);
}

/** "Your weights reach 56 offtakes; 45 are in the agency’s list." Two lines on the narrowest phone. */
export function insideWords({ inside, agencys }: Sets): string {
  const first = `Your weights reach ${counted(inside.size, "offtake")}`;
  if (!inside.size) return `${first}.`;
  const both = [...inside].filter((code) => agencys.has(code)).length;
  if (both === inside.size) return `${first}, ${both === 1 ? "which is" : "all"} in the agency’s list.`;
  return `${first}; ${both || "none"} ${both < 2 ? "is" : "are"} in the agency’s list.`;
}

/** What stands before anything was moved: the agency's weights, by score. */
export function startWords({ inside, way }: Sets): string {
  const first = `The agency’s weights reach ${counted(inside.size, "offtake")}`;
  return way === "By score" ? `${first}: its own list.` : `${first} by score; its list is the best set.`;
}

/** "Round one, budget 2.50 M CDL". */
export function caseWords({ case_name, budget, currency }: Meeting): string {
  return `${case_name}, budget ${shortMoney(budget)}${currency ? ` ${currency}` : ""}`;
}

export function lossWords({ loss_share }: Offtake): string {
  return `${percent(loss_share)} of the loss`;
}

/** What some offtakes take together. */
export function sharesWords(sites: readonly Offtake[]): string {
  const whole = sites.reduce((sum, each) => sum + each.loss_share, 0);
  return `${percent(whole)} of the loss to pumps and channels${sites.length > 1 ? " together" : ""}.`;
}

export function paysWords({ cost_band }: Offtake): string {
  return cost_band === "" ? "what the fund pays is not told" : `fund pays ${cost_band}`;
}

/**
 * Why it stands where it stands, in a sentence, from what everybody may know. Places are the agency's own: an
 * order by weights on cost alone would tell whose quote is lower.
 */
export function whyWords(site: Offtake, stand: Stand, currency: string, sets: Sets): string {
  const what = site.kind === "pump" ? "a pump" : "a gravity channel";
  const unit = currency && !site.cost_band.endsWith(currency) ? ` ${currency}` : "";
  const cost = site.cost_band === "" ? "What the fund pays is not told." : `The fund pays ${site.cost_band}${unit}.`;
  const risk = `at the ${RISK_WORDS[site.risk] ?? ""} of ${NUMBERS[RISK_STEPS]} steps of risk`;
  return `${standWords(stand, sets)}; ${ordinal(site.rank)} in the agency’s order. It is ${what} that takes ${percent(site.loss_share)} of the loss to pumps and channels, ${risk}. ${cost}`;
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

/** "Agreed: the case as it stands, 87 offtakes, 24 % of the loss to pumps and channels avoided." */
export function agreedWords({ agreed }: Now): string {
  if (!agreed || agreed.what === "") return "";
  const what = agreed.what === "case" ? "the case as it stands" : "the trial under the room’s middle";
  return `Agreed: ${what}, ${counted(agreed.inside_count, "offtake")}, ${percent(agreed.benefit_share)} of the loss to pumps and channels avoided.`;
}

/** What is told where this phone is not in the meeting; "" where nothing needs to be. */
export const STANDING_WORDS: Readonly<Record<Standing, string>> = {
  joining: "",
  in: "",
  waiting: "Many phones join at once; this one waits its turn.",
  full: "This meeting has as many phones as it can hold. You can still look at the list and follow the wall.",
  door_closed: "The facilitator has closed the door: no more phones join for now. This one joins by itself when it opens. You can look at the list and follow the wall.",
  dropped: "This phone was dropped because it sent too much; join again.",
  over: "This meeting has ended.",
};

/** Since when the net is gone. It shares two lines with what the weights reach. */
export function lostWords(since: Date): string {
  return `Not connected since ${clock(since)}; yours is kept here.`;
}
