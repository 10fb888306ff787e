// Why does the selected offtake stand where it stands? Opens beside the list, lights its routes on the
// map, and follows weights, unit and view in the moment they change.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";
import { Asking, WAITING } from "./why_answers.ts";
import { type Block, BLOCKS, OF_ANSWER, OF_SET, OF_UNIT, OF_VIEW, OF_WEIGHTS, sayBlock } from "./why_body.ts";
import { mountWhyFund } from "./why_fund.ts";
import { TITLE_ID, titleWords, whyTitle } from "./why_head.ts";
import { darken, lightRoutes, type LitMap } from "./why_routes.ts";
import { standingPart } from "./why_standing.ts";

/** Opens the form that corrects a column of an offtake. */
export type CorrectOfftake = ((code: string, column: string) => void) | null;

export interface WhyPanel {
  /** Where the offer of the offtake on show is followed up. */
  readonly followSlot: HTMLElement;
  readonly dispose: Dispose;
  /** How much of another element's left it covers; 0 where it lies elsewhere. */
  readonly coveredPx: (other: HTMLElement) => number;
}

/** `host` holds the list too: the panel lies over its right, and gives the focus back to it. */
export function mountWhyPanel(host: HTMLElement, desk: Desk, map: LitMap, correct: CorrectOfftake = null): WhyPanel {
  const { scene, chosen, trial, outcome, losses, fund } = desk;
  const title = whyTitle();
  const close = element("button", { type: "button", class: "why-close", "aria-label": "Close" }, ["×"]);
  const news = element("p", { class: "unseen", role: "status" });
  const slots = new Map(BLOCKS.map((block) => [block, element("div", { class: `why-slot why-slot-${block}` })]));
  const body = element("div", { class: "why-body" }, [...slots.values()]);
  const panel = element("section", { class: "why", "aria-labelledby": TITLE_ID }, [
    element("div", { class: "why-head" }, [title, close]),
    news,
    body,
  ]);
  panel.hidden = true;
  host.append(panel);
  const money = element("div", { class: "why-slot why-slot-fund" });
  const followSlot = element("div", { class: "why-slot why-slot-follow" });
  slots.get("sentence")?.after(money, followSlot);
  let answers = WAITING;
  let orderSaid = outcome.now.order;
  let byKey = false;
  let cameFrom: Element | null = null;
  let fundedSaid: string | null = null;

  const asking = new Asking(scene.offtakes.viewer, (now) => {
    const before = answers;
    answers = now;
    if (now.why !== before.why) {
      say(OF_ANSWER);
      news.textContent = "";
    }
    if (now.routes !== before.routes) {
      say(["routes"]);
      if (typeof now.routes === "object") lightRoutes(map, now.routes);
    }
  });

  function say(blocks: readonly Block[]): void {
    const row = chosen.now.selected;
    if (row === NONE) return;
    fundedSaid = fundedOption(desk, row);
    const told = { scene, row, trial: trial.now, standing: outcome.now, view: losses.now, answers, funded: standingPart(desk, row), fundedId: fundedSaid, again: () => ask(row, false), correct: correct && ((column: string) => correct(scene.offtakes.offtake_id[row] ?? "", column)) };
    for (const block of blocks) {
      const slot = slots.get(block);
      if (slot) sayAnew(slot, sayBlock(block, told));
    }
  }

  function ask(row: number, leafing: boolean): void {
    answers = WAITING;
    say(BLOCKS);
    news.textContent = "Reading the numbers of this offtake…";
    asking.ask(scene.offtakes.offtake_id[row] ?? "", leafing);
  }

  function open(row: number): void {
    const leafing = !panel.hidden;
    if (!panel.contains(document.activeElement)) cameFrom = document.activeElement;
    panel.hidden = false;
    panel.scrollTop = 0;
    title.replaceChildren(...titleWords(scene, row));
    darken(map);
    for (const slot of slots.values()) slot.replaceChildren();
    ask(row, leafing);
    if (byKey) title.focus({ preventScroll: true });
  }

  function shut(): void {
    asking.stop();
    darken(map);
    const held = panel.contains(document.activeElement);
    panel.hidden = true;
    if (held) giveBack();
  }

  /** The focus goes back where it came from; if that is gone, to the list's row that takes it. */
  function giveBack(): void {
    const row = host.querySelector<HTMLElement>("[role=grid] [role=row][tabindex='0']");
    const target = cameFrom instanceof HTMLElement && cameFrom.isConnected && cameFrom !== document.body ? cameFrom : row;
    target?.focus({ preventScroll: true });
  }

  const moneyTold = (fund && mountWhyFund(money, desk, fund)) ?? (() => undefined);
  if (chosen.now.selected !== NONE) open(chosen.now.selected);
  const dispose = together([
    () => asking.stop(),
    moneyTold,
    chosen.onChange((now, before) => {
      if (now.selected === before.selected) return;
      if (now.selected === NONE) shut();
      else open(now.selected);
    }),
    trial.onChange((now, before) => {
      if (now.unit !== before.unit) say(OF_UNIT);
      if (now.year !== before.year || now.guild !== before.guild) say(OF_VIEW);
    }),
    outcome.onChange(({ order }) => {
      const row = chosen.now.selected;
      const another = row !== NONE && fundedOption(desk, row) !== fundedSaid;
      say([...(order === orderSaid ? (["sentence"] as const) : OF_WEIGHTS), ...(another ? OF_SET : [])]);
      orderSaid = order;
    }),
    losses.onChange(() => say(OF_VIEW)),
    listen(close, "click", () => chosen.select(NONE, "card")),
    listen(panel, "keydown", (event) => {
      if (event.key !== "Escape") return;
      event.stopPropagation();
      chosen.select(NONE, "card");
    }),
    listen(host, "keydown", ({ key }) => (byKey = key === "Enter"), { capture: true }),
    listen(host, "keydown", () => (byKey = false)),
    () => panel.remove(),
  ]);
  return { dispose, followSlot, coveredPx: (other) => (panel.hidden ? 0 : leftCovered(panel, other)) };
}

/** The screen that the set shown gives an offtake: by score its best one. */
function fundedOption({ scene, outcome }: Desk, row: number): string | null {
  const { way, best, inside } = outcome.now;
  if (!inside[row]) return null;
  const { options, best_option: usual } = scene.offtakes;
  const option = way === "best" ? best?.options[best.rows.indexOf(row)] : usual[row];
  return options[option ?? -1]?.option_id ?? null;
}

/** Puts new words in a slot; what was unfolded stays unfolded. */
function sayAnew(slot: HTMLElement, words: readonly HTMLElement[]): void {
  const unfolded = [...slot.querySelectorAll("details")].map((each) => each.open);
  slot.replaceChildren(...words);
  if (unfolded.length) slot.querySelectorAll("details").forEach((each, i) => (each.open = unfolded[i] ?? each.open));
}

function leftCovered(panel: HTMLElement, other: HTMLElement): number {
  const [mine, under] = [panel.getBoundingClientRect(), other.getBoundingClientRect()];
  const beside = mine.right > under.left && mine.right < under.left + 0.7 * under.width;
  return beside ? mine.right - under.left : 0;
}
