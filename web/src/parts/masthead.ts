// The head of the page: whose river, the glance in one sentence, and how fresh the numbers are.
import type { Dispose } from "../core/dispose.ts";
import { longDate, moment, yearRun } from "../core/numbers.ts";
import type { Scene } from "../core/scene.ts";
import { glance } from "../core/sentences.ts";
import { element } from "./element.ts";

export function mountMasthead(host: HTMLElement, scene: Scene): Dispose {
  const { facts, offtakes, byRank } = scene;
  const shares = byRank.map((row) => (offtakes.loss_share[row] ?? 0) / 1e6);
  const head = element("header", { class: "masthead" }, [
    element("p", { class: "brand" }, [
      element("span", { class: "brand-mark", "aria-hidden": "true" }),
      element("span", { class: "brand-name" }, ["Slackwater"]),
      element("span", { class: "brand-river" }, [facts.name]),
    ]),
    element("h1", { class: "glance" }, [glance(shares)]),
    stamp(scene),
  ]);
  document.title = `${facts.name} – Slackwater`;
  host.append(head);
  return () => head.remove();
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
