// Undo and redo of what is tried, by button and by the keys everyone knows.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Trial } from "../core/trial.ts";
import type { Undoing } from "../core/undoing.ts";
import { element } from "./element.ts";
import { isOverThePage, isTyping } from "./typing.ts";

export interface UndoButtons {
  readonly buttons: readonly HTMLButtonElement[];
  readonly dispose: Dispose;
}

/** `host` is told in words what was taken back; the buttons are put where they belong by the caller. */
export function makeUndoButtons(host: HTMLElement, trial: Trial, undoing: Undoing): UndoButtons {
  const undo = element("button", { type: "button", class: "strip-button", "aria-keyshortcuts": "Control+Z", title: "Undo (Ctrl+Z)" }, ["Undo"]);
  const redo = element("button", { type: "button", class: "strip-button", "aria-keyshortcuts": "Control+Shift+Z", title: "Redo (Ctrl+Shift+Z)" }, ["Redo"]);
  const told = element("p", { class: "unseen", role: "status" });
  host.append(told);

  function show(): void {
    undo.setAttribute("aria-disabled", String(!undoing.canUndo));
    redo.setAttribute("aria-disabled", String(!undoing.canRedo));
  }

  function go(back: boolean, going: boolean): void {
    const words = back ? undoing.undo(going) : undoing.redo(going);
    if (words) told.textContent = `${back ? "Undone" : "Done again"}: ${words}.`;
    else told.textContent = trial.now.held ? "A case does not move." : `Nothing to ${back ? "undo" : "redo"}.`;
  }

  function pressed(event: KeyboardEvent): void {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || isTyping(event.target) || isOverThePage(event.target)) return;
    const key = event.key.toLowerCase();
    const forth = (key === "z" && event.shiftKey) || (key === "y" && event.ctrlKey);
    if (key !== "z" && !forth) return;
    event.preventDefault();
    go(!forth, event.repeat);
  }

  show();
  document.addEventListener("keydown", pressed);
  const dispose = together([
    undoing.onChange(show),
    listen(undo, "click", () => go(true, false)),
    listen(redo, "click", () => go(false, false)),
    () => {
      document.removeEventListener("keydown", pressed);
      told.remove();
    },
  ]);
  return { buttons: [undo, redo], dispose };
}
