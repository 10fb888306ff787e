// Taking a run off the phone: asked in another place than the one that was pressed, and only of what
// can be fetched again; where the service knows it no more, its unsent notes are offered as a file first.
import { element } from "../parts/element.ts";
import { AskError } from "../wire/ask.ts";
import { fetchPackText } from "../wire/field.ts";
import { saveFile } from "./note_file.ts";
import { unsentOf } from "./notebook.ts";
import { leaveBehind } from "./packs.ts";
import { button, doing } from "./parts.ts";
import { RUNS } from "./screen.ts";
import { many } from "./words.ts";

/** What the service answers of a run that is not there, or another's. */
const UNKNOWN = 404;
const OFFLINE = "Not taken off: it could not be fetched again here without a connection.";

export function makeLeavePart(runId: string): HTMLElement {
  const told = element("p", { class: "told", role: "status" });
  const asked = element("div", { class: "leave-asked" });
  let busy = false;

  /** What was pressed stays where it is: a second tap there takes the question back. */
  const remove = button("Take it off this phone", "", () => {
    if (busy) return;
    told.textContent = "";
    if (asked.childElementCount) return close();
    if (!navigator.onLine) {
      told.textContent = OFFLINE;
      return;
    }
    remove.setAttribute("aria-expanded", "true");
    asked.replaceChildren(element("p", {}, ["Contacts and places of this run go off the phone; your notes stay."]), cancel, sure);
    cancel.focus({ preventScroll: true });
  });
  remove.setAttribute("aria-expanded", "false");
  const cancel = button("Cancel", "", () => {
    close();
    remove.focus({ preventScroll: true });
  });
  const sure = button("Yes, take it off; my notes stay", "", () => void go());

  function close(): void {
    asked.replaceChildren();
    remove.setAttribute("aria-expanded", "false");
  }

  /** Fetched once more before it goes, so that it is known to be there. */
  async function go(): Promise<void> {
    if (busy) return;
    busy = true;
    told.textContent = "Asking whether it could be fetched again…";
    try {
      await fetchPackText(runId);
      await leave();
    } catch (error) {
      close();
      const status = error instanceof AskError ? error.status : 0;
      if (status === UNKNOWN) await askUnknown();
      else told.textContent = error instanceof Error && status !== 0 ? `Not taken off: it could not be fetched again here. ${error.message}` : OFFLINE;
    } finally {
      busy = false;
    }
  }

  async function leave(): Promise<void> {
    await leaveBehind(runId);
    location.hash = RUNS;
  }

  /** It can never be fetched again, nor take notes: those that are not yet sent are offered as a file first. */
  async function askUnknown(): Promise<void> {
    const unsent = await unsentOf(runId);
    told.textContent = "";
    const save = button(`Save ${many(unsent, "unsent note")} as a file`, "main", () => undefined);
    doing(save, "Saving…", told, async () => {
      const { name, notes } = await saveFile(runId);
      return `${many(notes, "note")} saved as ${name}.`;
    });
    const off = button(unsent ? "Take the run off; its notes stay here too" : "Take the run off", "", () => void leave());
    const why = "The service has no such run for you any more: it cannot be fetched again.";
    const waits = unsent ? ` ${many(unsent, "note")} of it ${unsent === 1 ? "is" : "are"} not yet sent and may not be taken there: save a file for your lead first.` : "";
    asked.replaceChildren(element("p", {}, [why + waits]), cancel, ...(unsent ? [save] : []), off);
    remove.setAttribute("aria-expanded", "true");
    cancel.focus({ preventScroll: true });
  }

  return element("div", { class: "leave-part" }, [remove, told, asked]);
}
