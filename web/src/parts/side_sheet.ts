// A sheet that comes in from the side over the page: a title, a way to shut it, one line on what was done.
import { type Dispose, listen, together } from "../core/dispose.ts";
import ofSheet from "../look/cases.css" with { type: "text" };
import ofPeople from "../look/people.css" with { type: "text" };
import ofForms from "../look/sign_in.css" with { type: "text" };
import { dress } from "./dress.ts";
import { element } from "./element.ts";

export interface SideSheet {
  readonly body: HTMLElement;
  readonly say: (words: string) => void;
  readonly open: () => void;
  readonly shut: () => void;
  readonly isOpen: () => boolean;
  readonly dispose: Dispose;
}

export function mountSideSheet(host: HTMLElement, id: string, title: string): SideSheet {
  for (const look of [ofSheet, ofForms, ofPeople]) dress(look);
  const shut = element("button", { type: "button", class: "why-close", "aria-label": `Close: ${title}` }, ["×"]);
  const told = element("p", { class: "case-told", role: "status" });
  const body = element("div", { class: "side-body" });
  const sheet = element("dialog", { class: `cases side-sheet ${id}`, "aria-labelledby": `${id}-title` }, [
    element("div", { class: "cases-head" }, [element("h2", { id: `${id}-title`, tabindex: -1, autofocus: "" }, [title]), shut]),
    element("div", { class: "cases-body" }, [told, body]),
  ]);
  host.append(sheet);
  const say = (words: string): void => {
    told.textContent = words;
    if (words) told.scrollIntoView({ block: "nearest" });
  };
  return {
    body,
    say,
    open: () => {
      say("");
      if (!sheet.open) sheet.showModal();
    },
    shut: () => sheet.close(),
    isOpen: () => sheet.open,
    dispose: together([listen(shut, "click", () => sheet.close()), () => sheet.remove()]),
  };
}
