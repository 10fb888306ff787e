// Why something is changed and what the new values rest on. The reason is needed; the name is kept on
// this machine.
import { NO_GROUNDS } from "../core/edit_draft.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Grounds } from "../wire/edits.ts";
import { me } from "../wire/me.ts";
import { element } from "./element.ts";

type Told = Required<Omit<Grounds, "by">>;

export interface GroundsForm {
  readonly element: HTMLElement;
  readonly now: () => Told;
  /** With the name, as it travels; what is empty stays away. */
  readonly asked: () => Grounds;
  readonly show: (told: Told) => void;
  /** Says at the field that the reason is missing; false where it is there. */
  readonly lacksWhy: () => boolean;
  readonly dispose: Dispose;
}

const NAME_KEPT_AS = "edit-name";
const BASES = ["", "measured", "estimated", "assumed"] as const;

/** `short` asks for the reason and the name alone. */
export function makeGrounds(id: string, heard: () => void, short = false): GroundsForm {
  const why = element("textarea", { id: `${id}-why`, class: "text-field edit-why", rows: 2, maxlength: 2000, required: "", "aria-describedby": `${id}-why-wrong` });
  const wrong = element("p", { id: `${id}-why-wrong`, class: "edit-wrong" });
  const basis = element("select", { id: `${id}-basis`, class: "text-field" }, BASES.map((each) => element("option", { value: each }, [each || "not said"])));
  const source = element("input", { id: `${id}-source`, type: "text", class: "text-field", autocomplete: "off", maxlength: 2000 });
  const seen = element("input", { id: `${id}-seen`, type: "date", class: "text-field" });
  const by = element("input", { id: `${id}-by`, type: "text", class: "text-field", autocomplete: "name", maxlength: 200 });
  signed(by);
  const form = element("fieldset", { class: "edit-grounds" }, [
    element("legend", {}, ["Why"]),
    element("div", { class: "edit-field edit-wide" }, [element("label", { for: why.id }, ["Reason, kept in the history"]), why, wrong]),
    ...(short ? [] : [labelled("New values are", basis), labelled("Source", source), labelled("Seen on", seen)]),
    labelled("Your name", by),
  ]);
  const now = (): Told => (short ? { ...NO_GROUNDS, why: why.value } : { why: why.value, basis: basis.value, source: source.value, observed_on: seen.value });

  function asked(): Grounds {
    const told = Object.entries({ ...now(), by: by.value }).map(([name, value]) => [name, value.trim()] as const);
    return { why: "", ...Object.fromEntries(told.filter(([, value]) => value !== "")) };
  }

  function refuse(words: string): void {
    wrong.textContent = words;
    if (words) why.setAttribute("aria-invalid", "true");
    else why.removeAttribute("aria-invalid");
  }

  const dispose = together([
    listen(form, "input", heard),
    listen(why, "input", () => refuse("")),
    listen(by, "change", () => keepName(by.value.trim())),
  ]);
  return {
    element: form,
    now,
    asked,
    show: (told) => {
      [why.value, basis.value, source.value, seen.value] = [told.why, told.basis, told.source, told.observed_on];
    },
    lacksWhy: () => {
      const lacks = why.value.trim() === "";
      refuse(lacks ? "Write why first: it is kept with the change." : "");
      if (lacks) why.focus();
      return lacks;
    },
    dispose,
  };
}

export function labelled(words: string, input: HTMLElement): HTMLElement {
  return element("div", { class: "edit-field" }, [element("label", { for: input.id }, [words]), input]);
}

/** A field for a name holds the account's, which nobody types over; else the one kept on this machine. */
export function signed(field: HTMLInputElement): void {
  field.value = keptName();
  field.readOnly = me().name !== "";
}

export function keptName(): string {
  if (me().name) return me().name;
  try {
    return localStorage.getItem(NAME_KEPT_AS) ?? "";
  } catch {
    return ""; // a browser that keeps nothing
  }
}

export function keepName(name: string): void {
  if (me().name) return;
  try {
    localStorage.setItem(NAME_KEPT_AS, name);
  } catch {
    // it holds until the page is left
  }
}
