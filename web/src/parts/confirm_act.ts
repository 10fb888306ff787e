// One more question before what cannot be taken back: the words, the deed, and a way out.
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";

export interface Deed {
  readonly words: string;
  /** What the button says. */
  readonly yes: string;
  /** What it is about, for whoever hears the button alone. */
  readonly of: string;
  readonly act: () => Promise<void>;
  /** It was left, or refused and left: shows what stood there before. */
  readonly back: () => void;
}

/** In place of what `acts` holds; the focus goes to the deed. */
export function askFirst(acts: HTMLElement, { words, yes, of, act, back }: Deed): void {
  const go = actButton(yes, `${yes}: ${of}`, () => {
    go.disabled = true;
    act().catch((error: unknown) => {
      go.disabled = false;
      wrong.textContent = wordsOf(error, "It could not be done.");
    });
  });
  const not = actButton("Not now", `Not now: ${of}`, back);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  acts.replaceChildren(element("p", { class: "case-act-words" }, [words]), go, not, wrong);
  go.focus();
}

export function actButton(words: string, label: string, act: () => void): HTMLButtonElement {
  const button = element("button", { type: "button", class: "strip-button", "aria-label": label }, [words]);
  button.addEventListener("click", act);
  return button;
}
