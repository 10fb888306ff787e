// What the list says of each offtake, column by column; the unit stands in every head.
import type { Desk } from "../core/desk.ts";
import { otherWay, WAY_WORDS } from "../core/fund_words.ts";
import { NOTHING, decimals, figures, percentFigure, thousands } from "../core/numbers.ts";
import type { Shown } from "../core/outcome.ts";
import { riskFigure } from "../core/risk.ts";
import type { Scene } from "../core/scene.ts";
import { whoseLoss, yearWords } from "../core/sentences.ts";
import { fundPays } from "../core/standing.ts";
import { ALL_GUILDS } from "../core/trial.ts";
import { inUnit, unitSign } from "../core/units.ts";
import { guildName } from "../core/guilds.ts";
import type { HowSure } from "../wire/fund.ts";

export interface ListColumn {
  readonly name: string;
  readonly title: () => string;
  readonly unit: () => string;
  readonly text: (row: number) => string;
  /** Whether it shows the loss of a chosen year and guild. */
  readonly ofView?: boolean;
  /** Whether it says something of the set in force. */
  readonly ofSet?: boolean;
}

const MILLION = 1e6;

export function listColumns(desk: Desk): ListColumn[] {
  const { scene, outcome, losses } = desk;
  const { offtakes } = scene;
  const capacity = offtakes.capacity_m3s;
  const whose = (): string => whoseLoss(losses.now.year, guildName(scene, losses.now.guild));
  return [
    column("rank", "Rank", "", (row) => decimals(outcome.now.rank[row] ?? 0, 0)),
    column("code", "Code", "", (row) => offtakes.offtake_id[row] ?? ""),
    column("score", "Score", "0–1", (row) => decimals((outcome.now.score[row] ?? 0) / 1e9, 3)),
    {
      ...column("risk", "Risk", "0–1", (row) => decimals(riskFigure(losses.now.risk[row] ?? 0), 3)),
      ofView: true,
    },
    {
      ...column("loss", "Loss", "", (row) => percentFigure((losses.now.lossShare[row] ?? 0) / MILLION)),
      unit: () => ["% of all", whose()].filter(Boolean).join(" "),
      ofView: true,
    },
    ...(capacity ? [capacityColumn(desk, capacity)] : []),
    costColumn(desk),
    gainColumn(desk),
    {
      ...column("option", "Best screen", "", (row) => handReason(desk, row) || screenName(desk, row)),
      title: () => (outcome.now.way === "best" ? "Screen" : "Best screen"),
      ofSet: true,
    },
    ...(desk.fund ? [otherColumn(desk)] : []),
  ];
}

/** The capacity or, where that was chosen, in how many trials it is inside. */
function capacityColumn({ trial, fund }: Desk, capacity: readonly (number | null)[]): ListColumn {
  const trials = (): HowSure | null => (trial.now.trialsListed ? (fund?.howSure.now.answer ?? null) : null);
  return {
    ...column("capacity", "", "", (row) => {
      const sure = trials();
      if (sure) return decimals(sure.inside[row] ?? 0, 0);
      const flow = capacity[row];
      return flow == null ? NOTHING : figures(inUnit(flow, trial.now.unit), 3);
    }),
    title: () => (trials() ? "Inside" : "Capacity"),
    unit: () => (trials() ? `of ${trials()?.trials ?? 0} trials` : unitSign(trial.now.unit)),
  };
}

/** Members of the way that is not shown. */
function otherColumn({ outcome }: Desk): ListColumn {
  return {
    ...column("other", "", "", (row) => (outcome.now.other?.[row] ? "✓" : "")),
    title: () => WAY_WORDS[otherWay(outcome.now.way)],
    unit: () => (outcome.now.other ? "" : "not yet"),
  };
}

/** "Kept in: the reason"; "" where it was not chosen by hand, or by score. */
export function handReason({ scene, trial }: Desk, row: number): string {
  if (trial.now.way !== "best") return "";
  const code = scene.offtakes.offtake_id[row] ?? "";
  const [kept, left] = [trial.now.keptIn[code], trial.now.leftOut[code]];
  if (kept) return `Kept in: ${kept}`;
  return left ? `Left out: ${left}` : "";
}

