// Notes of one field that contradict each other, side by side: who wrote which and when, one that is to stand,
// and why. The others stay beside it.
import { Sender } from "../core/edit_send.ts";
import { noteLabel, typedWords, writtenWords } from "../core/proposal_words.ts";
import { chooseNote } from "../wire/proposals.ts";
import type { Contested } from "../wire/notes.ts";
import { keptName } from "./edit_grounds.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";

export interface ContestedWays {
  readonly show: (code: string) => void;
  readonly chosen: (words: string) => void;
}

export function contestedPart(all: readonly Contested[], ways: ContestedWays): HTMLElement {
  return element("section", { class: "visit-contested", "aria-labelledby": "visit-contested" }, [
    element("h3", { id: "visit-contested" }, ["These contradict each other: choose first"]),
    ...all.map((each, i) => oneContested(each, i, ways)),
  ]);
}

function oneContested({ code, field, notes }: Contested, at: number, { show, chosen }: ContestedWays): HTMLElement {
  const id = `visit-contested-${at}`;
  const name = element("button", { type: "button", class: "quiet visit-code", "aria-label": `${code}: show it on the map` }, [code]);
  name.addEventListener("click", () => show(code));
  const radios = notes.map((note) => element("input", { type: "radio", name: id, value: note.id }));
  const why = element("input", { id: `${id}-why`, type: "text", class: "text-field", maxlength: 500, autocomplete: "off", "aria-describedby": `${id}-wrong` });
  const wrong = element("p", { id: `${id}-wrong`, class: "edit-wrong", role: "alert" });
  const go = element("button", { type: "submit", class: "strip-button" }, ["This one stands"]);
  const form = element("form", { class: "visit-proposal", novalidate: "", "aria-label": `${code}: ${noteLabel(field)}` }, [
    element("p", {}, [name, ` ${noteLabel(field)}`]),
    element("fieldset", { class: "visit-sides" }, [
      element("legend", { class: "unseen" }, ["Which stands"]),
      ...notes.map((note, i) =>
        element("label", { class: "visit-side" }, [
          ...(radios[i] ? [radios[i]] : []),
          element("span", {}, [element("strong", {}, [typedWords(note)]), element("span", { class: "visit-small" }, [writtenWords(note)])]),
        ]),
      ),
    ]),
    element("div", { class: "edit-field" }, [element("label", { for: why.id }, ["Why this one"]), why, wrong]),
    element("div", { class: "edit-buttons" }, [go]),
  ]);
  const sender = new Sender<Omit<Parameters<typeof chooseNote>[0], "id">, unknown>((asked) => chooseNote(asked));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void send();
  });

  async function send(): Promise<void> {
    const pick = radios.find(({ checked }) => checked)?.value;
    if (!pick) {
      wrong.textContent = "Choose one of them first.";
      radios[0]?.focus();
      return;
    }
    if (!why.value.trim()) {
      wrong.textContent = "Write why first: it is kept with the notes.";
      why.focus();
      return;
    }
    go.disabled = true;
    const sent = await sender.send({ note_ids: notes.map((note) => note.id), pick, why: why.value.trim(), ...(keptName() ? { by: keptName() } : {}) });
    go.disabled = false;
    if (sent.state === "done") chosen(`Chosen for ${code}.`);
    else wrong.textContent = sent.state === "refused" ? wordsOf(sent.error, "It cannot be chosen.") : "No answer came. Choose again: it will not be done twice.";
  }

  return form;
}
