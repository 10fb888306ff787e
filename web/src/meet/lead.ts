// The facilitator's page: the laptop beside the projector, or a phone in the hand.
import { element } from "../parts/element.ts";
import { type Here, here } from "./frame.ts";
import { mountFacilitatorKeys } from "./keys.ts";
import { agreedPart } from "./lead_agreed.ts";
import { closePart } from "./lead_close.ts";
import { type LeadDesk, openDesk } from "./lead_desk.ts";
import { leadHead } from "./lead_head.ts";
import { type ClosedHere, closedKept, keepClosed, keepDraft } from "./lead_kept.ts";
import type { Over } from "./lead_line.ts";
import { elsewherePage, keyPage, overPage } from "./lead_over.ts";
import { placesPart } from "./lead_places.ts";
import { roomPart } from "./lead_room.ts";
import { wallPart } from "./lead_steps.ts";
import { trialPart } from "./lead_trial.ts";
import { type Lead, type Meeting, STEPS } from "./told.ts";
import { askMeeting, AskError } from "./wire.ts";

const AGAIN_MS = 3_000;

function start(): void {
  const page = here();
  const closed = closedKept(page.code);
  if (closed) page.host.replaceChildren(overPage(page.code, closed, closed.minutes !== ""));
  else if (!page.key) askForKey(page, "");
  else open(page);
}

/** The meeting is asked for until it answers. */
function open(page: Here): void {
  askMeeting<Meeting>(page.code, "").then(
    (meeting) => lead(page, meeting),
    (error: unknown) => {
      if (error instanceof AskError && error.status === 404) over(page, "ended", "", error.told);
      else {
        const words = error instanceof Error ? error.message : "The meeting cannot be read.";
        page.host.replaceChildren(element("main", { class: "waiting" }, [element("h1", {}, ["Leading a meeting"]), element("p", { role: "status" }, [`${words} It is asked again by itself.`])]));
        setTimeout(() => open(page), AGAIN_MS);
      }
    },
  );
}

function lead(page: Here, meeting: Meeting): void {
  const { code, key, host } = page;
  const desk = openDesk(code, key, {
    now: (told) => show(told),
    link: (since) => (head.link(since), since ?? head.refused("")),
    refused: (words) => head.refused(words),
    over: (why, words, told) => (leave(), over(page, why, words, told)),
  });
  const shell = element("div", { class: "lead" });
  const keys = mountFacilitatorKeys(shell, actsOf(desk));
  const head = leadHead(meeting, key, keys.opener);
  const agreed = agreedPart(meeting, desk);
  const places = placesPart(meeting);
  const parts = [wallPart(meeting, desk), roomPart(meeting, desk), trialPart(meeting, desk), agreed, places];
  const leave = (): void => [desk, keys, places].forEach(({ dispose }) => dispose());
  const closing = closePart(desk, agreed, (closed) => (leave(), hasClosed(page, { ...closed, what: desk.now()?.agreed.what ?? "" })));
  const [wall, room, trial] = parts.map((part) => part.element) as [HTMLElement, HTMLElement, HTMLElement];
  shell.prepend(head.element, element("main", { class: "lead-main-area", "aria-busy": "true" }, [
    element("div", { class: "lead-column" }, [wall, trial]),
    element("div", { class: "lead-column" }, [room, agreed.element, places.element, closing]),
  ]));

  function show(told: Lead): void {
    if (!shell.isConnected) host.replaceChildren(shell);
    for (const part of parts) part.show(told);
    document.title = `${told.held ? "Held. " : ""}Leading: ${meeting.case_name}`;
    shell.querySelector("main")?.removeAttribute("aria-busy");
  }
}

function actsOf(desk: LeadDesk): Parameters<typeof mountFacilitatorKeys>[1] {
  return {
    next: () => desk.stepBy(1),
    back: () => desk.stepBy(-1),
    step: (place) => STEPS[place] && desk.step(STEPS[place]),
    hold: () => desk.hold(!desk.now()?.held),
    trial: () => desk.trial(!desk.now()?.trial),
  };
}

function hasClosed({ code, host }: Here, closed: ClosedHere): void {
  keepClosed(code, closed);
  keepDraft(code, null);
  host.replaceChildren(overPage(code, closed, closed.minutes !== ""));
}

function over(page: Here, why: Over, words: string, told: Readonly<Record<string, unknown>>): void {
  if (why === "wrong_key") askForKey(page, words);
  else page.host.replaceChildren(why === "ended" ? overPage(page.code, null, told["minutes"] === true) : elsewherePage(words));
}

function askForKey(page: Here, told: string): void {
  page.host.replaceChildren(keyPage(page.code, told, (text) => {
    location.hash = text.split("#").pop() ?? "";
    start();
  }));
}

start();
