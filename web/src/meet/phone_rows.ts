// One offtake in a list of the phone's page: where it stands, what it takes, and its why when asked.
import { element } from "../parts/element.ts";
import { type Sets, type Stand, standOf, standWords } from "./phone_stands.ts";
import { lossWords, paysWords, whyWords } from "./phone_words.ts";
import type { Offtake } from "./wire.ts";

export interface Row {
  readonly element: HTMLLIElement;
  readonly show: (sets: Sets) => void;
}

/** `list` tells one list's rows from another's. `more` stands with the why. */
export function makeRow(site: Offtake, list: string, currency: string, more: readonly HTMLElement[] = []): Row {
  const sign = element("span", { "aria-hidden": "true" });
  const stands = element("span", { class: "site-stands" });
  const why = element("p", {});
  const opened = element("div", { class: "site-why", id: `${list}-why-${site.rank}`, hidden: "" }, [why, ...more]);
  const opener = element("button", { type: "button", class: "site", "aria-expanded": "false", "aria-controls": opened.id }, [
    sign,
    element("span", { class: "site-words" }, [
      element("span", { class: "site-code" }, [`${site.rank}. ${site.code}`]),
      stands,
      element("span", { class: "site-reach" }, [site.reach]),
      element("span", { class: "site-facts" }, [`${lossWords(site)} · ${paysWords(site)}`]),
    ]),
    element("span", { class: "site-ask" }, ["Why?"]),
  ]);
  opener.addEventListener("click", () => {
    opened.hidden = !opened.hidden;
    opener.setAttribute("aria-expanded", String(!opened.hidden));
  });
  return {
    element: element("li", { "data-code": site.code }, [opener, opened]),
    show: (sets) => {
      const stand = standOf(site, sets);
      sign.className = `round-sign round-sign-${signOf(stand)} risk-${site.risk + 1}`;
      stands.textContent = standWords(stand, sets);
      why.textContent = whyWords(site, stand, currency, sets);
    },
  };
}

/** As on the map: full where the weights of this phone reach. */
function signOf(stand: Stand): string {
  if (stand === "not this round") return "not-this-round";
  return stand === "own" || stand === "both" ? "inside" : "outside";
}
