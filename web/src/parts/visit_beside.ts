// What is said beside the days: what each of them shows, which site would be next, where a measurement could
// change the set, and why the others are left out.
import type { Dispose } from "../core/dispose.ts";
import { percent } from "../core/numbers.ts";
import { dayShares, lasting } from "../core/visit_words.ts";
import type { VisitsKept } from "../core/visits_kept.ts";
import type { CodeWords, PlanTold } from "../wire/visits.ts";
import { element } from "./element.ts";

export interface BesideWays {
  readonly show: (code: string) => void;
  /** Plans again with this site in any case. */
  readonly see: (code: string) => void;
}

const MOST_SKIPPED = 60;
const MILLION = 1e6;
/** A day that lacks less than this lacks nothing. */
const FITS_MIN = 0.5;

export function mountVisitBeside(host: HTMLElement, kept: VisitsKept, { show, see }: BesideWays): Dispose {
  const shell = element("div", { class: "visit-beside" });
  host.append(shell);
  let drawn = "";

  function draw(): void {
    const { now } = kept;
    const key = JSON.stringify(now && [now.told.buys, now.told.next, now.told.changes, now.told.cannot_change, now.told.skipped, kept.planning.now.state === "working", kept.isMoved, kept.stale]);
    if (key === drawn) return;
    drawn = key;
    const open = [...shell.querySelectorAll("details[open]")].map(({ id }) => id);
    shell.replaceChildren(...(now ? parts(now.told) : []));
    for (const id of open) shell.querySelector(`#${id}`)?.setAttribute("open", "");
  }

  function parts(told: PlanTold): HTMLElement[] {
    return [
      ...(told.buys.length > 1 ? [buysPart(told.buys, ofPlan())] : []),
      ...(told.next ? [nextPart(told.next)] : []),
      ...changesPart(told.changes, "Where a measurement could change the set", "At none of these stops does one measurement alone change the set."),
      ...changesPart(told.cannot_change, "Left out: nothing measured there could change it", ""),
      ...(told.skipped.length ? [skippedPart(told.skipped)] : []),
    ];
  }

  /** What was worked out for the plan is not worked out again for an order made by hand. */
  function ofPlan(): HTMLElement[] {
    return kept.isMoved ? [element("p", { class: "why-note visit-of-plan" }, ["Of the plan as worked out, before its order was changed by hand."])] : [];
  }

  function codeButton(code: string): HTMLElement {
    const button = element("button", { type: "button", class: "quiet visit-code", "aria-label": `${code}: show it on the map` }, [code]);
    button.addEventListener("click", () => show(code));
    return button;
  }

  function nextPart({ code, extra_min: extra, takes_min: takes, day, worth_share: worth }: NonNullable<PlanTold["next"]>): HTMLElement {
    const button = element("button", { type: "button", class: "strip-button" }, [`See ${code} in any case`]);
    button.addEventListener("click", () => see(code));
    const whole = takes === undefined ? "" : `: going there and measuring take ${lasting(takes)}`;
    const when = extra < FITS_MIN ? ` fits into day ${day ?? 1} as it is now` : ` if day ${day ?? 1} were ${lasting(Math.max(1, extra))} longer`;
    return part("visit-next", "Next would be", [
      element("p", { class: kept.stale ? "stale" : "" }, [codeButton(code), `${when}${whole}. It is worth ${percent(worth / MILLION)} of the site that is worth most.`]),
      element("div", { class: "edit-buttons" }, [button]),
    ]);
  }

  function changesPart(all: readonly CodeWords[] | null, title: string, none: string): HTMLElement[] {
    if (!all || (!all.length && !none)) return [];
    const items = all.map(({ code, words }) => element("li", {}, [codeButton(code), ` ${words}${/[.!?]$/.test(words) ? "" : "."}`]));
    return [part(none ? "visit-changes" : "visit-idle", title, [...ofPlan(), items.length ? element("ul", { class: "visit-list" }, items) : element("p", {}, [none])])];
  }

  function skippedPart(skipped: PlanTold["skipped"]): HTMLElement {
    const items = skipped.slice(0, MOST_SKIPPED).map(({ code, why }) => element("li", {}, [codeButton(code), ` ${why}.`]));
    const rest = skipped.length - items.length;
    const could = skipped.filter((each) => each.could_change).length;
    const words = could ? `Left out, and why: ${skipped.length}, of which ${could} could change the set` : `Left out, and why: ${skipped.length}`;
    return element("details", { class: "visit-fold", id: "visit-skipped" }, [
      element("summary", {}, [words]),
      element("ul", { class: "visit-list" }, [...items, ...(rest > 0 ? [element("li", {}, [`and ${rest} more, worth less`])] : [])]),
    ]);
  }

  draw();
  const stop = kept.onChange(draw);
  return () => {
    stop();
    shell.remove();
  };
}

function part(id: string, title: string, children: readonly HTMLElement[]): HTMLElement {
  return element("section", { class: "visit-part", "aria-labelledby": id }, [element("h4", { id }, [title]), ...children]);
}

function buysPart(buys: PlanTold["buys"], ofPlan: readonly HTMLElement[]): HTMLElement {
  const rows = dayShares(buys).map(({ share, adds }, i) =>
    element("tr", {}, [
      element("th", { scope: "row" }, [i === 0 ? "1 day" : `${i + 1} days`]),
      element("td", {}, [share === null ? "too few for what must be seen" : percent(share)]),
      element("td", {}, [i === 0 || adds === null ? "" : percent(adds)]),
      element("td", { "aria-hidden": "true", class: "visit-bar-cell" }, [bar(share ?? 0)]),
    ]),
  );
  const heads = ["Days out", `Shows, of what ${buys.length} show`, "The last one adds", ""].map((words, i) => (i < 3 ? element("th", { scope: "col" }, [words]) : element("td", { "aria-hidden": "true" })));
  return part("visit-buys", "What each day buys", [
    ...ofPlan,
    element("table", { class: "why-table visit-table" }, [element("thead", {}, [element("tr", {}, heads)]), element("tbody", {}, rows)]),
  ]);
}

function bar(share: number): HTMLElement {
  const made = element("span", { class: "visit-bar" });
  made.style.setProperty("--share", String(Math.max(0, Math.min(1, share))));
  return made;
}
