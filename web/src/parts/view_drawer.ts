// How things are shown: which years, whose loss, in which unit, in which light. None of it moves
// score, rank or set.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { shortName, yearWords } from "../core/sentences.ts";
import { ALL_GUILDS, type Theme, type TrialState, type Year } from "../core/trial.ts";
import { UNITS, unitSign } from "../core/units.ts";
import { element } from "./element.ts";

type Shown = "year" | "guild" | "unit" | "theme";
type Choice = readonly [value: string, words: string];

const YEARS: readonly Year[] = ["mean", "dry", "median", "wet"];
const THEMES: readonly (readonly [Theme, string])[] = [
  ["light", "Desk"],
  ["projector", "Projector"],
];

export function mountViewDrawer(host: HTMLElement, { scene, trial }: Desk): Dispose {
  const guilds = scene.facts.guilds.map(({ guild_id, name, species }): Choice => [
    guild_id,
    species ? `${shortName(name)} (${species})` : shortName(name),
  ]);
  const parts: [Shown, string, readonly Choice[]][] = [
    ["year", "Years", YEARS.map((year) => [year, sentenceCase(yearWords(year))])],
    ["guild", "Fish", [[ALL_GUILDS, "All guilds"], ...guilds]],
    ["unit", "Unit of flow", UNITS.map((unit) => [unit, unitSign(unit)])],
    ["theme", "Theme", THEMES],
  ];
  const selects = parts.map(([name, words, choices]) => {
    const select = element(
      "select",
      { name },
      choices.map(([value, text]) => element("option", { value }, [text])),
    );
    host.append(element("label", { class: "choice" }, [element("span", {}, [words]), select]));
    return { name, select };
  });
  host.append(element("p", { class: "drawer-foot" }, [
    "Years and fish change the loss, the risk and the colours shown; never score, rank or who is funded.",
  ]));

  const show = (): void => {
    for (const { name, select } of selects) select.value = trial.now[name];
  };
  show();
  return together([
    trial.onChange(show),
    ...selects.map(({ name, select }) =>
      listen(select, "change", () => trial.change({ [name]: select.value } as Partial<TrialState>)),
    ),
    () => host.replaceChildren(),
  ]);
}

function sentenceCase(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
