// What the wall is made of, whatever is shown: a title, one sentence, the map, one table or figure beside it, and
// always how to join, who has, whether it is held, and whether it still hears the meeting.
import { element } from "../parts/element.ts";
import { drawGround } from "./ground.ts";
import { joinCard } from "./wall_join.ts";
import { groundOf, legendOf } from "./wall_map.ts";
import { fitSide } from "./wall_fit.ts";
import { codesTold } from "./wall_parts.ts";
import { sideOf } from "./wall_side.ts";
import type { Meeting, Now, Step } from "./told.ts";
import { lostWords, phonesWords, triedWords } from "./words.ts";

export interface Wall {
  readonly element: HTMLElement;
  readonly show: (now: Now) => void;
  readonly lost: (since: Date | null) => void;
  readonly over: (minutes: boolean) => void;
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
  const held = element("p", { class: "wall-held", hidden: "" }, [element("b", {}, ["Held"]), element("span", {}, ["The wall stands still while the meeting goes on."])]);
  const banner = element("p", { class: "wall-banner", role: "status", hidden: "" });
  const corner = element("div", { class: "wall-corner" });
  const head = element("header", { class: "wall-head" }, [element("div", { class: "wall-top" }, [title, held, banner, corner]), sentence]);
  const foot = element("footer", { class: "wall-foot" }, [card.element, count]);
  const map = element("div", { class: "wall-map" }, [element("div", { class: "wall-ground" }, [ground.element]), legend]);
  const main = element("main", { class: "wall" }, [head, map, side, foot]);
  let [since, ended, refused, drawn]: [Date | null, boolean, string, string] = [null, false, "", ""];

  const tell = (): void => {
    const words = ended ? "" : since ? lostWords(since) : refused;
    banner.textContent = words;
    banner.hidden = !words;
    main.classList.toggle("wall-still", ended || since !== null);
  };
  const show = (now: Now): void => {
    const told = meeting.steps.find(({ step }) => step === now.step);
    main.dataset["step"] = now.step;
    title.textContent = `${told?.title ?? ""}${now.step === "choice" && now.trial ? ": a trial under this room’s middle" : ""}`;
    sayNew(sentence, now.sentence || (told?.sentence ?? ""));
    count.textContent = now.tried ? `${phonesWords(now.phones)}, ${triedWords(now.tried)}` : phonesWords(now.phones);
    held.hidden = !now.held || ended;
    head.classList.toggle("is-held", !held.hidden);
    if (!ended) card.show(now);
    const next = keyOf(now);
    if (next === drawn) return; // a phone that joins redraws no map
    fade(side, main.dataset["drawn"] !== now.step);
    main.dataset["drawn"] = now.step;
    drawn = next;
    legend.replaceChildren(...legendOf(meeting, now));
    side.replaceChildren(...sideOf(meeting, now));
    fitSide(main, side);
    const { look, shown } = groundOf(meeting, now, codesTold(side));
    ground.paint(look, shown);
  };
  return {
    element: main,
    show,
    corner,
    lost: (at) => ((since = at), tell()),
    over: (minutes) => {
      [ended, held.hidden] = [true, true];
      head.classList.remove("is-held");
      card.over(minutes);
      tell();
    },
    refused: (words) => ((refused = words), tell()),
  };
}

/** What the map and the figure beside it depend on. */
function keyOf({ step, room, trial, agreed }: Now): string {
  const used: Readonly<Record<Step, readonly unknown[]>> = { river: [], problem: [], screens: [], list: [], room: [room], choice: [trial, agreed] };
  return JSON.stringify([step, ...used[step]]);
}

/** So many letters find room in two lines; a catchment with longer names gets smaller ones. */
const LONG = 142;

function sayNew(made: HTMLElement, words: string): void {
  if (made.textContent !== words) made.textContent = words;
  made.classList.toggle("is-long", words.length > LONG);
}

/** Comes quietly; with reduced motion at once. */
function fade(made: HTMLElement, isNew: boolean): void {
  if (!isNew) return;
  made.classList.remove("wall-comes");
  void made.offsetWidth; // so that it begins anew
  made.classList.add("wall-comes");
}
