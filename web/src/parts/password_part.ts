// Changing one's own password: the one before and the new one, which can be looked at as it is typed.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { LEAST_LETTERS } from "../core/role_words.ts";
import { changePassword, me } from "../wire/me.ts";
import { element } from "./element.ts";
import { formField, showBox, wordsOf } from "./form_field.ts";

export function mountPasswordPart(host: HTMLElement, say: (words: string) => void): Dispose {
  const name = element("input", { type: "text", autocomplete: "username", value: me().name, hidden: "", readonly: "" });
  const old = formField("password-old", "Password until now", { type: "password", autocomplete: "current-password", maxlength: 200 });
  const next = formField("password-new", "New password", { type: "password", autocomplete: "new-password", maxlength: 200 }, `At least ${LEAST_LETTERS} characters; a few words together are best.`);
  const go = element("button", { type: "submit", class: "strip-button" }, ["Change the password"]);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  const form = element("form", { class: "small-form", novalidate: "", method: "post" }, [name, old.element, next.element, showBox([old.input, next.input]), wrong, element("div", { class: "form-buttons" }, [go])]);
  host.append(
    element("h3", { id: "password-title" }, ["Password"]),
    element("details", { class: "form-fold" }, [element("summary", {}, ["Change it"]), element("p", { class: "form-hint" }, ["Wherever else you are signed in, you will have to sign in again."]), form]),
  );

  async function send(): Promise<void> {
    wrong.textContent = "";
    const short = next.input.value.length < LEAST_LETTERS;
    next.refuse(short ? `At least ${LEAST_LETTERS} characters.` : "");
    old.refuse(old.input.value === "" ? "Write the one you have now." : "");
    if (go.disabled || form.querySelector("[aria-invalid]")) return;
    go.disabled = true;
    try {
      await changePassword(old.input.value, next.input.value);
      form.reset();
      say("Your password is changed.");
    } catch (error) {
      wrong.textContent = wordsOf(error, "It could not be changed.");
    } finally {
      go.disabled = false;
    }
  }

  return together([
    listen(form, "submit", (event) => {
      event.preventDefault();
      void send();
    }),
    () => host.replaceChildren(),
  ]);
}
