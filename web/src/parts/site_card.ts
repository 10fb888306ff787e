// The selected offtake in plain numbers.
import { type Chosen, NONE } from "../core/chosen.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { decimals, figures, money, percent } from "../core/numbers.ts";
import type { Scene } from "../core/scene.ts";
import { kindWords, siteSentence } from "../core/sentences.ts";
import { optionName } from "./columns.ts";
import { element } from "./element.ts";

const MILLION = 1e6;

export interface SiteCard {
  readonly dispose: Dispose;
  /** How much of another element's left it covers; 0 where it lies elsewhere. */
  readonly coveredPx: (other: HTMLElement) => number;
}

export function mountSiteCard(host: HTMLElement, scene: Scene, chosen: Chosen): SiteCard {
  const card = element("section", { class: "card", "aria-live": "polite", "aria-label": "Selected offtake" });
  card.hidden = true;
  host.append(card);

  function show(row: number): void {
    card.hidden = row === NONE;
    card.replaceChildren(...(row === NONE ? [] : content(scene, row, () => chosen.select(NONE, "card"))));
  }

  show(chosen.now.selected);
  const dispose = together([
    chosen.onChange((now, before) => {
      if (now.selected !== before.selected) show(now.selected);
    }),
    listen(card, "keydown", (event) => {
      if (event.key === "Escape") chosen.select(NONE, "card");
    }),
    () => card.remove(),
  ]);
  return {
    dispose,
    coveredPx: (other) => {
      const [mine, under] = [card.getBoundingClientRect(), other.getBoundingClientRect()];
      const beside = mine.right > under.left && mine.right < under.left + 0.7 * under.width;
      return !card.hidden && beside ? mine.right - under.left : 0;
    },
  };
}

function content(scene: Scene, row: number, close: () => void): HTMLElement[] {
  const { offtakes } = scene;
  const label = offtakes.label[row];
  const button = element("button", { type: "button", class: "card-close", "aria-label": "Close" }, ["×"]);
  button.addEventListener("click", close);
  return [
    element("div", { class: "card-head" }, [
      element("p", { class: "card-rank" }, [`Rank ${decimals(offtakes.rank[row] ?? 0, 0)} of ${decimals(offtakes.count, 0)}`]),
      element("h2", {}, [offtakes.offtake_id[row] ?? "", ...(label ? [element("span", { class: "card-label" }, [label])] : [])]),
      button,
    ]),
    element("p", { class: "card-sentence" }, [
      siteSentence((offtakes.loss_share[row] ?? 0) / MILLION, (offtakes.overlap[row] ?? 0) / MILLION),
    ]),
    element(
      "dl",
      {},
      facts(scene, row).map(([term, value]) =>
        element("div", {}, [element("dt", {}, [term]), element("dd", {}, [value])]),
      ),
    ),
  ];
}

/** Term and value; what this viewer may not see, or what is not there, is left out. */
function facts(scene: Scene, row: number): [string, string][] {
  const { offtakes, reaches, facts: about } = scene;
  const capacity = offtakes.capacity_m3s?.[row];
  const volume = offtakes.volume_ml?.[row];
  const capital = offtakes.capital?.[row];
  const band = offtakes.capital_band?.[row];
  const life = offtakes.life_cycle_cost?.[row];
  const fitted = offtakes.fitted[row];
  const years = decimals(about.horizon_years, 0);
  const told: [string, string | null | undefined][] = [
    ["Intake", kindWords(offtakes.kind[row] ?? "")],
    ["River", reaches.name[offtakes.reach[row] ?? -1]],
    ["Score", decimals((offtakes.score[row] ?? 0) / 1e9, 3)],
    ["Capacity", capacity == null ? null : `${figures(capacity * 86.4, 3)}\u00a0ML/d`],
    ["Draws", volume == null ? null : `${figures(volume, 3)}\u00a0ML a year`],
    ["Fitted today", fitted && fitted !== "none" ? fittedName(scene, fitted) : "no screen"],
    ["Best screen", optionName(scene, row)],
    ["Cost", capital != null ? money(capital, about.currency) : band && bandWords(band, about.currency)],
    [`Cost over ${years} years`, life == null ? null : money(life, about.currency)],
    ["Gain", gainWords(scene, row)],
  ];
  return told.filter((each): each is [string, string] => Boolean(each[1]));
}

function bandWords([from, to]: readonly [number, number], currency: string): string {
  return `${money(from, "")} to ${money(to, currency)}`;
}

function gainWords({ offtakes, facts }: Scene, row: number): string | null {
  if ((offtakes.best_option[row] ?? NONE) === NONE) return null;
  const adults = offtakes.gain_adults?.[row];
  if (facts.counted && adults != null) return `${figures(adults, 3)} adults a year`;
  return `avoids ${percent((offtakes.gain_share[row] ?? 0) / MILLION)} of the loss to pumps`;
}

function fittedName({ offtakes }: Scene, fitted: string): string {
  return offtakes.options.find((option) => option.option_id === fitted)?.name ?? fitted;
}
