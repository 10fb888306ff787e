// Starts the wall: what a hall looks at. It asks for the meeting once, follows what is shown, and where it holds
// the facilitator's key obeys the facilitator's keys. Nothing here is ever told by one phone.
import { element } from "../parts/element.ts";
import { here } from "./frame.ts";
import { mountFacilitatorKeys } from "./keys.ts";
import { awakeWhileMoved } from "./wall_awake.ts";
import { makeWall, type Wall } from "./wall_frame.ts";
import { endedWords } from "./wall_join.ts";
import { AskError, askMeeting, follow, type Meeting, type Now, STEPS } from "./wire.ts";
import { minutesAddress } from "./words.ts";

const AGAIN_MS = 3_000;

const { code, key, host } = here();
const KEPT_AS = `slackwater meeting ${code} join`;
void start();

async function start(): Promise<void> {
  const meeting = await opened();
  if (!meeting) return;
  keepJoin(meeting.join);
  const wall = makeWall(meeting);
  host.replaceChildren(wall.element);
  document.title = `${meeting.case_name} · meeting ${meeting.code}`;
  let now: Now | null = null;
  const following = { now: (next: Now) => wall.show((now = next)), link: wall.lost, ended: wall.over };
  // With a key it is let in however many others look; with one that is not this meeting's it only looks.
  follow(code, key ? { ...following, key, refused: () => void follow(code, following) } : following);
  if (key) obey(wall, () => now);
}

/** The meeting, however long it takes to be there; null where there is none. */
async function opened(): Promise<Meeting | null> {
  for (;;) {
    try {
      return await askMeeting<Meeting>(code, "");
    } catch (error) {
      if (!(error instanceof AskError)) throw error;
      if (error.code === "no_meeting") return (over(error.told["minutes"] === true), null);
      say(`${error.message} Asking again…`);
    }
    await new Promise((done) => setTimeout(done, AGAIN_MS));
  }
}

function over(minutes: boolean): void {
  if (!minutes) say("There is no meeting by this code, or it has ended.");
  else host.replaceChildren(element("main", { class: "waiting" }, endedWords(minutesAddress(code, joinKept()))));
}

/** Phones reach the meeting by another address than this machine may; a wall opened anew still tells it. */
function keepJoin(join: string): void {
  try {
    sessionStorage.setItem(KEPT_AS, join);
  } catch {
    // a browser that keeps nothing
  }
}

function joinKept(): string {
  try {
    return sessionStorage.getItem(KEPT_AS) ?? "";
  } catch {
    return "";
  }
}

function say(words: string): void {
  host.replaceChildren(element("main", { class: "waiting" }, [element("h1", {}, ["Meeting"]), element("p", { role: "status" }, [words])]));
}

/** Sends what the facilitator's keys ask for; the wall itself changes only when the service says so. */
function obey(wall: Wall, shown: () => Now | null): void {
  const send = (path: string, body: unknown): void => {
    askMeeting(code, path, { method: "PUT", key, body }).then(
      () => wall.refused(""),
      (error: unknown) => wall.refused(error instanceof Error ? error.message : "That key did nothing."),
    );
  };
  const go = (place: number): void => {
    const step = STEPS[place];
    if (step) send("/lead/step", { step });
  };
  // Held, the wall shows an old moment: the keys go on from what they last asked for.
  let place = -1;
  const at = (): number => (place >= 0 && shown()?.held ? place : STEPS.indexOf(shown()?.step ?? "river"));
  const to = (next: number): void => go((place = Math.min(STEPS.length - 1, Math.max(0, next))));
  const keys = mountFacilitatorKeys(host, {
    next: () => to(at() + 1),
    back: () => to(at() - 1),
    step: to,
    hold: () => send("/lead/hold", { held: !shown()?.held }),
    trial: () => send("/lead/trial", { shown: !shown()?.trial }),
  });
  wall.corner.append(keys.opener);
  awakeWhileMoved(wall.corner);
}
