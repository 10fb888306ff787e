// The account's button at the head, or the way to sign in for the public. Where there are no accounts there
// is none. What is behind it is fetched on demand.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { AccountSheet } from "../parts/account_sheet.ts";
import { element } from "../parts/element.ts";
import { mountEndedNote } from "../parts/ended_note.ts";
import { justSignedIn, keepLeave, me, signOut } from "../wire/me.ts";

/** Of a session that ended before the page was opened, and of one that ends while it is open. */
const ENDED = "Your sign-in has ended; you see what is public.";
const ENDS = "Your sign-in has ended; what you open from now on is what is public.";
/** Kept over the load that follows a sign-in: where the focus goes. */
const SIGNED_IN = "signed in";

/** `drawers` holds what opens; `leave` takes the page down once nobody is signed in any more. */
export function mountAccountDoor(actions: HTMLElement, drawers: HTMLElement, leave: () => void): Dispose {
  const { accounts, name, ended, public_map: isOpen } = me();
  if (!accounts) return () => undefined;
  const button = element("button", { type: "button", class: "strip-button account-button", "aria-haspopup": "dialog", ...(name ? { "aria-label": `${name}: your account` } : {}) }, [name || "Sign in"]);
  actions.append(button);
  let sheet: Promise<AccountSheet> | null = null;
  let gone = false;
  let putOff = false; // whoever chose to go on as the public, where there is one, is not asked at every step
  const toButton = (): void => button.focus({ preventScroll: true });
  const note = mountEndedNote(actions, () => void (name ? backIn() : open()), () => {
    toButton();
    if (!name) void signOut().catch(() => undefined); // the browser lets go of what is over
  });

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

  async function backIn(): Promise<boolean> {
    const back = await signInOver(true);
    putOff = !back && isOpen;
    if (back) {
      justSignedIn(); // the focus goes back to where it was, now and when other data are shown
      note.hide();
      if (document.activeElement === document.body) toButton(); // it was at the note
    } else if (putOff) note.show(ENDS);
    return back;
  }

  if (ended && isOpen) note.show(ENDED);
  if (name && (justSignedIn() || hasJustLoaded())) toButton(); // it says who came in
  return together([
    () => void sheet?.then((each) => each.dispose(), () => undefined),
    () => (gone = true),
    keepLeave(backIn, () => putOff),
    listen(button, "click", () => void open()),
    note.dispose,
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
  try {
    sessionStorage.setItem(SIGNED_IN, "");
  } catch {
    // a browser that keeps nothing: the focus begins at the top
  }
  location.reload();
}

function hasJustLoaded(): boolean {
  try {
    const has = sessionStorage.getItem(SIGNED_IN) !== null;
    sessionStorage.removeItem(SIGNED_IN);
    return has;
  } catch {
    return false;
  }
}
