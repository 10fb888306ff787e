// What a screen means for whoever holds the pump. Shown only to those who may see it.
import { figures, money } from "../core/numbers.ts";
import { listed } from "../core/sentences.ts";
import { columnWords, inSentence } from "../core/why_words.ts";
import type { Landholder, Screen } from "../wire/why.ts";
import { element } from "./element.ts";
import { GUIDE, termList, whyBlock } from "./why_block.ts";

/** Null where no screen has a landholder's side this viewer may see. */
export function landholderBlock(
  screens: readonly Screen[],
  caveat: string | null | undefined,
  currency: string,
  horizonYears: number,
  fundedId: string | null,
): HTMLElement | null {
  const funded = screens.find((screen) => screen.option_id === fundedId);
  const shown = funded ?? screens.find((screen) => screen.is_best);
  if (!shown?.landholder) return null;
  const side = shown.landholder;
  return whyBlock("landholder", "The landholder's side", "the landholder's side is worked out", GUIDE.screen, [
    element("p", {}, [`With ${inSentence(shown.name)}.`]),
    termList([
      ["Pays once", money(side.pays_once, currency)],
      ["Upkeep a year", money(side.upkeep_per_year, currency)],
      ...savings(side, currency, horizonYears),
    ]),
    ...(side.missing.length ? [missing(side.missing)] : []),
    ...(caveat ? [element("p", { class: "why-note" }, [caveat])] : []),
  ]);
}

function savings(side: Landholder, currency: string, horizonYears: number): [string, string][] {
  const { saving_per_year: most, saving_per_year_low: least, payback_years: years, net_present_value: value } = side;
  if (most === null || least === null) return [];
  return [
    ["Saves a year, from–to", `${money(least, "")} to ${money(most, currency)}`],
    ["Pays back", years === null ? "not within its upkeep" : `in ${figures(years, 2)} years if all of it is saved`],
    ...(value === null ? [] : ([[`Net present value of all of it, ${horizonYears} years`, signed(value, currency)]] as [string, string][])),
  ];
}

/** A loss with the mark of print, not a hyphen. */
function signed(amount: number, currency: string): string {
  return amount < 0 ? `−${money(-amount, currency)}` : money(amount, currency);
}

function missing(columns: readonly string[]): HTMLElement {
  const names = listed(columns.map(columnWords));
  return element("p", { class: "why-do" }, [`Savings cannot be told: ${names} not given.`]);
}
