// What gives most for the money, first: a short list that names what each screen is and costs.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { NOTHING, figures } from "../core/numbers.ts";
import { wholeAdults, worthFigure, worthUnit } from "../core/worth.ts";
import { element } from "./element.ts";
import { GUIDE, numberTable, whyBlock } from "./why_block.ts";

const SHORT = 10;

export function mountPriority(host: HTMLElement, { scene, chosen, outcome }: Desk, { curve }: FundDesk): Dispose {
  const place = element("div", { class: "priority" });
  const more = element("button", { type: "button", class: "quiet" }, ["Show more"]);
  const block = whyBlock("priority", "Most for the money first", "gain for the money is worked out", GUIDE.fund, [
    element("p", { class: "why-note" }, ["Each by itself, on today's river; taken together they gain a little more, and the best set counts that."]),
    place,
    more,
  ]);
  host.append(block);
  let shown = SHORT;

  function say(): void {
    const { answer } = curve.now;
    block.hidden = !answer;
    if (!answer) return;
    const { facts, offtakes } = scene;
    const { best } = outcome.now;
    const whole = best ? wholeAdults(best) : ownWhole();
    const { rows, options, cost, adults_per_1000: worth } = answer.priority;
    const lines = rows.slice(0, shown).map((row, i) => [
      offtakes.offtake_id[row] ?? "",
      offtakes.options[options[i] ?? -1]?.name ?? NOTHING,
      figures((cost[i] ?? NaN) / 1000, 3),
      worthFigure(worth[i] ?? NaN, whole, facts),
    ]);
    const heads = ["Code", "Screen", `Cost to the fund, thousand ${facts.currency}`.trim(), `Gain, ${worthUnit(facts)}`];
    const table = numberTable("Offtakes by gain for the money", heads, lines);
    table.querySelectorAll("tbody th").forEach((head, i) => {
      head.replaceChildren(element("button", { type: "button", class: "quiet priority-code", "data-row": rows[i] ?? "" }, [head.textContent ?? ""]));
    });
    place.replaceChildren(table);
    more.hidden = shown >= rows.length;
  }

  /** The whole loss in adults, from the first of the list whose share is known. */
  function ownWhole(): number {
    const { rows, cost, adults_per_1000: worth } = curve.now.answer?.priority ?? { rows: [], cost: [], adults_per_1000: [] };
    const at = rows.findIndex((row) => (scene.offtakes.gain_share[row] ?? 0) > 0);
    const share = (scene.offtakes.gain_share[rows[at] ?? -1] ?? NaN) / 1e6;
    return ((worth[at] ?? NaN) * (cost[at] ?? NaN)) / 1000 / share;
  }

  say();
  return together([
    curve.onChange(say),
    listen(more, "click", () => {
      shown += 2 * SHORT;
      say();
    }),
    listen(place, "click", ({ target }) => {
      const row = (target as Element).closest<HTMLElement>("[data-row]")?.dataset["row"];
      if (row !== undefined) chosen.select(Number(row), "search");
    }),
    () => block.remove(),
  ]);
}
