// One's own account: which roles it has and what they allow, signing out, the password, and tokens by
// which a program reads the data. For admins the way to the people.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { ROLE_WORDS, rolesText } from "../core/role_words.ts";
import { isA, me, type Role, signOut } from "../wire/me.ts";
import { askFirst } from "./confirm_act.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";
import { mountPasswordPart } from "./password_part.ts";
import { mountPeopleSheet } from "./people_sheet.ts";
import { mountSideSheet } from "./side_sheet.ts";
import { mountTokensPart } from "./tokens_part.ts";

export interface AccountSheet {
  readonly open: () => void;
  readonly dispose: Dispose;
}

/** `leave` takes the page down once nobody is signed in any more. */
export function mountAccountSheet(host: HTMLElement, leave: () => void): AccountSheet {
  const sheet = mountSideSheet(host, "account", "Your account");
  const acts = element("div", { class: "case-acts" });
  const out = element("button", { type: "button", class: "strip-button" }, ["Sign out"]);
  const tokens = element("section", { "aria-labelledby": "tokens-title" });
  const password = element("section", { "aria-labelledby": "password-title" });
  const show = (): void => acts.replaceChildren(...peopleButton(), out);
  show();
  sheet.body.append(
    element("section", { "aria-label": "Who you are" }, [
      element("p", { class: "account-name" }, [me().name]),
      element("dl", { class: "account-roles" }, me().roles.map(roleLine)),
      acts,
    ]),
    tokens,
    ...(me().ways.includes("password") ? [password] : []),
  );
  const people = isA("admin") ? mountPeopleSheet(host) : null;
  const gis = mountTokensPart(tokens, sheet.say);
  const parts = [gis.dispose, mountPasswordPart(password, sheet.say), sheet.dispose, people?.dispose ?? (() => undefined)];

  function peopleButton(): HTMLElement[] {
    if (!isA("admin")) return [];
    const button = element("button", { type: "button", class: "strip-button", "aria-haspopup": "dialog" }, ["People"]);
    button.addEventListener("click", () => people?.open());
    return [button];
  }

  async function goOut(): Promise<void> {
    await signOut();
    leave();
  }

  function askOut(): void {
    if (!wouldLose()) return void goOut().catch((error: unknown) => sheet.say(wordsOf(error, "You could not be signed out.")));
    const back = (): void => {
      show();
      out.focus();
    };
    askFirst(acts, { words: "What you typed and did not save will be gone.", yes: "Sign out", of: me().name, act: goOut, back });
  }

  return {
    open: () => {
      show();
      sheet.open();
      gis.read();
    },
    dispose: together([...parts, listen(out, "click", askOut)]),
  };
}

/** Asks whoever would hold the page back if it were closed now. */
function wouldLose(): boolean {
  return !dispatchEvent(new Event("beforeunload", { cancelable: true }));
}

function roleLine(role: string): HTMLElement {
  return element("div", {}, [element("dt", {}, [rolesText([role])]), element("dd", {}, [ROLE_WORDS[role as Role]?.[1] ?? ""])]);
}
