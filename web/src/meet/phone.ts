// Starts the phone's page: which meeting this is, and what is told where there is none under its code.
import { element } from "../parts/element.ts";
import { here } from "./frame.ts";
import { minutesPart } from "./phone_notes.ts";
import { mountPhone } from "./phone_page.ts";
import { AskError, askMeeting, type Meeting } from "./wire.ts";
import { spacedCode } from "./words.ts";

const AGAIN_MS = 3_000;
const NAME = "Slackwater meeting";

void start();

async function start(): Promise<void> {
  const { code, host } = here();
  try {
    const meeting = await askMeeting<Meeting>(code, "");
    document.title = `${meeting.catchment}, ${spacedCode(meeting.code)} · ${NAME}`;
    mountPhone(host, meeting);
  } catch (error) {
    if (!(error instanceof AskError)) throw error;
    host.replaceChildren(notHere(code, error));
    if (error.status < 400 || error.status >= 429) setTimeout(() => void start(), AGAIN_MS * (0.5 + Math.random()));
  }
}

/** A code that leads nowhere, a meeting that is over, or no answer yet. */
function notHere(code: string, error: AskError): HTMLElement {
  const other = element("a", { class: "button", href: "/meet" }, ["Type another code"]);
  if (error.told["minutes"] === true) return screen("This meeting has ended", [minutesPart(code, true), other]);
  if (error.status === 404 || error.status === 400 || error.status === 422) {
    return screen("No meeting here", [element("p", { role: "status" }, [`There is no meeting under the code ${spacedCode(code.toUpperCase())} now. It may have ended, or a letter may be wrong: compare it with the wall.`]), other]);
  }
  const words = error.code === "too_many" ? "Many phones are joining at once. This one waits its turn and comes in by itself." : "The meeting does not answer. This page tries again by itself; check that this phone is on the hall’s network.";
  return screen("Not connected yet", [element("p", { role: "status" }, [words])]);
}

function screen(title: string, parts: readonly HTMLElement[]): HTMLElement {
  return element("main", { class: "phone phone-none" }, [element("h1", {}, [title]), ...parts]);
}
