// Keeps this phone in the meeting and sends what it sets: three times a second at most, the last always. What
// could not be sent waits, and the newest goes once when the meeting answers again.
import { paced } from "../core/paced.ts";
import { keep, type Kept } from "./kept.ts";
import { type Levels, type Mine, sameLevels } from "./mine.ts";
import { AskError, askMeeting } from "./wire.ts";

/** How this phone stands with the meeting. */
export type Standing = "joining" | "in" | "waiting" | "full" | "door_closed" | "dropped" | "over";

export interface Told {
  readonly stands: (standing: Standing) => void;
  /** The phone has joined, under this token. */
  readonly joined: (token: string) => void;
  /** Which are inside under these levels, in order of rank. */
  readonly inside: (codes: readonly string[], under: Levels) => void;
  /** What was set and refused, in words. */
  readonly refused: (words: string) => void;
  /** Whether the last question was answered. */
  readonly reached: (answered: boolean) => void;
  readonly over: (minutes: boolean) => void;
}

export interface Sending {
  readonly mine: () => Mine;
  readonly set: (change: Partial<Mine>) => void;
  /** The meeting answers again, or its door has opened. */
  readonly again: () => void;
  /** Somebody asks for it, also where this phone was dropped. */
  readonly joinAgain: () => void;
  /** The stream was refused. */
  readonly failed: (error: AskError) => void;
  /** Nothing is sent any more. */
  readonly stop: () => void;
}

const REST_MS = 340;
/** Between one try and the next where nothing answers; apart, so that a hall does not come back as one. */
const [AGAIN_MS, WAITING_MS] = [4_000, 8_000];
const ASKED_WRONG = [400, 413, 422];
const NO_ANSWER = new AskError("no_answer", "");
/** Levels of a phone that weighs nothing: it counts as none of those tried. */
const NOTHING: Levels = {};
const UNTIL_ASKED: readonly Standing[] = ["full", "door_closed", "dropped", "over"];

export function startSending(code: string, kept: Kept, told: Told): Sending {
  let { phone: token, ...mine } = kept;
  let standing: Standing = "joining";
  // A phone that comes back says all it holds, also that it holds nothing: it may have withdrawn off the net.
  let [mineDue, placesDue] = [isSet(mine) || token !== "", false];
  let [busy, missed, timer] = [false, false, 0];
  const pace = paced(() => void send(), REST_MS);

  function stand(next: Standing): void {
    if (next !== standing) told.stands(next);
    standing = next;
  }

  function holdToken(next: string): void {
    token = next;
    keep(code, { phone: token, ...mine });
  }

  function later(ms: number): void {
    clearTimeout(timer);
    timer = window.setTimeout(pace.soon, ms * (0.5 + Math.random()));
  }

  async function send(): Promise<void> {
    missed ||= busy;
    if (busy || UNTIL_ASKED.includes(standing)) return;
    busy = true;
    try {
      if (!token) await join();
      await sendMine();
      await sendPlaces();
      stand("in");
      told.reached(true);
    } catch (error) {
      failed(error);
    }
    if (missed) pace.soon();
    [busy, missed] = [false, false];
  }

  async function join(): Promise<void> {
    const { phone } = await askMeeting<{ phone: string }>(code, "/join", { method: "POST", body: {} });
    holdToken(phone);
    [mineDue, placesDue] = [isSet(mine), mine.places.length > 0];
    told.joined(phone);
  }

  async function sendMine(): Promise<void> {
    if (!mineDue) return;
    const { levels, group } = mine;
    mineDue = false;
    const answer = await put<{ inside: string[] }>("/mine", { levels: levels ?? NOTHING, group }).catch((error: unknown) => {
      mineDue = mineDue || !isWrong(error);
      throw error;
    });
    if (levels) told.inside(answer.inside, levels);
  }

  async function sendPlaces(): Promise<void> {
    if (!placesDue) return;
    placesDue = false;
    const places = mine.places.map(({ x_mm, y_mm, words }) => ({ x: x_mm, y: y_mm, words }));
    await put("/mine/places", { places }).catch((error: unknown) => {
      placesDue = placesDue || !isWrong(error);
      throw error;
    });
  }

  function put<Answer>(path: string, body: unknown): Promise<Answer> {
    return askMeeting<Answer>(code, path, { method: "PUT", phone: token, body });
  }

  function failed(error: unknown): void {
    const { code: kind, message, told: more } = error instanceof AskError ? error : NO_ANSWER;
    if (kind === "full" || kind === "door_closed") stand(kind);
    else if (kind === "no_meeting") {
      stop();
      told.over(more["minutes"] === true);
    } else if (kind === "dropped" || kind === "join_again") {
      holdToken("");
      stand(kind === "dropped" ? kind : "joining");
      later(REST_MS);
    } else if (kind === "too_many") {
      if (!token) stand("waiting");
      later(token ? AGAIN_MS : WAITING_MS);
    } else if (isWrong(error)) {
      if (token) stand("in");
      told.refused(message);
    } else {
      told.reached(false);
      later(AGAIN_MS);
    }
  }

  function stop(): void {
    clearTimeout(timer);
    pace.drop();
    stand("over");
  }

  function askAgain(): void {
    if (standing !== "in") stand("joining");
    pace.soon();
  }

  pace.soon();
  return {
    mine: () => mine,
    set: (change) => {
      mineDue ||= (change.levels !== undefined && !sameLevels(change.levels, mine.levels)) || (change.group !== undefined && change.group !== mine.group);
      placesDue ||= change.places !== undefined;
      mine = { ...mine, ...change };
      keep(code, { phone: token, ...mine });
      pace.soon();
    },
    again: () => {
      if (standing !== "over" && standing !== "dropped") askAgain();
    },
    joinAgain: askAgain,
    failed,
    stop,
  };
}

function isSet({ levels, group }: Mine): boolean {
  return levels !== null || group !== "";
}

function isWrong(error: unknown): boolean {
  return error instanceof AskError && ASKED_WRONG.includes(error.status);
}
