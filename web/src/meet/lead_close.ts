// Closing the meeting: said in full before it is done, then where its minutes are.
import { element } from "../parts/element.ts";
import { wordsOf } from "../parts/form_field.ts";
import type { AgreedPart } from "./lead_agreed.ts";
import type { Closed, LeadDesk } from "./lead_desk.ts";
import { button, section } from "./lead_parts.ts";
import { closingWords } from "./lead_words.ts";

export function closePart(desk: LeadDesk, agreed: AgreedPart, closed: (told: Closed) => void): HTMLElement {
  const host = element("div", { class: "lead-closing" });

  function offer(focus = false): void {
    const open = button("Close the meeting…", "", ask);
    host.replaceChildren(element("p", { class: "lead-soft" }, ["It says first what happens then."]), open);
    if (focus) open.focus();
  }

  function ask(): void {
    const go = button("Close it now", "lead-main", () => void close(go, wrong));
    const not = button("Not now", "", () => offer(true));
    const wrong = element("p", { class: "lead-wrong", role: "alert" });
    const words = element("ul", { id: "lead-closing-words" }, closingWords(desk.now()?.agreed, agreed.typed(), agreed.pending()).map((each) => element("li", {}, [each])));
    go.setAttribute("aria-describedby", "lead-closing-words");
    host.replaceChildren(words, element("div", { class: "lead-go" }, [go, not]), wrong);
    go.focus();
  }

  async function close(go: HTMLButtonElement, wrong: HTMLElement): Promise<void> {
    if (go.disabled) return;
    [go.disabled, go.textContent, wrong.textContent] = [true, "Closing…", ""];
    try {
      await agreed.send();
      closed(await desk.close());
    } catch (error) {
      [go.disabled, go.textContent] = [false, "Close it now"];
      wrong.textContent = wordsOf(error, "It could not be closed.");
    }
  }

  offer();
  return section("close", "Close the meeting", [host]);
}
