// Name and password, or the organisation's own sign-in; what is wrong is told at the form.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { AskError } from "../wire/ask.ts";
import { ELSEWHERE, type Me, signIn, type Way } from "../wire/me.ts";
import { element } from "./element.ts";
import { formField, showBox, wordsOf } from "./form_field.ts";

export interface SignInWays {
  readonly ways: readonly Way[];
  /** Whose session is to go on; "" where anybody may sign in. */
  readonly name: string;
  /** The way to the organisation's own sign-in leads beside the page, which stays. */
  readonly beside: boolean;
  readonly done: (me: Me) => void;
  /** Put after the button. */
  readonly more: readonly HTMLElement[];
}

export interface SignInForm {
  readonly element: HTMLElement;
  readonly focus: () => void;
  readonly dispose: Dispose;
}

export function makeSignInForm({ ways, name: fixed, beside, done, more }: SignInWays): SignInForm {
  const name = formField("sign-in-name", "Name", { autocomplete: "username", autocapitalize: "none", spellcheck: "false", maxlength: 200, required: "" });
  const password = formField("sign-in-password", "Password", { type: "password", autocomplete: "current-password", maxlength: 200, required: "" });
  const told = element("p", { class: "sign-in-told", role: "alert" });
  const go = element("button", { type: "submit", class: "strip-button sign-in-go" }, ["Sign in"]);
  const form = element("form", { class: "sign-in-form", novalidate: "", method: "post", "aria-label": "Sign in" }, [
    name.element,
    password.element,
    showBox([password.input]),
    told,
    element("div", { class: "form-buttons" }, [go, ...more]),
  ]);
  if (fixed) {
    name.input.value = fixed;
    name.input.readOnly = true;
  }
  let sending = false;

  function lacks(): boolean {
    password.refuse(password.input.value === "" ? "Write your password." : "");
    name.refuse(name.input.value.trim() === "" ? "Write your name." : ""); // the first that lacks has the focus
    return form.querySelector("[aria-invalid]") !== null;
  }

  async function send(): Promise<void> {
    if (sending || lacks()) return;
    sending = true;
    told.textContent = "";
    go.textContent = "Signing in…";
    try {
      done(await signIn(name.input.value.trim(), password.input.value));
    } catch (error) {
      told.textContent = wordsOf(error, "You could not be signed in.");
      if (error instanceof AskError && error.status === 0) go.focus();
      else password.input.select();
    } finally {
      sending = false;
      go.textContent = "Sign in";
    }
  }

  return {
    element: element("div", { class: "sign-in-ways" }, [form, ...(ways.includes("oidc") ? [elsewhere(beside)] : [])]),
    focus: () => (fixed ? password : name).input.focus(),
    dispose: together([
      listen(form, "submit", (event) => {
        event.preventDefault();
        void send();
      }),
      listen(form, "input", () => (told.textContent = "")),
    ]),
  };
}

function elsewhere(beside: boolean): HTMLElement {
  const way = element("a", { class: "strip-button sign-in-elsewhere", href: ELSEWHERE, ...(beside ? { target: "_blank", rel: "noopener" } : {}) }, [
    "Sign in with your organisation",
    ...(beside ? [element("span", { class: "unseen" }, [" (opens beside this page)"])] : []),
  ]);
  return element("div", { class: "sign-in-or" }, [element("p", {}, ["or"]), way]);
}
