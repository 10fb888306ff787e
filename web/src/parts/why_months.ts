// Twelve months of draw against passing drifters, the overlap shaded and hatched; and the same as a table.
import { decimals, percent } from "../core/numbers.ts";
import { drawIsTold, type Field, monthInitial, monthName, seasonSentence, seasonShape } from "../core/why_season.ts";
import type { Month } from "../wire/why.ts";
import { drawing } from "./drawing.ts";
import { element } from "./element.ts";
import { GUIDE, numberTable, whyBlock } from "./why_block.ts";

const WIDTH = 400;
const HEIGHT = 190;
const FIELD: Field = { left: 28, top: 24, width: WIDTH - 30, height: 142 };

export function monthsBlock(months: readonly Month[], overlap: number): HTMLElement {
  const words = `${seasonSentence(months)} They overlap by ${percent(overlap)} over the year.`;
  return whyBlock("months", "When it draws, when they pass", "the season overlap is worked out", GUIDE.overlap, [
    element("p", {}, [words]),
    element("figure", { class: "why-figure" }, [
      chart(months, words),
      element("figcaption", {}, [
        ...(drawIsTold(months) ? [key("draw", "its draw"), key("overlap", "overlap")] : []),
        key("passing", "passing drifters"),
      ]),
    ]),
    element("details", { class: "why-details" }, [
      element("summary", {}, ["as a table"]),
      asTable(months, overlap),
    ]),
  ]);
}

function chart(months: readonly Month[], words: string): SVGSVGElement {
  const shape = seasonShape(months, FIELD);
  const bottom = FIELD.top + FIELD.height;
  const lines = shape.marks.map((share) => {
    const y = bottom - (FIELD.height * share) / shape.most;
    return drawing("g", {}, [
      drawing("path", { class: "why-grid", d: `M${FIELD.left} ${y.toFixed(2)}h${FIELD.width}` }),
      drawing("text", { class: "why-axis", x: FIELD.left - 5, y: y + 4, "text-anchor": "end" }, [decimals(share * 100, 0)]),
    ]);
  });
  const initials = months.map(({ month }, i) => {
    const x = FIELD.left + ((i + 0.5) * FIELD.width) / months.length;
    return drawing("text", { class: "why-axis", x, y: bottom + 16, "text-anchor": "middle" }, [monthInitial(month)]);
  });
  const bars = shape.bars.map((bar) => drawing("rect", { class: "why-overlap", ...bar }));
  return drawing("svg", { class: "why-chart", viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", "aria-label": `Chart by month, in per cent of the season. ${words}` }, [
    hatch(),
    ...lines,
    ...bars,
    ...shape.bars.map((bar) => drawing("rect", { fill: "url(#why-hatch)", ...bar })),
    drawing("path", { class: "why-passing", d: shape.passing }),
    drawing("path", { class: "why-draw", d: shape.draw }),
    ...initials,
    drawing("text", { class: "why-axis", x: 0, y: 11 }, ["% of the season"]),
  ]);
}

/** Slanted lines that stay readable in black alone. */
function hatch(): SVGDefsElement {
  const stripe = drawing("path", { class: "why-hatch", d: "M-1 1l2 -2M0 6l6 -6M5 7l2 -2" });
  return drawing("defs", {}, [
    drawing("pattern", { id: "why-hatch", width: 6, height: 6, patternUnits: "userSpaceOnUse" }, [stripe]),
  ]);
}

function key(name: "draw" | "passing" | "overlap", words: string): HTMLElement {
  const sample = drawing("svg", { class: "why-sample", viewBox: "0 0 26 12", "aria-hidden": "true" }, [
    ...(name === "overlap"
      ? [
          drawing("rect", { class: "why-overlap", x: 0, y: 0, width: 26, height: 12 }),
          drawing("rect", { fill: "url(#why-hatch)", x: 0, y: 0, width: 26, height: 12 }),
        ]
      : [drawing("path", { class: `why-${name}`, d: "M0 6h26" })]),
  ]);
  return element("span", {}, [sample, words]);
}

function asTable(months: readonly Month[], overlap: number): HTMLElement {
  const told = drawIsTold(months);
  const columns: [string, (month: Month) => number][] = [
    ...(told ? ([["Draw, %", (each) => each.draw_share ?? 0]] as [string, (month: Month) => number][]) : []),
    ["Passing, %", (each) => each.passing_share],
    ...(told ? ([["Overlap, %", (each) => each.overlap ?? 0]] as [string, (month: Month) => number][]) : []),
  ];
  const share = (value: number): string => decimals(value * 100, 1);
  const rows = months.map((each) => [monthName(each.month), ...columns.map(([, of]) => share(of(each)))]);
  const sums = columns.map(([, of]) => months.reduce((sum, each) => sum + of(each), 0));
  if (told) sums[2] = overlap;
  const heads = ["Month", ...columns.map(([head]) => head)];
  return numberTable("Shares of the season by month", heads, [...rows, ["Season", ...sums.map(share)]]);
}
