// Takes rows from a spreadsheet: pasted with a header line of column names, seen as a table of changes
// first, and written as one edit.
import { Sender } from "../core/edit_send.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { faultsElsewhere, nearestName, previewCounts, type PreviewRow, previewRows } from "../core/paste_preview.ts";
import { type Change, type EditAsked, type EditDone, type PasteTold, previewPaste, sendEdit } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import { makeGrounds } from "./edit_grounds.ts";
import type { KeptForms } from "./edit_kept.ts";
import { makeReport } from "./edit_report.ts";
import { element } from "./element.ts";

export interface PasteWays {
  readonly kept: KeptForms;
  /** Tables of the biology and the screens alone. */
  readonly biology: boolean;
  /** Column names that are known, by table; the service says which it did not know. */
  readonly known: (table: string) => readonly string[];
  readonly saved: (done: EditDone, changes: readonly Change[]) => void;
}

const TABLES: readonly (readonly [string, string])[] = [
  ["offtakes", "Offtakes"], ["reaches", "Reaches"], ["options", "Screens"], ["efficacy", "What screens keep out"],
  ["prices", "Prices"], ["guilds", "Fish"], ["production", "Production"],
];
const BIOLOGY = ["guilds", "production", "options", "efficacy"];
const MOST_ROWS = 200;

export function mountPaste(host: HTMLElement, ways: PasteWays): Dispose {
  const tables = ways.biology ? TABLES.filter(([name]) => BIOLOGY.includes(name)) : TABLES;
  const table = element("select", { id: "paste-table", class: "text-field" }, tables.map(([value, words]) => element("option", { value }, [words])));
  const text = element("textarea", { id: "paste-text", class: "text-field paste-text", rows: 8, spellcheck: "false", "aria-describedby": "paste-how" });
  const look = element("button", { type: "button", class: "strip-button" }, ["See what would change"]);
  const preview = element("div", { class: "paste-preview" });
  const report = makeReport();
  const grounds = makeGrounds("paste", () => undefined);
  const apply = element("button", { type: "submit", class: "strip-button edit-save" }, ["Apply as one edit"]);
  const last = element("form", { class: "edit-form", novalidate: "" }, [grounds.element, element("div", { class: "edit-buttons" }, [apply])]);
  last.hidden = true;
  const shell = element("div", {}, [
    element("p", { id: "paste-how", class: "why-note" }, [
      `Copy the cells in the spreadsheet with their header line and paste them here, the column that names the row (${ways.biology ? "guild_id for fish" : "offtake_id for offtakes"}) among them. Column names and units are those of `,
      element("a", { href: "/guide/data", target: "_blank", rel: "noopener" }, ["the guide's data page"]),
      ": flows in m³/s. An empty cell makes the value blank.",
    ]),
    element("div", { class: "edit-fields" }, [
      element("div", { class: "edit-field" }, [element("label", { for: table.id }, ["Table"]), table]),
      element("div", { class: "edit-field edit-wide" }, [element("label", { for: text.id }, ["Cells with their header line"]), text]),
    ]),
    element("div", { class: "edit-buttons" }, [look]),
    report.element,
    preview,
    last,
  ]);
  host.append(shell);
  const kept = ways.kept.keep(shell, "paste");
  const sender = new Sender<Omit<EditAsked, "id">, EditDone>((asked) => sendEdit(asked));
  let seen: PasteTold | null = null;
  let asked = 0;

  function forget(): void {
    if (seen) report.say("Changed since it was looked at: see again what would change.");
    seen = null;
    preview.replaceChildren();
    last.hidden = true;
  }

  async function see(): Promise<void> {
    if (text.value.trim() === "") {
      report.warn("Paste the cells first.");
      text.focus();
      return;
    }
    const mine = (asked += 1);
    report.say("Comparing…");
    try {
      const told = await previewPaste(table.value, text.value);
      if (mine === asked) show(told);
    } catch (error) {
      if (mine === asked) report.warn(error instanceof Error ? error.message : "It cannot be compared.");
    }
  }

  function show(told: PasteTold): void {
    seen = told;
    const rows = previewRows(told.changes, told.findings);
    const counts = previewCounts(told, rows);
    const unknown = unknownWords(told, ways.known(table.value));
    const elsewhere = faultsElsewhere(rows, told.findings);
    preview.replaceChildren(...unknown.map((words) => element("p", { class: "edit-wrong" }, [words])), ...(rows.length ? [changeTable(rows)] : []));
    if (told.findings.length) report.warn(`${counts} It cannot be applied: ${told.findings.length === 1 ? "1 fault" : `${told.findings.length} faults`}, marked below.`, elsewhere);
    else report.say(counts, told.warnings);
    last.hidden = told.findings.length > 0 || told.changes.length === 0;
  }

  async function send(): Promise<void> {
    if (!seen || apply.disabled) return;
    if (grounds.lacksWhy()) return report.warn("");
    const { changes } = seen;
    apply.disabled = true;
    report.say("Saving…");
    const sent = await sender.send({ ...grounds.asked(), changes }, () => report.say("No answer yet; sent again under the same number…"));
    apply.disabled = false;
    if (sent.state === "done") {
      kept.forget();
      ways.saved(sent.done, changes);
    } else if (sent.state === "unknown") report.warn("No answer came, so it is not known whether it was saved. Apply it again: it will not be done twice.");
    else if (sent.error.status === 409) {
      report.warn("Somebody changed some of these cells meanwhile; nothing was written. See again what would change.");
      await see();
    } else report.warn(sent.error.message, (sent.error.told["findings"] as Finding[] | undefined) ?? []);
  }

  return together([
    listen(text, "input", forget),
    listen(table, "change", forget),
    listen(look, "click", () => void see()),
    listen(last, "submit", (event) => {
      event.preventDefault();
      void send();
    }),
    grounds.dispose,
    kept.dispose,
    () => shell.remove(),
  ]);
}

function unknownWords({ unknown_columns: unknown }: PasteTold, known: readonly string[]): string[] {
  return unknown.map((name) => {
    const nearest = nearestName(name, known);
    return `No column is called “${name}”, so it is left out.${nearest ? ` The nearest is ${nearest}.` : ""}`;
  });
}

function changeTable(rows: readonly PreviewRow[]): HTMLElement {
  const lines = rows.slice(0, MOST_ROWS).flatMap(({ key, isNew, cells }) =>
    cells.map(({ column, old, new: next, wrong }) =>
      element("tr", { ...(wrong ? { class: "paste-wrong" } : {}) }, [
        element("th", { scope: "row" }, [key || "(no key)"]),
        element("td", {}, [column]),
        element("td", {}, [isNew ? "new row" : old]),
        element("td", {}, [next, ...(wrong ? [element("span", { class: "edit-wrong" }, [wrong])] : [])]),
      ]),
    ),
  );
  const heads = ["Row", "Column", "Now", "New"].map((head) => element("th", { scope: "col" }, [head]));
  const table = element("table", { class: "why-table paste-table" }, [
    element("caption", { class: "unseen" }, ["What would change"]),
    element("thead", {}, [element("tr", {}, heads)]),
    element("tbody", {}, lines),
  ]);
  const rest = rows.length - MOST_ROWS;
  return element("div", { class: "paste-scroll", tabindex: 0, role: "region", "aria-label": "What would change" }, [
    table,
    ...(rest > 0 ? [element("p", { class: "why-note" }, [`and ${rest} more rows`])] : []),
  ]);
}
