// Always in sight: the way back, how many notes are safe and how many not yet sent, and the look.
import { element } from "../parts/element.ts";
import { on } from "./bus.ts";
import { chooseLook, type Look, LOOKS, lookNow } from "./look.ts";
import { counts, recount } from "./notebook.ts";
import { connectionNow } from "./sending.ts";
import { PHONE } from "./screen.ts";
import { badgeWords } from "./words.ts";

const NEXT: Readonly<Record<Look, Look>> = { light: "sun", sun: "dark", dark: "light" };
const CONNECTION = { unknown: "", on: "", off: "No connection", signed_out: "Signed out" };

export function makeHead(): { element: HTMLElement; leadBack: (address: string | null) => void } {
  const back = element("a", { class: "head-back", "aria-label": "Back" }, ["‹"]);
  const badge = element("span", { class: "badge" });
  const state = element("span", { class: "head-state" });
  const look = element("button", { type: "button", class: "head-look" });

  function show(): void {
    const words = badgeWords(counts());
    if (badge.textContent !== words) badge.textContent = words;
    const { connection, sending } = connectionNow();
    const told = sending && counts().unsent ? "Sending…" : CONNECTION[connection];
    if (state.textContent !== told) state.textContent = told;
  }

  function showLook(): void {
    look.textContent = LOOKS[lookNow()];
    look.setAttribute("aria-label", `Look: ${LOOKS[lookNow()]}. Change to ${LOOKS[NEXT[lookNow()]]}`);
  }

  look.addEventListener("click", () => {
    chooseLook(NEXT[lookNow()]);
    showLook();
  });
  on("counts", show);
  on("connection", show);
  // Another tab may have written: the store is looked at again.
  addEventListener("focus", () => void recount().then(show));
  show();
  showLook();
  return {
    element: element("header", { class: "head" }, [back, element("a", { class: "head-badge", href: PHONE }, [element("span", { role: "status" }, [badge, " ", state])]), look]),
    leadBack: (address) => {
      back.hidden = address === null;
      back.href = address ?? "#";
    },
  };
}
