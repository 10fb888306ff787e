// The account's button at the head, or the way to sign in for the public. Where there are no accounts there
// is none. What is behind it is fetched on demand.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { AccountSheet } from "../parts/account_sheet.ts";
import { element } from "../parts/element.ts";
import { keepLeave, me } from "../wire/me.ts";

/** `drawers` holds what opens; `leave` takes the page down once nobody is signed in any more. */
export function mountAccountDoor(actions: HTMLElement, drawers: HTMLElement, leave: () => void): Dispose {
  const { accounts, name } = me();
  if (!accounts) return () => undefined;
  const button = element("button", { type: "button", class: "strip-button account-button", "aria-haspopup": "dialog", ...(name ? { "aria-label": `${name}: your account` } : {}) }, [name || "Sign in"]);
  actions.append(button);
  let sheet: Promise<AccountSheet> | null = null;
  let gone = false;

  async function open(): Promise<void> {
    try {
      if (!name) {
        if (await signInOver(false)) loadAsSomebody();
        return;
      }
      sheet ??= import("../parts/account_sheet.ts").then(({ mountAccountSheet }) => mountAccountSheet(drawers, leave));
      const opened = await sheet;
      if (!gone) opened.open();
    } catch {
      sheet = null;
      button.textContent = `${name || "Sign in"}: try again`;
    }
  }

  return together([
    () => void sheet?.then((each) => each.dispose(), () => undefined),
    () => (gone = true),
    keepLeave(() => signInOver(true)),
    listen(button, "click", () => void open()),
    () => button.remove(),
  ]);
}

async function signInOver(again: boolean): Promise<boolean> {
  const { signInOver: over } = await import("../parts/sign_in_dialog.ts");
  return over(again);
}

/** Loads the page anew without what the address holds of a trial: the public tried it without the costs. */
function loadAsSomebody(): void {
  const theme = new URLSearchParams(location.hash.slice(1)).get("t");
  history.replaceState(null, "", location.pathname + location.search + (theme ? `#t=${theme}` : ""));
  location.reload();
}
