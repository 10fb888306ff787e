// A line at the head of a map that the public may see: the sign-in has ended, and the way back in.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";

export interface EndedNote {
  readonly show: (words: string) => void;
  readonly hide: () => void;
  readonly dispose: Dispose;
}

/** `after` is what stands before it at the head; `closed` hears that it was put away by hand. */
export function mountEndedNote(after: HTMLElement, signIn: () => void, closed: () => void): EndedNote {
  const words = element("p", { role: "status" });
  const again = element("button", { type: "button", class: "strip-button" }, ["Sign in again"]);
  const shut = element("button", { type: "button", class: "quiet" }, ["Close this note"]);
  const note = element("div", { class: "ended-note" }, [words, again, shut]);
  const hide = (): void => {
    words.textContent = "";
    note.remove();
  };
  return {
    show: (told) => {
      after.after(note);
      words.textContent = told;
    },
    hide,
    dispose: together([
      listen(again, "click", signIn),
      listen(shut, "click", () => {
        hide();
        closed();
      }),
      hide,
    ]),
  };
}
