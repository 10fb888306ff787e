// One of the people: roles, when last here, and what an admin can do about it.
import { moment } from "../core/numbers.ts";
import { LEAST_LETTERS, rolesText } from "../core/role_words.ts";
import { me } from "../wire/me.ts";
import { changePerson, type Person, type PersonChange, removePerson } from "../wire/people.ts";
import { actButton, askFirst } from "./confirm_act.ts";
import { element } from "./element.ts";
import { formField, showBox, wordsOf } from "./form_field.ts";
import { FIRST_PASSWORD } from "./person_form.ts";
import { makeRoleBoxes, NO_ROLE } from "./role_boxes.ts";

/** `changed` hears what was done. */
export function personItem(person: Person, changed: (words: string) => void): HTMLElement {
  const { name, roles, way, locked, kept_out_until: until, made_at: made, seen_at: seen } = person;
  const acts = element("div", { class: "case-acts" });
  const stamp = [
    way === "password" ? "Signs in with a password" : "Signs in with their organisation",
    seen ? `last here ${moment(seen)}` : `never here yet, added ${moment(made)}`,
  ].join("; ");
  show();
  return element("li", { class: `case${locked ? " person-locked" : ""}`, "data-person": name }, [
    element("div", { class: "case-head" }, [element("h3", {}, [name]), ...(name === me().name ? [element("span", { class: "case-stamp" }, ["you"])] : [])]),
    element("p", {}, [`${rolesText(roles)}${locked ? "; locked out" : ""}${until ? `; kept out until ${moment(until)} by wrong passwords` : ""}`]),
    element("p", { class: "case-stamp" }, [stamp]),
    acts,
  ]);

  function show(): void {
    const lock = locked || until
      ? actButton("Let in again", `Let ${name} in again`, () => void change({ locked: false }, `${name} may sign in again.`).catch(told))
      : actButton("Lock out…", `Lock ${name} out`, () => askFirst(acts, { words: "Nobody gets in as them until they are let in again.", yes: "Lock out", of: name, act: () => change({ locked: true }, `${name} is locked out.`), back }));
    acts.replaceChildren(
      actButton("Roles…", `Roles of ${name}`, changeRoles),
      ...(way === "password" ? [actButton("New password…", `New password for ${name}`, newPassword)] : []),
      lock,
      actButton("Remove…", `Remove ${name}`, () => askFirst(acts, { words: "They cannot sign in any more, and their tokens end. What they changed stays in the history under their name.", yes: "Remove", of: name, act: remove, back })),
    );
  }

  function back(): void {
    show();
    acts.querySelector("button")?.focus();
  }

  function told(error: unknown): void {
    acts.append(element("p", { class: "form-wrong", role: "alert" }, [wordsOf(error, "It could not be done.")]));
  }

  async function change(what: PersonChange, words: string): Promise<void> {
    await changePerson(name, what);
    changed(words);
  }

  async function remove(): Promise<void> {
    await removePerson(name);
    changed(`${name} is removed.`);
  }

  function changeRoles(): void {
    const boxes = makeRoleBoxes(`roles-of-${person.made_at}`.replace(/[^\w-]/g, ""), roles);
    inForm([boxes.element], "Save the roles", async () => {
      const chosen = boxes.chosen();
      boxes.refuse(chosen.length ? "" : NO_ROLE);
      if (chosen.length) await change({ roles: chosen }, `${name}: ${rolesText(chosen).toLowerCase()}.`);
    });
  }

  function newPassword(): void {
    const field = formField("person-new-password", `New password for ${name}`, { type: "password", autocomplete: "new-password", maxlength: 200 }, FIRST_PASSWORD);
    inForm([field.element, showBox([field.input])], "Set it", async () => {
      const short = field.input.value.length < LEAST_LETTERS;
      field.refuse(short ? `At least ${LEAST_LETTERS} characters.` : "");
      if (!short) await change({ password: field.input.value }, `${name} has a new password.`);
    });
  }

  /** In place of the buttons, until it is sent or left. */
  function inForm(fields: readonly HTMLElement[], yes: string, send: () => Promise<void>): void {
    const go = element("button", { type: "submit", class: "strip-button", "aria-label": `${yes}: ${name}` }, [yes]);
    const wrong = element("p", { class: "form-wrong", role: "alert" });
    const form = element("form", { class: "small-form", novalidate: "", method: "post" }, [...fields, wrong, element("div", { class: "form-buttons" }, [go, actButton("Not now", `Not now: ${name}`, back)])]);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      [go.disabled, wrong.textContent] = [true, ""];
      send().catch((error: unknown) => (wrong.textContent = wordsOf(error, "It could not be done."))).finally(() => (go.disabled = false));
    });
    acts.replaceChildren(form);
    form.querySelector("input")?.focus();
  }
}
