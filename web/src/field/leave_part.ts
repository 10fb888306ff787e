// Taking a run off the phone: asked in another place than the one that was pressed, and only of what can be fetched again.
import { element } from "../parts/element.ts";
import { AskError } from "../wire/ask.ts";
import { fetchPackText } from "../wire/field.ts";
import { leaveBehind } from "./packs.ts";
import { button } from "./parts.ts";
import { RUNS } from "./screen.ts";

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
      await leaveBehind(runId);
      location.hash = RUNS;
    } catch (error) {
      close();
      told.textContent = error instanceof AskError && error.status !== 0 ? `Not taken off: it could not be fetched again here. ${error.message}` : OFFLINE;
    } finally {
      busy = false;
    }
  }

  return element("div", { class: "leave-part" }, [remove, told, asked]);
}