/** The screen it has in the set shown, else its best. */
function screenName({ scene, outcome }: Desk, row: number): string {
  const option = optionIn(outcome.now, row);
  return option === null ? optionName(scene, row) : (scene.offtakes.options[option]?.name ?? NOTHING);
}

/** The option the best set shown gives it; null outside of it and by score. */
function optionIn({ way, best }: Shown, row: number): number | null {
  const at = way === "best" && best ? best.rows.indexOf(row) : -1;
  return best?.options[at] ?? null;
}

/** Whether the best set shown gives it another screen than its best. */
function otherScreen({ scene, outcome }: Desk, row: number): boolean {
  const option = optionIn(outcome.now, row);
  return option !== null && option !== scene.offtakes.best_option[row];
}

export function optionName({ offtakes }: Scene, row: number): string {
  return offtakes.options[offtakes.best_option[row] ?? -1]?.name ?? "none fits";
}

/** What the fund pays, so that the rows inside sum to the head; bands where costs may not be seen. */
function costColumn(desk: Desk): ListColumn {
  const { scene, candidates, outcome, trial } = desk;
  const { facts, offtakes } = scene;
  const unit = `thousand ${facts.currency}`.trim();
  if (offtakes.fund_cost) {
    const pays = (row: number): number => costInSet(outcome.now, row) ?? fundPays(candidates, row, trial.now.budget ?? 0);
    return { ...column("money", "Fund pays", unit, (row) => thousands(pays(row))), ofSet: true };
  }
  const { capital, capital_band: bands } = offtakes;
  return column("money", "Cost", unit, (row) => {
    const band = bands?.[row];
    if (capital) return thousands(capital[row] ?? NaN);
    return band ? `${figures(band[0] / 1e3, 2)}–${figures(band[1] / 1e3, 2)}` : NOTHING;
  });
}

/** To the fund, in the best set shown; null outside of it and by score. */
function costInSet({ way, best }: Shown, row: number): number | null {
  return way === "best" && best ? (best.costs[best.rows.indexOf(row)] ?? null) : null;
}

/**
 * Where production is an index, gains are shares of the loss; heads are shown only if counted. They rest
 * on all fish in the mean of the years, as score and screens do, and say so where another view is shown.
 */
function gainColumn(desk: Desk): ListColumn {
  const { unit, ...rest } = usualGainColumn(desk);
  return { ...rest, unit: () => [unit(), usualView(desk)].filter(Boolean).join(", ") };
}

function usualView({ losses }: Desk): string {
  const { year, guild } = losses.now;
  return [guild === ALL_GUILDS ? "" : "all fish", year === "mean" ? "" : yearWords("mean")].filter(Boolean).join(", ");
}

function usualGainColumn(desk: Desk): ListColumn {
  const { facts, offtakes } = desk.scene;
  const money = facts.currency || "money";
  const years = `over ${facts.horizon_years} years`;
  if (facts.counted && offtakes.gain_per_1000) {
    const gains = offtakes.gain_per_1000;
    return column("gain", "Gain", `adults a year per 1,000 ${money} ${years}`, (row) =>
      otherScreen(desk, row) ? NOTHING : figures(gains[row] ?? NaN, 2),
    );
  }
  const cost = offtakes.life_cycle_cost;
  if (!cost) {
    return column("gain", "Gain", "% of loss", (row) =>
      percentFigure((offtakes.gain_share[row] ?? 0) / MILLION),
    );
  }
  return column("gain", "Gain", `% of loss per 100,000 ${money} ${years}`, (row) => {
    const share = (offtakes.gain_share[row] ?? 0) / MILLION;
    const amount = cost[row];
    return amount && !otherScreen(desk, row) ? figures((share * 100 * 100_000) / amount, 2) : NOTHING;
  });
}

function column(
  name: string,
  title: string,
  unit: string,
  text: (row: number) => string,
): ListColumn {
  return { name, title: () => title, unit: () => unit, text };
}
