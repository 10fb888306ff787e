// What the offtake costs the river: its share of the loss, how sure that is, and which fish.
import { figures, NOTHING, percent } from "../core/numbers.ts";
import { shortName } from "../core/sentences.ts";
import { yearsAsMultiples } from "../core/why_words.ts";
import type { GuildLoss, Loss } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, numberTable, termList, whyBlock } from "./why_block.ts";

export interface LossShown {
  readonly lossShare: number;
  /** The share in the view chosen, where that is not all fish in the mean of the years. */
  readonly inView: { readonly whose: string; readonly share: number; readonly stale: boolean } | null;
  readonly loss: Loss;
  /** Heads are shown only where production is counted. */
  readonly counted: boolean;
  /** Years in view: mean, dry, median or wet. */
  readonly year: string;
  /** Guild in view; "all" for all of them. */
  readonly guild: string;
}

export function lossBlock({ lossShare, inView, loss, counted, year, guild }: LossShown): HTMLElement {
  const residents = loss.residents_share;
  return whyBlock("loss", "What it costs the river", "the loss is worked out", GUIDE.worth, [
    marked(year, termList([
      ["Share of the loss to pumps", percent(lossShare)],
      ...(inView ? [[`the loss ${inView.whose}`, inView.stale ? "asking…" : percent(inView.share)] as const] : []),
      ...(counted ? adultLines(loss) : indexLines(loss)),
      ...(residents ? ([["Of it, fish resident there", percent(residents)]] as [string, string][]) : []),
    ])),
    ...(loss.by_guild.length ? [guildTable(loss.by_guild, counted, guild)] : []),
    ...(counted ? [] : [note()]),
  ]);
}

/** Marks the line of the years in view. */
function marked(year: string, list: HTMLElement): HTMLElement {
  for (const line of list.children) {
    if (line.firstChild?.textContent === `In ${year} years`) line.setAttribute("aria-current", "true");
  }
  return list;
}

function note(): HTMLElement {
  return element("p", { class: "why-note" }, [
    "Production is an index here, so losses are shares of a whole, never numbers of fish.",
  ]);
}

function years({ adults_dry, adults_median, adults_wet }: Loss): [string, number | null | undefined][] {
  return [["In dry years", adults_dry], ["In median years", adults_median], ["In wet years", adults_wet]];
}

function adultLines(loss: Loss): [string, string][] {
  if (loss.adults == null) return [];
  const lines = years(loss).filter((each): each is [string, number] => each[1] != null);
  return [
    ["Adult equivalents a year", figures(loss.adults, 3)],
    ...lines.map(([name, adults]): [string, string] => [name, figures(adults, 3)]),
    ...range(loss),
  ];
}

function indexLines(loss: Loss): [string, string][] {
  const mean = loss.adults;
  if (mean == null || mean <= 0) return [];
  return yearsAsMultiples(mean, years(loss));
}

/** Told in adults alone: as a multiple of the mean it is the same for every site. */
function range({ low, high, assumed_range }: Loss): [string, string][] {
  if (low == null || high == null) return [];
  return [[assumed_range ? "Assumed range" : "Range", `${figures(low, 3)} to ${figures(high, 3)}`]];
}

function guildTable(guilds: readonly GuildLoss[], counted: boolean, inView: string): HTMLElement {
  const heads = counted
    ? ["Fish", "Share of its loss", "Young taken a year", "Adult equivalents"]
    : ["Fish", "Share of its loss to pumps"];
  const rows = guilds.map((each) => [
    shortName(each.name),
    percent(each.loss_share),
    ...(counted ? [number(each.taken_heads), number(each.loss_adults)] : []),
  ]);
  const table = numberTable("The loss by fish", heads, rows);
  const bodies = table.tBodies[0]?.rows ?? [];
  guilds.forEach(({ guild_id }, i) => {
    if (guild_id === inView) bodies[i]?.setAttribute("aria-current", "true");
  });
  return table;
}

function number(count: number | null | undefined): string {
  return count == null ? NOTHING : figures(count, 3);
}
