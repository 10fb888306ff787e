// What single keys do on the first screen.
import type { Desk } from "../core/desk.ts";
import { otherWay } from "../core/fund_words.ts";
import { ALL_GUILDS } from "../core/trial.ts";
import { UNITS } from "../core/units.ts";
import type { ControlStrip } from "../parts/control_strip.ts";
import type { KeyAction } from "../parts/key_help.ts";
import type { RankedList } from "../parts/ranked_list.ts";

/** `cases` opens the saved or shared cases, where there are any to open; `visits` the field days. */
export function keyActions({ scene, trial, fund }: Desk, strip: ControlStrip, list: RankedList, cases: (() => void) | null, visits: (() => void) | null): KeyAction[] {
  const casesWords = scene.offtakes.viewer === "lead" ? "cases: save, open, compare, print" : "shared cases: read, print";
  const guilds = [ALL_GUILDS, ...scene.facts.guilds.map(({ guild_id }) => guild_id)];
  const years = ["mean", "dry", "median", "wet"] as const;
  return [
    { key: "/", words: "find an offtake", act: strip.search },
    { key: "w", words: trial.now.budget === null ? "weights" : "weights and budget", act: () => strip.open("weights") },
    ...(trial.now.budget === null ? [] : [{ key: "b", words: "where the budget ends", act: list.goToLine }]),
    ...(fund
      ? [
          { key: "s", words: "by score, or best set", act: () => trial.change({ way: otherWay(trial.now.way) }) },
          { key: "m", words: "list, or money and benefit", act: () => trial.change({ tab: trial.now.tab === "list" ? "money" : "list" }) },
        ]
      : []),
    ...(cases ? [{ key: "c", words: casesWords, act: cases }] : []),
    ...(visits ? [{ key: "d", words: "visits: plan field days", act: visits }] : []),
    { key: "v", words: "how things are shown", act: () => strip.open("view") },
    { key: "y", words: "next kind of year", act: () => trial.change({ year: after(years, trial.now.year) }) },
    { key: "f", words: "next fish", act: () => trial.change({ guild: after(guilds, trial.now.guild) }) },
    { key: "u", words: "next unit", act: () => trial.change({ unit: after(UNITS, trial.now.unit) }) },
    { key: "t", words: "other theme", act: () => trial.change({ theme: trial.now.theme === "light" ? "projector" : "light" }) },
  ];
}

function after<Value>(all: readonly Value[], now: Value): Value {
  return all[(all.indexOf(now) + 1) % all.length] ?? now;
}
