// Photos from the field: fetched when asked for, small beside each other, and large one by one over the page.
import { photoOf } from "../wire/proposals.ts";
import { element } from "./element.ts";

export function photosPart(ids: readonly string[], code: string): HTMLElement {
  const words = ids.length === 1 ? "Show the photo" : `Show ${ids.length} photos`;
  const button = element("button", { type: "button", class: "strip-button", "aria-label": `${words} of ${code}` }, [words]);
  const shell = element("div", { class: "visit-photos" }, [button]);
  button.addEventListener("click", () => {
    const small = ids.map((id, i) => {
      const name = `Photo ${i + 1} of ${code}`;
      const made = element("button", { type: "button", class: "visit-photo", "aria-haspopup": "dialog", "aria-label": `${name}: show it large` }, [element("img", { src: photoOf(id), alt: "", loading: "lazy", height: 120 })]);
      made.addEventListener("click", () => openLarge(shell, id, name));
      return made;
    });
    shell.replaceChildren(...small);
    small[0]?.focus();
  });
  return shell;
}

/** As large as the window has room for; Escape or a press puts it away, and the focus goes back. */
function openLarge(host: HTMLElement, id: string, name: string): void {
  const close = element("button", { type: "button", class: "strip-button" }, ["Close"]);
  const dialog = element("dialog", { class: "visit-large", "aria-label": name }, [
    element("img", { src: photoOf(id), alt: name }),
    element("div", { class: "edit-buttons" }, [close, element("a", { href: photoOf(id), target: "_blank", rel: "noopener" }, ["By itself"])]),
  ]);
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  // What lies below has its own Escape.
  dialog.addEventListener("keydown", (event) => event.stopPropagation());
  host.append(dialog);
  dialog.showModal();
}
