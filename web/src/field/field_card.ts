// One field of the form at the pump: how to measure it, what to be careful of, and what is typed, kept at every letter.
import { element } from "../parts/element.ts";
import type { Form, PackStop, Registered } from "../wire/field.ts";
import type { Contested, Note } from "../wire/notes.ts";
import { makeConflictBox } from "./conflict_box.ts";
import { pressOne } from "./parts.ts";
import { asTyped, farOff, inWords, sign, startUnit, tooDeep, understood } from "./understood.ts";
import { timeWords } from "./words.ts";

/** What stands of a field now. */
export interface Stands {
  /** What this phone wrote last in this run, or is being written. */
  readonly own: Pick<Note, "typed" | "unit"> | null;
  /** Why it was refused, where it was. */
  readonly refused: string;
  /** Notes of others, or of other runs, that stand. */
  readonly others: readonly Note[];
  readonly contested: Contested | null;
}

export interface Card {
  readonly element: HTMLElement;
  readonly form: Form;
  /** What is told beside the field; what is typed there is left alone. */
  readonly refresh: (stands: Stands) => void;
}

/** A field the register does not have is held against one that it has. */
const HELD_AGAINST: Readonly<Record<string, readonly [field: string, words: string]>> = { depth_today: ["depth_low", " of the low level"] };
const QUICK: Readonly<Record<string, readonly string[]>> = {
  no_entry: ["Not safe", "Gate locked", "Nobody there", "Water over the track", "Asked not to enter"],
};

export function makeCard(form: Form, stop: PackStop, runId: string, phone: string, first: Stands, write: (typed: string, unit: string) => void): Card {
  const id = `f-${form.field}`;
  let typed = first.own?.typed ?? "";
  let unit = first.own?.unit || startUnit(form);
  const fault = element("p", { class: "fault", id: `${id}-fault` });
  const register = element("p", { class: "register" });
  const far = element("p", { class: "far", role: "status" });
  const beside = element("div", { class: "beside" });

  function changed(): void {
    write(typed, unit);
    judge();
  }

  function judge(): void {
    const { value, fault: wrong } = understood(form, typed, unit);
    fault.textContent = wrong;
    const box = entry.querySelector(".typed");
    if (wrong) box?.setAttribute("aria-invalid", "true");
    else box?.removeAttribute("aria-invalid");
    register.replaceChildren(...registerWords(form, stop.register[form.field], unit || (form.units[0] ?? "")));
    const [against, of] = HELD_AGAINST[form.field] ?? [form.field, ""];
    far.textContent = tooDeep(form, value) || farOff(value, stop.register[against]?.value, of);
  }

  const entry = form.holds === "number" ? number() : form.holds === "text" ? text() : words();

  function number(): HTMLElement {
    const input = element("input", { id, type: "text", class: "typed", inputmode: "decimal", autocomplete: "off", "aria-describedby": `${id}-how ${id}-fault`, value: typed });
    input.addEventListener("input", () => {
      typed = input.value;
      changed();
    });
    const units = form.units.map((each): [string, string] => [each, sign(each)]);
    const choice = pressOne(`${form.label}, unit`, units, unit, (value) => {
      unit = value || unit; // a number has a unit always
      for (const each of choice.querySelectorAll("button")) each.setAttribute("aria-pressed", String(each.dataset["value"] === unit));
      if (typed.trim()) changed();
      else judge();
    });
    return element("div", { class: "entry" }, [input, ...(units.length > 1 ? [choice] : [element("span", { class: "only-unit" }, [sign(unit)])])]);
  }

  function text(): HTMLElement {
    const area = element("textarea", { id, class: "typed", rows: 2, autocomplete: "off", "aria-describedby": `${id}-how ${id}-fault` });
    area.value = typed;
    const take = (value: string): void => {
      area.value = typed = value;
      changed();
    };
    area.addEventListener("input", () => {
      typed = area.value;
      changed();
    });
    const quick = (QUICK[form.field] ?? []).map((each) => {
      const made = element("button", { type: "button", class: "press" }, [each]);
      made.addEventListener("click", () => take(typed.trim() ? `${typed.trim()}; ${each.toLowerCase()}` : each));
      return made;
    });
    return element("div", { class: "entry" }, [...(quick.length ? [element("div", { class: "presses" }, quick)] : []), area]);
  }

  function words(): HTMLElement {
    const all = form.words.map((each): [string, string] => [each, each.replaceAll("_", " ")]);
    return pressOne(form.label, all, typed, (value) => {
      typed = value;
      changed();
    });
  }

  function refresh({ refused, others, contested }: Stands): void {
    const told = others.map((note) => element("p", {}, [`${note.phone === phone ? "This phone, another run" : note.by} ${timeWords(note.at)}: ${asTyped(note)}`]));
    const why = refused ? [element("p", { class: "fault" }, [`Not taken: ${refused}`])] : [];
    const open = beside.querySelector(".conflict");
    // A choice that is being written is left alone while nothing new is told of it.
    const ids = contested?.notes.map((note) => note.id).join(" ") ?? "";
    const box = contested && open instanceof HTMLElement && open.dataset["ids"] === ids ? open : contested ? makeConflictBox(contested, form, runId, phone) : null;
    if (box) box.dataset["ids"] = ids;
    if (box && box === open) return;
    beside.replaceChildren(...why, ...(box ? [box] : told));
  }

  const labelled = form.holds === "number" || form.holds === "text";
  const heading = element("h3", {}, [labelled ? element("label", { for: id }, [form.label]) : form.label]);
  judge();
  refresh(first);
  return {
    form,
    refresh,
    element: element("section", { class: "card", "data-field": form.field }, [
      heading,
      register,
      entry,
      fault,
      far,
      element("p", { class: "how", id: `${id}-how` }, [form.how]),
      ...(form.caution ? [element("p", { class: "caution" }, [element("span", { class: "sign", "aria-hidden": "true" }, ["!"]), form.caution])] : []),
      beside,
    ]),
  };
}

function registerWords(form: Form, said: Registered | undefined, unit: string): (Node | string)[] {
  if (!said || (form.holds !== "number" && typeof said.value === "number")) return []; // a number says nothing to who sees a word
  if (said.value === null) return [element("strong", {}, ["Register: nothing yet"])];
  const from = [said.given === null ? "assumed" : said.basis, said.source].filter((each) => each !== "");
  const value = inWords(form, said.value, unit).replaceAll("_", " ");
  return [element("strong", {}, [`Register: ${value}`]), ...(from.length ? [element("span", { class: "label" }, [` (${from.join(", ")})`])] : [])];
}
