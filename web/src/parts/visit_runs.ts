// The runs that are saved: their sheet, their GPX, the phone's page, their order again, and a way to delete one.
import type { Dispose } from "../core/dispose.ts";
import { longDate, moment } from "../core/numbers.ts";
import { runCounts } from "../core/visit_words.ts";
import { deleteRun, fetchRun, fetchRuns, papersOfRun, type Run, type RunHead } from "../wire/visits.ts";
import { actButton, askFirst } from "./confirm_act.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";

export interface RunsWays {
  /** Id of the run that is open; "" for none. */
  readonly opened: () => string;
  readonly open: (run: Run) => void;
  readonly gone: (id: string) => void;
}

export function mountVisitRuns(host: HTMLElement, ways: RunsWays): Dispose {
  const told = element("p", { role: "status" }, ["Reading the runs…"]);
  const list = element("ul", { class: "visit-runs", "aria-label": "Saved runs" });
  const shell = element("div", {}, [told, list]);
  host.append(shell);
  let gone = false;

  async function read(words = ""): Promise<void> {
    try {
      const { runs } = await fetchRuns();
      if (gone) return;
      told.textContent = words || (runs.length ? "" : "No run is saved yet. Plan some days and save them.");
      list.replaceChildren(...runs.map(item));
    } catch (error) {
      if (!gone) told.textContent = wordsOf(error, "The runs cannot be read.");
    }
  }

  function item({ id, name, on, officer, codes, made_at: made, ordered_at: ordered, by }: RunHead): HTMLElement {
    const acts = element("div", { class: "case-acts" });
    const { sheet, gpx, phone } = papersOfRun(id);
    const links = [
      link("Run sheet", sheet, name, { target: "_blank", rel: "noopener" }),
      link("GPX", gpx, name, { download: "" }),
      link("Open on a phone", phone, name, { target: "_blank", rel: "noopener" }),
    ];
    const made_by = element("p", { class: "case-stamp" }, [`Saved ${moment(made)}${by ? ` by ${by}` : ""}${ordered ? `; moved ${moment(ordered)}` : ""}${ways.opened() === id ? ". Open now" : ""}`]);

    function showActs(): void {
      acts.replaceChildren(
        actButton("Open and move", `Open and move the order of ${name}`, () => void open()),
        actButton("Delete…", `Delete ${name}`, () =>
          askFirst(acts, {
            words: "It goes off the list. A phone that holds it can still send its notes.",
            yes: "Delete", of: name,
            act: async () => {
              await deleteRun(id);
              ways.gone(id);
              await read(`${name} is deleted.`);
            },
            back: () => {
              showActs();
              acts.querySelector<HTMLElement>("button:last-of-type")?.focus();
            },
          }),
        ),
      );
    }

    async function open(): Promise<void> {
      try {
        const run = await fetchRun(id);
        if (gone) return;
        if (run.plan.asked) ways.open(run);
        else told.textContent = `${name} does not say how it was planned, so its order cannot be moved here.`;
      } catch (error) {
        if (!gone) told.textContent = wordsOf(error, "It cannot be opened.");
      }
    }

    showActs();
    return element("li", { class: "case", "data-run": id }, [
      element("h3", {}, [name]),
      element("p", {}, [[longDate(on), officer, runCounts(codes)].filter(Boolean).join(" · ")]),
      made_by,
      acts,
      element("ul", { class: "case-papers", "aria-label": `Papers and files of ${name}` }, links),
    ]);
  }

  void read();
  return () => {
    gone = true;
    shell.remove();
  };
}

function link(words: string, address: string, name: string, attributes: Readonly<Record<string, string>>): HTMLElement {
  return element("li", {}, [element("a", { href: address, "aria-label": `${words}: ${name}`, ...attributes }, [words])]);
}
