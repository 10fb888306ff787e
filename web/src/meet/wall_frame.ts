// What the wall is made of, whatever is shown: a title, one sentence, the map, one table or figure beside it, and
// always how to join, who has, whether it is held, and whether it still hears the meeting.
import { element } from "../parts/element.ts";
import { drawGround } from "./ground.ts";
import { joinCard } from "./wall_join.ts";
import { groundOf, legendOf } from "./wall_map.ts";
import { codesTold, fitRows } from "./wall_parts.ts";
import { sideOf } from "./wall_side.ts";
import type { Meeting, Now, Step } from "./told.ts";
import { lostWords, phonesWords, triedWords } from "./words.ts";

export interface Wall {
  readonly element: HTMLElement;
  readonly show: (now: Now) => void;
  readonly lost: (since: Date | null) => void;
  readonly over: () => void;
  /** Says why a facilitator's key did nothing; "" says nothing. */
  readonly refused: (words: string) => void;
  /** Where a button may stand that the hall need not see. */
  readonly corner: HTMLElement;
}

export function makeWall(meeting: Meeting): Wall {
  const title = element("p", { class: "wall-title" });
  const sentence = element("h1", { class: "wall-sentence", "aria-live": "polite" });
  const ground = drawGround(meeting, { label: "" });
  const legend = element("div", { class: "wall-legend" });
  const side = element("aside", { class: "wall-side", "aria-label": "Beside the map" });
  const card = joinCard(meeting);
  const count = element("p", { class: "wall-count" });
  const held = element("p", { class: "wall-held", hidden: "" }, ["Held"]);
  const banner = element("p", { class: "wall-banner", role: "status", hidden: "" });
  const corner = element("div", { class: "wall-corner" });
  const head = element("header", { class: "wall-head" }, [element("div", { class: "wall-top" }, [title, held, corner]), sentence]);
  const foot = element("footer", { class: "wall-foot" }, [card.element, count]);
  const map = element("div", { class: "wall-map" }, [element("div", { class: "wall-ground" }, [ground.element]), legend]);
  const main = element("main", { class: "wall" }, [head, map, side, foot, banner]);
  let [since, ended, refused, drawn]: [Date | null, boolean, string, string] = [null, false, "", ""];

  const tell = (): void => {
    const words = ended ? "This meeting has ended; this is what stood then." : since ? lostWords(since) : refused;
    banner.textContent = words;
    banner.hidden = !words;
    main.classList.toggle("wall-still", ended || since !== null);
  };
  const show = (now: Now): void => {
    const told = meeting.steps.find(({ step }) => step === now.step);
    main.dataset["step"] = now.step;
    title.textContent = told?.title ?? "";
    sayNew(sentence, now.sentence || (told?.sentence ?? ""));
    count.textContent = now.tried ? `${phonesWords(now.phones)}, ${triedWords(now.tried)}` : phonesWords(now.phones);
    held.hidden = !now.held;
    card.show(now);
    const next = keyOf(now);
    if (next === drawn) return; // a phone that joins redraws no map
    fade(side, main.dataset["drawn"] !== now.step);
    main.dataset["drawn"] = now.step;
    drawn = next;
    legend.replaceChildren(...legendOf(meeting, now));
    side.replaceChildren(...sideOf(meeting, now));
    fitRows(side);
    const { look, shown } = groundOf(meeting, now, codesTold(side));
    ground.paint(look, shown);
  };
  return {
    element: main,
    show,
    corner,
    lost: (at) => ((since = at), tell()),
    over: () => ((ended = true), tell()),
    refused: (words) => ((refused = words), tell()),
  };
}

/** What the map and the figure beside it depend on. */
function keyOf({ step, room, trial, agreed }: Now): string {
  const used: Readonly<Record<Step, readonly unknown[]>> = { river: [], problem: [], screens: [], list: [], room: [room], choice: [trial, agreed] };
  return JSON.stringify([step, ...used[step]]);
}

/** So many letters take two lines, each time in smaller ones. */
const LONG = [98, 124] as const;

/** Larger letters where the sentence is short. */
function sayNew(made: HTMLElement, words: string): void {
  if (made.textContent !== words) made.textContent = words;
  made.dataset["long"] = String(LONG.filter((length) => words.length > length).length);
}

/** Comes quietly; with reduced motion at once. */
function fade(made: HTMLElement, isNew: boolean): void {
  if (!isNew) return;
  made.classList.remove("wall-comes");
  void made.offsetWidth; // so that it begins anew
  made.classList.add("wall-comes");
}
