// How the score is made up: a sentence, a slim bar and the sum, in the weights of the moment.
import { decimals } from "../core/numbers.ts";
import { riskFigure } from "../core/risk.ts";
import { listed } from "../core/sentences.ts";
import { type ScorePart, shownScore, thousandthsText, weightText } from "../core/why_parts.ts";
import { inSentence } from "../core/why_words.ts";
import { element } from "./element.ts";
import { GUIDE, whyBlock } from "./why_block.ts";

export function scoreBlock(parts: readonly ScorePart[], scoreBillionths: number): HTMLElement {
  const score = thousandthsText(shownScore(scoreBillionths));
  return whyBlock("score", `Score ${score}`, "score and rank are worked out", GUIDE.score, [
    element("p", {}, [sentence(parts)]),
    bar(parts),
    sum(parts, score),
  ]);
}

function sentence(parts: readonly ScorePart[]): string {
  const largestFirst = [...parts].sort((a, b) => b.shownThousandths - a.shownThousandths);
  const told = largestFirst
    .filter((part) => part.shownThousandths > 0)
    .map((part) => `${thousandthsText(part.shownThousandths)} from ${inSentence(part.label)}`);
  return told.length ? `${listed(told)}.` : "Nothing adds to it.";
}

/** The risk as the list rounds it. */
function shownValue({ criterion, value }: ScorePart): number {
  return criterion === "risk" ? riskFigure(Math.round((value ?? 0) * 1e6)) : (value ?? 0);
}

/** As long as the score; the whole track is a score of 1. */
function bar(parts: readonly ScorePart[]): HTMLElement {
  const pieces = parts.map((part, i) => {
    const piece = element("span", { class: `why-piece why-piece-${i % 5}` });
    piece.style.width = `${part.shownThousandths / 10}%`;
    return piece;
  });
  return element("div", { class: "why-bar", "aria-hidden": "true" }, pieces);
}

function sum(parts: readonly ScorePart[], score: string): HTMLElement {
  const rows = parts.map((part, i) =>
    element("tr", { "data-criterion": part.criterion }, [
      element("th", { scope: "row" }, [
        element("span", { class: `why-key why-piece-${i % 5}`, "aria-hidden": "true" }),
        part.label,
      ]),
      element("td", {}, [part.value === null ? "not public" : decimals(shownValue(part), 3)]),
      element("td", {}, [`× ${weightText(part.weightThousandths)}`]),
      element("td", { class: "why-points" }, [`= ${thousandthsText(part.shownThousandths)}`]),
    ]),
  );
  return element("table", { class: "why-table why-sum" }, [
    element("caption", { class: "unseen" }, ["Parts of the score"]),
    element("thead", { class: "unseen" }, [
      element("tr", {}, ["Criterion", "Value, 0 to 1", "Weight", "Points"].map((head) => element("th", { scope: "col" }, [head]))),
    ]),
    element("tbody", {}, rows),
    element("tfoot", {}, [
      element("tr", {}, [
        element("th", { scope: "row", colspan: 3 }, ["Score"]),
        element("td", { class: "why-total" }, [score]),
      ]),
    ]),
  ]);
}
