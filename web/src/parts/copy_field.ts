// Something to be taken along: shown whole, with a button that puts it on the clipboard where it can.
import { element } from "./element.ts";

export function copyField(id: string, label: string, text: string): HTMLElement {
  const field = element("input", { id, type: "text", class: "text-field copy-text", readonly: "", value: text });
  const button = element("button", { type: "button", class: "strip-button", "aria-describedby": `${id}-label` }, ["Copy"]);
  const told = element("p", { class: "form-hint", role: "status" });
  field.addEventListener("focus", () => field.select());
  button.addEventListener("click", () => {
    void copied(text).then((done) => {
      told.textContent = done ? "Copied." : "It is marked: copy it with the keys.";
      if (!done) field.focus();
    });
  });
  return element("div", { class: "copy-field" }, [element("label", { id: `${id}-label`, for: id }, [label]), element("div", { class: "copy-line" }, [field, button]), told]);
}

/** Whether the clipboard took it: a page that is not served securely may not write there. */
async function copied(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}
