// The head of the page: whose river, the glance in one sentence, and how fresh the numbers are.
import { caseCopied } from "../core/case_copied.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { guildName } from "../core/guilds.ts";
import { besideWords, closeWords, quotedWords, WAY_WORDS } from "../core/fund_words.ts";
import { longDate, moment, money, yearRun } from "../core/numbers.ts";
import { shareOf } from "../core/by_score.ts";
import type { Shown } from "../core/outcome.ts";
import type { Scene } from "../core/scene.ts";
import { fundGlance, glance, whatIsLeft, whoseLoss } from "../core/sentences.ts";
import { mountDataNotes } from "./data_notes.ts";
import { element } from "./element.ts";

const MILLION = 1e6;

export interface Masthead {
  readonly head: HTMLElement;
  /** Where buttons about the whole page belong. */
  readonly actions: HTMLElement;
  readonly dispose: Dispose;
}

export function mountMasthead(host: HTMLElement, desk: Desk): Masthead {
  const { scene, outcome, losses, trial } = desk;
  const { facts } = scene;
  const headline = element("h1", { class: "glance" });
  const below = element("p", { class: "below-glance" });
  const notes = element("dd");
  const actions = element("div", { class: "head-actions" });
  const head = element("header", { class: "masthead" }, [
    element("p", { class: "brand" }, [
      element("span", { class: "brand-mark", "aria-hidden": "true" }),
      element("span", { class: "brand-name" }, ["Slackwater"]),
      element("span", { class: "brand-river" }, [facts.name]),
    ]),
    actions,
    headline,
    below,
    stamp(scene, notes),
  ]);
  const noted = mountDataNotes(notes, scene);

  function say(): void {
    const { now } = outcome;
    const view = losses.now;
    const { budget } = trial.now;
    if (now.spent === null || budget === null) {
      const shares = [...now.order].map((row) => (view.lossShare[row] ?? 0) / MILLION);
      headline.textContent = glance(shares);
      below.textContent = "Costs are shown in bands, so no budget line is drawn.";
    } else {
      const best = now.way === "best";
      holdHeight(head, best && !now.best);
      const glance = best ? bestGlance(now) : scoreGlance(now, now.spent, budget);
      if (headline.textContent !== glance) headline.textContent = glance;
      below.replaceChildren(element("strong", {}, [WAY_WORDS[now.way]]), ` – ${best ? besides(now) : whatIsLeft(now, budget, facts.currency) + besideWords(now, facts.currency)}`);
    }
    const best = now.way === "best";
    headline.classList.toggle("stale", best ? now.stale : view.stale);
    below.classList.toggle("stale", best && (now.stale || now.asking?.besideStale === true));
  }

  function scoreGlance(now: Shown, spent: number, budget: number): string {
    const view = losses.now;
    const avoidedShare = shareOf(now.inside, view.gainShare) / MILLION;
    const whose = whoseLoss(view.year, guildName(scene, view.guild));
    const own = ownShare(whose);
    return fundGlance({ count: now.insideCount, spent, budget, avoidedShare: own ?? avoidedShare, currency: facts.currency, whose, together: own !== null, after: after(now) });
  }

  /** What a case's set gains as a whole was worked out when it was saved; a trial only adds up. */
  function ownShare(whose: string): number | null {
    return trial.now.held && whose === "" ? (caseCopied.now?.benefit_share ?? null) : null;
  }

  /** Close calls rest on costs that the lead alone sees whole; others are told what is left out. */
  function after({ closeCount, privateCosts }: Shown): string {
    return scene.offtakes.viewer === "lead" ? closeWords(closeCount) : quotedWords(privateCosts);
  }

  function bestGlance({ best, insideCount, avoidedShare, closeCount }: Shown): string {
    if (!best) return `Working out the best set for ${money(trial.now.budget ?? 0, facts.currency)}`;
    const { spent, budget } = best;
    return fundGlance({ count: insideCount, spent, budget, avoidedShare, currency: facts.currency, whose: "", together: true, after: closeWords(closeCount) });
  }

  function besides(now: Shown): string {
    if (!now.best) return "weights play no part in it.";
    const left = Math.max(0, now.best.budget - now.best.spent);
    return `${money(left, facts.currency)} is left.${besideWords(now, facts.currency)}`;
  }

  say();
  document.title = `${facts.name} – Slackwater`;
  host.append(head);
  const dispose = together([outcome.onChange(say), losses.onChange(say), trial.onChange(say), noted, () => head.remove()]);
  return { head, actions, dispose };
}

/** While an answer is waited for the head keeps its height, so that nothing jumps when it comes. */
function holdHeight(head: HTMLElement, held: boolean): void {
  const height = held ? head.style.minHeight || `${head.offsetHeight}px` : "";
  if (head.style.minHeight !== height) head.style.minHeight = height;
}

function stamp({ facts }: Scene, notes: HTMLElement): HTMLElement {
  const lines: [string, string][] = [
    ["Data version", facts.data_version],
    ["Flow record to", longDate(facts.record_last)],
    ["Seasons", yearRun(facts.years)],
    ["Worked out", `${moment(facts.worked_out_at)}, model ${facts.model_version}`],
  ];
  return element(
    "dl",
    { class: "stamp", "aria-label": "How fresh these numbers are" },
    [
      ...lines.map(([term, value]) => [element("dt", {}, [term]), element("dd", {}, [value])]),
      [element("dt", {}, ["Data check"]), notes],
    ].map((line) => element("div", {}, line)),
  );
}
