// The facilitator's keys, on the wall and on the page beside it, and the list of them. Letters and figures
// can be switched off; the keys a presenter's remote sends always work.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { singleKeys } from "../parts/single_keys.ts";
import { isOverThePage, isTyping } from "../parts/typing.ts";

export interface FacilitatorActs {
  readonly next: () => void;
  readonly back: () => void;
  /** The step at a place, 0 the first. */
  readonly step: (place: number) => void;
  readonly hold: () => void;
  readonly trial: () => void;
}

const KEPT_AS = "slackwater meeting single keys";
const STEPS = 6;
const LIST: readonly (readonly [keys: string, words: string])[] = [
  ["→ or Page Down", "next step"],
  ["← or Page Up", "one step back"],
  [`1 to ${STEPS}`, "that step"],
  ["H", "hold the wall, or let it go on"],
  ["T", "show the trial, or stop it"],
  ["?", "this list"],
];

export interface FacilitatorKeys {
  /** Opens the list; a page may put it where it likes. */
  readonly opener: HTMLButtonElement;
  readonly dispose: Dispose;
}

/** Heard on the whole page. `host` takes the list, which is closed. */
export function mountFacilitatorKeys(host: HTMLElement, acts: FacilitatorActs): FacilitatorKeys {
  const { box: single, dispose: unswitched } = singleKeys(KEPT_AS);
  const opener = element("button", { type: "button", class: "keys-opener", "aria-haspopup": "dialog" }, ["Keys"]);
  const shut = element("button", { type: "button", class: "keys-shut" }, ["Close"]);
  const help = element("dialog", { class: "keys-help", "aria-labelledby": "keys-title" }, [
    element("h2", { id: "keys-title" }, ["Keys"]),
    element("dl", {}, LIST.map(([keys, words]) => element("div", {}, [element("dt", {}, [element("kbd", {}, [keys])]), element("dd", {}, [words])]))),
    element("label", { class: "keys-single" }, [single, "Letters and figures work"]),
    element("p", {}, ["Arrows and Page keys, which a presenter’s remote sends, always do, but while words are typed."]),
    shut,
  ]);
  host.append(help);
  const open = (): void => help.showModal();

  function pressed(event: KeyboardEvent): void {
    if (event.altKey || event.ctrlKey || event.metaKey || event.repeat || isTyping(event.target) || isOverThePage(event.target)) return;
    const act = always(event, acts) ?? (single.checked ? ofSingle(event.key, acts, open) : null);
    if (!act) return;
    event.preventDefault();
    act();
  }

  document.addEventListener("keydown", pressed);
  const dispose = together([
    listen(opener, "click", open),
    listen(shut, "click", () => help.close()),
    listen(help, "close", () => opener.blur()), // no frame stays on a wall
    unswitched,
    () => document.removeEventListener("keydown", pressed),
    () => help.remove(),
    () => opener.remove(),
  ]);
  return { opener, dispose };
}

/** What works however letters are set, wherever the focus is but in words being typed: none of these is a character (WCAG 2.1.4). */
function always({ key }: KeyboardEvent, acts: FacilitatorActs): (() => void) | null {
  if (key === "PageDown") return acts.next;
  if (key === "PageUp") return acts.back;
  if (key === "ArrowRight") return acts.next;
  return key === "ArrowLeft" ? acts.back : null;
}

function ofSingle(key: string, acts: FacilitatorActs, help: () => void): (() => void) | null {
  const place = Number(key) - 1;
  if (Number.isInteger(place) && place >= 0 && place < STEPS) return () => acts.step(place);
  return { h: acts.hold, t: acts.trial, "?": help }[key.toLowerCase()] ?? null;
}
