// What the list says of each offtake, column by column; the unit stands in every head.
import type { Desk } from "../core/desk.ts";
import { NOTHING, decimals, figures, percentFigure } from "../core/numbers.ts";
import { riskFigure } from "../core/risk.ts";
import type { Scene } from "../core/scene.ts";
import { whoseLoss } from "../core/sentences.ts";
import { inUnit, unitSign } from "../core/units.ts";
import { guildName } from "../core/guilds.ts";

export interface ListColumn {
  readonly name: string;
  readonly title: string;
  readonly unit: () => string;
  readonly text: (row: number) => string;
  /** Whether it shows the loss of a chosen year and guild. */
  readonly ofView?: boolean;
}

const MILLION = 1e6;

export function listColumns(desk: Desk): ListColumn[] {
  const { scene, outcome, losses, trial } = desk;
  const { offtakes } = scene;
  const capacity = offtakes.capacity_m3s;
  const whose = (): string => whoseLoss(losses.now.year, guildName(scene, losses.now.guild));
  return [
    column("rank", "Rank", "", (row) => decimals(outcome.now.rank[row] ?? 0, 0)),
    column("code", "Code", "", (row) => offtakes.offtake_id[row] ?? ""),
    column("score", "Score", "0–1", (row) => decimals((outcome.now.score[row] ?? 0) / 1e9, 3)),
    {
      ...column("risk", "Risk", "0–1", (row) => decimals(riskFigure(losses.now.risk[row] ?? 0), 2)),
      ofView: true,
    },
    {
      ...column("loss", "Loss", "", (row) => percentFigure((losses.now.lossShare[row] ?? 0) / MILLION)),
      unit: () => ["% of all", whose()].filter(Boolean).join(" "),
      ofView: true,
    },
    ...(capacity
      ? [{
          ...column("capacity", "Capacity", "", (row) => {
            const flow = capacity[row];
            return flow == null ? NOTHING : figures(inUnit(flow, trial.now.unit), 3);
          }),
          unit: () => unitSign(trial.now.unit),
        }]
      : []),
    costColumn(scene),
    gainColumn(scene),
    column("option", "Best screen", "", (row) => optionName(scene, row)),
  ];
}

export function optionName({ offtakes }: Scene, row: number): string {
  return offtakes.options[offtakes.best_option[row] ?? -1]?.name ?? "none fits";
}

function costColumn({ facts, offtakes }: Scene): ListColumn {
  const unit = `thousand ${facts.currency}`.trim();
  const { capital, capital_band: bands } = offtakes;
  return column("money", "Cost", unit, (row) => {
    const band = bands?.[row];
    if (!capital) return band ? `${figures(band[0] / 1e3, 2)}–${figures(band[1] / 1e3, 2)}` : NOTHING;
    const amount = capital[row];
    return amount == null ? NOTHING : figures(amount / 1000, 3);
  });
}

/** Where production is an index, gains are shares of the loss; heads are shown only if counted. */
function gainColumn({ facts, offtakes }: Scene): ListColumn {
  const money = facts.currency || "money";
  if (facts.counted && offtakes.gain_per_1000) {
    const gains = offtakes.gain_per_1000;
    return column("gain", "Gain", `adults a year per 1,000 ${money}`, (row) =>
      figures(gains[row] ?? NaN, 2),
    );
  }
  const cost = offtakes.life_cycle_cost;
  if (!cost) {
    return column("gain", "Gain", "% of loss", (row) =>
      percentFigure((offtakes.gain_share[row] ?? 0) / MILLION),
    );
  }
  return column("gain", "Gain", `% of loss per 100,000 ${money}`, (row) => {
    const share = (offtakes.gain_share[row] ?? 0) / MILLION;
    const amount = cost[row];
    return amount ? figures((share * 100 * 100_000) / amount, 2) : NOTHING;
  });
}

function column(
  name: string,
  title: string,
  unit: string,
  text: (row: number) => string,
): ListColumn {
  return { name, title, unit: () => unit, text };
}
