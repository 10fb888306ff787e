// The head of the page: whose river, the glance in one sentence, and how fresh the numbers are.
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import { guildName } from "../core/guilds.ts";
import { longDate, moment, yearRun } from "../core/numbers.ts";
import { shareOf } from "../core/outcome.ts";
import type { Scene } from "../core/scene.ts";
import { fundGlance, glance, whatIsLeft, whoseLoss } from "../core/sentences.ts";
import { element } from "./element.ts";

const MILLION = 1e6;

export function mountMasthead(host: HTMLElement, desk: Desk): Dispose {
  const { scene, outcome, losses, trial } = desk;
  const { facts } = scene;
  const headline = element("h1", { class: "glance" });
  const below = element("p", { class: "below-glance" });
  const head = element("header", { class: "masthead" }, [
    element("p", { class: "brand" }, [
      element("span", { class: "brand-mark", "aria-hidden": "true" }),
      element("span", { class: "brand-name" }, ["Slackwater"]),
      element("span", { class: "brand-river" }, [facts.name]),
    ]),
    headline,
    below,
    stamp(scene),
  ]);

  function say(): void {
    const { now } = outcome;
    const view = losses.now;
    const whose = whoseLoss(view.year, guildName(scene, view.guild));
    const { budget } = trial.now;
    if (now.spent === null || budget === null) {
      const shares = [...now.order].map((row) => (view.lossShare[row] ?? 0) / MILLION);
      headline.textContent = glance(shares);
      below.textContent = "Costs are shown in bands, so no budget line is drawn.";
    } else {
      const avoidedShare = shareOf(now.inside, view.gainShare) / MILLION;
      headline.textContent = fundGlance({ count: now.insideCount, spent: now.spent, budget, avoidedShare, currency: facts.currency, whose });
      below.replaceChildren(element("strong", {}, ["By score"]), ` – ${whatIsLeft(now, budget, facts.currency)}`);
    }
    headline.classList.toggle("stale", view.stale);
  }

  say();
  document.title = `${facts.name} – Slackwater`;
  host.append(head);
  return together([outcome.onChange(say), losses.onChange(say), trial.onChange(say), () => head.remove()]);
}

function stamp({ facts }: Scene): HTMLElement {
  const notes = facts.warnings === 1 ? "1 note" : `${facts.warnings || "No"} notes`;
  const lines: [string, string][] = [
    ["Data version", facts.data_version],
    ["Flow record to", longDate(facts.record_last)],
    ["Seasons", yearRun(facts.years)],
    ["Worked out", `${moment(facts.worked_out_at)}, model ${facts.model_version}`],
    ["Data check", `${notes} on the data`],
  ];
  return element(
    "dl",
    { class: "stamp", "aria-label": "How fresh these numbers are" },
    lines.map(([term, value]) =>
      element("div", {}, [element("dt", {}, [term]), element("dd", {}, [value])]),
    ),
  );
}
