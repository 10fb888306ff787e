// What the facilitator's page says, as plain sentences.
import type { Agreed } from "./lead_desk.ts";
import type { Lead, Meeting, Now, Offtake, PlaceMarked, Step } from "./told.ts";
import { STEPS } from "./told.ts";
import { counted, phonesWords, triedWords } from "./words.ts";

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
  const { stays, turns_count: turns } = lead.room;
  return `${counted(stays.length, "site")} ${stays.length === 1 ? "stays" : "stay"} inside under every weighting tried; ${counted(turns, "site")} ${turns === 1 ? "turns" : "turn"} on opinion.`;
}

export function trialWords(lead: Lead, leastTried: number): string {
  if (lead.trial) return `${counted(lead.trial.inside, "site")} inside under these weights. They stay as they were when the trial was shown, whatever phones do since.`;
  if (lead.tried < leastTried) return `A trial needs ${leastTried} weightings; ${lead.tried} ${lead.tried === 1 ? "is" : "are"} tried so far.`;
  return "By score under the middle of the room’s weights, beside the case. To see it before the room does, hold the wall first.";
}

/** "3 sites join", to be followed by their codes. */
export function movesWords(count: number, verb: string): string {
  return count ? `${counted(count, "site")} ${count === 1 ? `${verb}s` : verb}: ` : `No site ${verb}s.`;
}

/** What closing does, with what stands as agreed. */
export function closingWords({ what, words, left_open: leftOpen }: Agreed): string[] {
  return [
    { "": "Nothing is agreed.", case: "Agreed: the case as it stands.", trial: "Agreed: the trial. It is kept as a case of its own, among the saved ones." }[what],
    words.trim() ? `In the minutes: “${words.trim()}”` : "No words for the minutes.",
    ...(leftOpen.trim() ? [`Left open: “${leftOpen.trim()}”`] : []),
    "The minutes are made, for everyone to read. Phones and wall are told that the meeting is over. It cannot be opened again.",
  ];
}

export const isSame = (one: Agreed, other: Agreed): boolean => one.what === other.what && one.words === other.words && one.left_open === other.left_open;

/** Where a place is, by the offtake it is nearest to. */
export function nearestWords({ offtakes }: Meeting, { x_mm, y_mm }: PlaceMarked): string {
  const away = (offtake: Offtake): number => Math.hypot(offtake.x_mm - x_mm, offtake.y_mm - y_mm);
  const [nearest] = [...offtakes].sort((one, other) => away(one) - away(other));
  return nearest ? `nearest to ${nearest.code}${nearest.reach ? ` on ${nearest.reach}` : ""}` : "away from every offtake";
}
