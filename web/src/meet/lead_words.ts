// What the facilitator's page says, as plain sentences.
import { percent } from "../core/numbers.ts";
import type { Texts } from "./lead_desk.ts";
import type { Lead, Meeting, Now, Step } from "./told.ts";
import { STEPS } from "./told.ts";
import { clock, counted, phonesWords, triedWords } from "./words.ts";

export function titleOf(meeting: Meeting, step: Step): string {
  return meeting.steps.find((each) => each.step === step)?.title ?? step;
}

export function sentenceOf(meeting: Meeting, now: Pick<Now, "step" | "sentence">): string {
  return now.sentence || (meeting.steps.find((each) => each.step === now.step)?.sentence ?? "");
}

/** "Step 2 of 6". */
export function placeOf(step: Step): string {
  return `Step ${STEPS.indexOf(step) + 1} of ${STEPS.length}`;
}

export function figuresOf({ phones, tried, trial, agreed }: Pick<Now, "phones" | "tried" | "trial"> & { readonly agreed: { readonly what: string } | null }): string {
  const parts = [phonesWords(phones), triedWords(tried)];
  if (trial) parts.push("the trial is shown");
  if (agreed?.what) parts.push(`agreed: ${AGREED_SHORT[agreed.what] ?? agreed.what}`);
  return parts.join(" · ");
}

const AGREED_SHORT: Readonly<Record<string, string>> = { case: "the case", trial: "the trial" };

/** What stays and what turns; before enough have tried, why nothing is said. */
export function roomWords(meeting: Meeting, lead: Lead): string {
  if (!lead.room) return `What the room has in common is shown from ${meeting.least_tried} weightings on, so that nobody’s own can be read off.`;
  const { stays, turns_count: turns, few } = lead.room;
  const some = turns + few;
  const fewWords = few ? `, ${few === some ? (few === 1 ? "" : "all ") : `${few} of them `}for one or two phones alone` : "";
  return `${counted(stays.length, "offtake")} ${stays.length === 1 ? "stays" : "stay"} inside under every weighting tried. ${some === 0 ? "No other is" : some === 1 ? "1 is" : `${some} are`} inside for some and outside for others${fewWords}.`;
}

export function trialWords(lead: Lead, leastTried: number): string {
  if (lead.trial) {
    const { what, at, is_trial_shown: isAgreed } = lead.agreed;
    const other = what && !isAgreed ? ` It is not what was agreed at ${clock(new Date(at))}.` : "";
    return `${counted(lead.trial.inside, "offtake")} inside, ${percent(lead.trial.benefit_share)} of the loss avoided.${other} Its weights stay as they were when it was shown, whatever phones do since.`;
  }
  if (lead.tried < leastTried) return `A trial needs ${leastTried} weightings; ${lead.tried} ${lead.tried === 1 ? "is" : "are"} tried so far.`;
  return "A trial is the list by score under the middle of the room’s weights, set beside the case. Hold the wall first to see it before the room does.";
}

/** "3 offtakes join", to be followed by their codes. */
export function movesWords(count: number, verb: string): string {
  return count ? `${counted(count, "offtake")} ${count === 1 ? `${verb}s` : verb}: ` : `No offtake ${verb}s.`;
}

/** What closing does, with what is agreed; `pending` is chosen and not agreed. */
export function closingWords(agreed: Lead["agreed"] | undefined, { words, left_open: leftOpen }: Texts, pending: string): string[] {
  return [
    agreedAtLength(agreed),
    ...(pending ? [`Chosen above and not agreed: “${pending}”. It is not kept.`] : []),
    words.trim() ? `In the minutes: “${words.trim()}”` : "No words for the minutes.",
    ...(leftOpen.trim() ? [`Left open: “${leftOpen.trim()}”`] : []),
    "The minutes are made, for everyone to read. Phones and wall are told that the meeting is over. It cannot be opened again.",
  ];
}

function agreedAtLength(agreed: Lead["agreed"] | undefined): string {
  if (!agreed?.what) return "Nothing is agreed.";
  const which = agreed.what === "case" ? "the case as it stands" : "the trial";
  const kept = agreed.what === "trial" ? " It is kept as a case of its own, among the saved ones." : "";
  return `Agreed at ${clock(new Date(agreed.at))}: ${which}, ${counted(agreed.inside_count, "offtake")}, ${percent(agreed.benefit_share)} of the loss avoided.${kept}`;
}

export const isSame = (one: Texts, other: Texts): boolean => one.words === other.words && one.left_open === other.left_open;
