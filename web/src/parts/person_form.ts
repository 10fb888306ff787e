// Adds somebody: a name, roles, and a first password or the word that they sign in elsewhere.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { LEAST_LETTERS } from "../core/role_words.ts";
import { me } from "../wire/me.ts";
import { addPerson } from "../wire/people.ts";
import { element } from "./element.ts";
import { formField, showBox, wordsOf } from "./form_field.ts";
import { makeRoleBoxes, NO_ROLE } from "./role_boxes.ts";

export const FIRST_PASSWORD = `At least ${LEAST_LETTERS} characters. Tell it to them yourself; they can change it.`;

/** `added` hears the name. */
export function mountPersonForm(host: HTMLElement, added: (name: string) => void): Dispose {
  const name = formField("person-name", "Name", { autocomplete: "off", autocapitalize: "none", spellcheck: "false", maxlength: 120 }, "As they type it to sign in; every change they make carries it.");
  const roles = makeRoleBoxes("person-roles", []);
  const [here, elsewhere] = [way("here", "With a password here"), way("elsewhere", "With their organisation")];
  const password = formField("person-password", "First password", { type: "password", autocomplete: "new-password", maxlength: 200 }, FIRST_PASSWORD);
  const secret = element("div", {}, [password.element, showBox([password.input])]);
  const go = element("button", { type: "submit", class: "strip-button" }, ["Add"]);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  const hasElsewhere = me().ways.some((each) => each !== "password");
  const form = element("form", { class: "small-form", novalidate: "", method: "post", autocomplete: "off", "aria-labelledby": "person-title" }, [
    name.element,
    roles.element,
    ...(hasElsewhere ? [element("fieldset", { class: "role-boxes" }, [element("legend", {}, ["Signs in"]), here.line, elsewhere.line])] : []),
    secret,
    wrong,
    element("div", { class: "form-buttons" }, [go]),
  ]);
  here.box.checked = true;
  const fold = element("details", { class: "form-fold" }, [element("summary", { id: "person-title" }, ["Add somebody"]), form]);
  host.append(fold);
  const show = (): void => void (secret.hidden = elsewhere.box.checked);

  function lacks(): boolean {
    const short = here.box.checked && password.input.value.length < LEAST_LETTERS;
    password.refuse(short ? `At least ${LEAST_LETTERS} characters.` : "");
    const none = roles.chosen().length === 0;
    roles.refuse(none ? NO_ROLE : "");
    name.refuse(name.input.value.trim() === "" ? "Write the name." : "");
    return short || none || name.input.value.trim() === "";
  }

  async function send(): Promise<void> {
    if (go.disabled || lacks()) return;
    [go.disabled, wrong.textContent] = [true, ""];
    try {
      const made = await addPerson({ name: name.input.value.trim(), roles: roles.chosen(), password: here.box.checked ? password.input.value : null });
      form.reset();
      show();
      fold.open = false;
      added(made.name);
    } catch (error) {
      wrong.textContent = wordsOf(error, "They could not be added.");
    } finally {
      go.disabled = false;
    }
  }

  return together([
    listen(form, "change", show),
    listen(form, "submit", (event) => {
      event.preventDefault();
      void send();
    }),
    () => host.replaceChildren(),
  ]);
}

function way(value: string, words: string): { readonly box: HTMLInputElement; readonly line: HTMLElement } {
  const box = element("input", { type: "radio", name: "person-way", value });
  return { box, line: element("label", { class: "form-check" }, [box, words]) };
}
