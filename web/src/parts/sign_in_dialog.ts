// Signing in over the page, which stays as it is: for the public on a map that is open to it, and where a
// session ended while somebody was at work.
import { listen, together } from "../core/dispose.ts";
import look from "../look/sign_in.css" with { type: "text" };
import { isStillMe, me } from "../wire/me.ts";
import { dress } from "./dress.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";
import { makeSignInForm } from "./sign_in_form.ts";

/** True once somebody is signed in; false where it was put off. `again`: whose session ended goes on. */
export function signInOver(again: boolean): Promise<boolean> {
  dress(look);
  const { name, ways } = me();
  return new Promise((resolve) => {
    const not = element("button", { type: "button", class: "strip-button" }, ["Not now"]);
    const done = element("button", { type: "button", class: "strip-button" }, ["I have signed in there"]);
    const told = element("p", { class: "sign-in-told", role: "alert" });
    const elsewhere = again && ways.includes("oidc");
    const form = makeSignInForm({ ways, name: again ? name : "", beside: again, done: () => leave(true), more: [not] });
    const dialog = element("dialog", { class: "help sign-in-over", "aria-labelledby": "sign-in-over-title" }, [
      element("h2", { id: "sign-in-over-title" }, [again ? "Sign in again" : "Sign in"]),
      ...(again ? [element("p", {}, ["Your session has ended. What you typed and tried here is still there, and goes on once you are back."])] : []),
      form.element,
      ...(elsewhere ? [element("div", { class: "form-buttons" }, [done]), told] : []),
      ...(again ? [element("p", { class: "form-hint" }, [`Not ${name}? `, element("a", { href: location.pathname }, ["Begin anew"]), ": what is not saved is gone then."])] : []),
    ]);
    const cameFrom = document.activeElement;
    const stop = together([
      form.dispose,
      listen(not, "click", () => leave(false)),
      listen(done, "click", () => void lookAgain()),
      listen(dialog, "cancel", (event) => {
        event.preventDefault();
        leave(false);
      }),
      listen(dialog, "keydown", (event) => event.stopPropagation()),
    ]);

    async function lookAgain(): Promise<void> {
      try {
        if (await isStillMe()) leave(true);
        else told.textContent = "Nobody is signed in yet.";
      } catch (error) {
        told.textContent = wordsOf(error, "It cannot be told who is signed in.");
      }
    }

    function leave(signedIn: boolean): void {
      stop();
      dialog.close();
      dialog.remove();
      if (cameFrom instanceof HTMLElement && cameFrom.isConnected) cameFrom.focus({ preventScroll: true });
      resolve(signedIn);
    }

    document.body.append(dialog);
    dialog.showModal();
    form.focus();
  });
}
