// Instead of the desk: no key, another key, a meeting that is over with its minutes.
import { element } from "../parts/element.ts";
import { formField } from "../parts/form_field.ts";
import type { ClosedHere } from "./lead_kept.ts";
import { spacedCode } from "./words.ts";

/** The heading takes the focus: what was there before it is gone. */
function page(title: string, children: readonly (Node | string)[]): HTMLElement {
  const heading = element("h1", { tabindex: -1 }, [title]);
  queueMicrotask(() => heading.focus());
  return element("main", { class: "lead-over" }, [heading, ...children]);
}

/** `told` is what the meeting said of the key that was tried; "" where there was none. */
export function keyPage(code: string, told: string, tryKey: (text: string) => void): HTMLElement {
  const field = formField("lead-key", "Facilitator’s key, or the address with it", { autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  const form = element("form", { class: "lead-form", novalidate: "" }, [field.element, element("button", { type: "submit", class: "lead-button lead-main" }, ["Lead this meeting"])]);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (field.input.value.trim()) tryKey(field.input.value);
    else field.refuse("Paste the key first.");
  });
  return page(told ? "This key does not fit" : "The key is missing", [
    ...(told ? [element("p", { role: "alert" }, [told])] : []),
    element("p", {}, [`Whoever opened meeting ${spacedCode(code)} was shown an address that ends in its key. Open that address whole, or paste it here.`]),
    form,
    element("p", {}, [element("a", { href: `/meet/${encodeURIComponent(code)}` }, ["Join as a phone instead"])]),
  ]);
}

export function elsewherePage(told: string): HTMLElement {
  return page("Not from here", [element("p", { role: "alert" }, [told])]);
}

/** `closed` is what closing told this tab; null where it ended otherwise. */
export function overPage(code: string, closed: ClosedHere | null, hasMinutes: boolean): HTMLElement {
  const minutes = `/meet/${encodeURIComponent(code)}/minutes`;
  const link = (words: string, address: string): HTMLElement => element("li", {}, [element("a", { href: address }, [words])]);
  if (!closed && !hasMinutes) return page("There is no such meeting", [element("p", {}, [`No meeting has the code ${spacedCode(code)} now, and no minutes of one are kept.`])]);
  return page(closed ? "The meeting is closed" : "The meeting is over", [
    element("p", {}, [`Phones and wall say so. ${hasMinutes ? "The minutes are for everyone, and can be read here for 30 days." : "Its minutes could not be made."}`]),
    ...(hasMinutes ? [element("ul", { class: "lead-links" }, [link("Minutes as a page", minutes), link("Minutes as a PDF", `${minutes}.pdf`)])] : []),
    ...(closed?.what === "trial" ? [element("p", {}, ["The trial that was agreed is a case like any other now: it is among the saved cases."])] : []),
  ]);
}
