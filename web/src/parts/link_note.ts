// What a link that was opened could not bring: numbers of its own data, what these data do not have, and
// the reasons of hand choices, which wait to be written.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Link } from "../core/link.ts";
import { listed } from "../core/sentences.ts";
import { element } from "./element.ts";

export interface LinkNote {
  readonly tell: (link: Link | null) => void;
  readonly dispose: Dispose;
}

export function mountLinkNote(host: HTMLElement, { scene, trial, chosen }: Desk): LinkNote {
  const words = element("p", { role: "status" });
  const shut = element("button", { type: "button", class: "quiet" }, ["Close this note"]);
  const note = element("div", { class: "link-note" }, [words, shut]);
  const waits = element("span");
  const codes = element("span", { class: "link-codes" });
  const waiting = element("div", { class: "link-waiting" }, [element("p", {}, [waits, " ", codes])]);
  host.append(note, waiting);

  function tell(link: Link | null): void {
    const told = link ? wordsOf(link, scene.facts.data_version) : "";
    words.textContent = told;
    note.hidden = !told;
  }

  function sayWaiting(): void {
    const { keptIn, leftOut } = trial.now;
    const all = Object.entries({ ...keptIn, ...leftOut }).flatMap(([code, reason]) => (reason ? [] : [code]));
    waiting.hidden = !all.length;
    waits.textContent = "Reasons are not in the link. Write one for each of these hand choices; until then it does not count:";
    codes.replaceChildren(...all.map((code) => element("button", { type: "button", class: "quiet", "data-code": code }, [`${code}, ${code in keptIn ? "kept in" : "left out"}`])));
  }

  tell(null);
  sayWaiting();
  const dispose = together([
    trial.onChange((now, before) => {
      if (now.keptIn !== before.keptIn || now.leftOut !== before.leftOut) sayWaiting();
    }),
    listen(shut, "click", () => tell(null)),
    listen(codes, "click", ({ target }) => {
      const code = (target as Element).closest<HTMLElement>("[data-code]")?.dataset["code"];
      if (code !== undefined) chosen.select(scene.offtakes.offtake_id.indexOf(code), "search");
    }),
    () => {
      note.remove();
      waiting.remove();
    },
  ]);
  return { tell, dispose };
}

function wordsOf({ dataVersion, unknown }: Link, present: string): string {
  const other = dataVersion && dataVersion !== present;
  return [
    other ? `This link was made on data version ${dataVersion}; shown is data version ${present}, so numbers may differ.` : "",
    unknown.length ? `It names ${listed(unknown)}, which these data do not have.` : "",
  ].filter(Boolean).join(" ");
}
