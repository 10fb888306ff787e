// Small parts that several of the phone's screens are made of.
import { element } from "../parts/element.ts";

export function button(words: string, kind: string, press: () => void): HTMLButtonElement {
  const made = element("button", { type: "button", class: `button ${kind}`.trim() }, [words]);
  made.addEventListener("click", press);
  return made;
}

export function link(words: string, address: string, kind = ""): HTMLAnchorElement {
  return element("a", { class: `button ${kind}`.trim(), href: address }, [words]);
}

/** A row of words of which one may be pressed; pressed again, none is. */
export function pressOne(label: string, words: readonly (readonly [value: string, shown: string])[], chosen: string, choose: (value: string) => void): HTMLElement {
  const all = words.map(([value, shown]) => {
    const made = element("button", { type: "button", class: "press", "data-value": value, "aria-pressed": String(value === chosen) }, [shown]);
    made.addEventListener("click", () => {
      const on = made.getAttribute("aria-pressed") !== "true";
      for (const each of all) each.setAttribute("aria-pressed", String(each === made && on));
      choose(on ? value : "");
    });
    return made;
  });
  return element("div", { class: "presses", role: "group", "aria-label": label }, all);
}

/** One of several, always one of them. */
export function chooseOne(legend: string, name: string, words: Readonly<Record<string, string>>, chosen: string, choose: (value: string) => void): HTMLElement {
  const rows = Object.entries(words).map(([value, shown]) => {
    const input = element("input", { type: "radio", name, value, ...(value === chosen ? { checked: "" } : {}) });
    input.addEventListener("change", () => choose(value));
    return element("label", { class: "choice" }, [input, shown]);
  });
  return element("fieldset", { class: "choices" }, [element("legend", {}, [legend]), ...rows]);
}

export function checkBox(words: string, checked: boolean, change: (on: boolean) => void): HTMLElement {
  const input = element("input", { type: "checkbox", ...(checked ? { checked: "" } : {}) });
  input.addEventListener("change", () => change(input.checked));
  return element("label", { class: "choice" }, [input, words]);
}

export function alertLine(words: string, kind = "warning"): HTMLElement {
  return element("p", { class: `line ${kind}` }, [element("span", { class: "sign", "aria-hidden": "true" }, ["!"]), element("span", {}, [words])]);
}

/** Does something that may fail, tells what went wrong, and lets nobody start it twice at once. */
export function doing(made: HTMLButtonElement, meanwhile: string, told: HTMLElement, work: () => Promise<string>): void {
  const words = made.textContent ?? "";
  let busy = false;
  made.addEventListener("click", () => {
    if (busy) return;
    busy = true;
    made.textContent = meanwhile;
    told.textContent = "";
    void work()
      .then((said) => (told.textContent = said))
      .catch((error: unknown) => (told.textContent = error instanceof Error ? error.message : "That did not work."))
      .finally(() => {
        busy = false;
        made.textContent = words;
      });
  });
}
