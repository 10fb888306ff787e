// The page where a meeting's code is typed or pasted, as it stands on the wall.
import { element } from "../parts/element.ts";
import { here } from "./frame.ts";
import { AskError, askMeeting, type Meeting } from "./wire.ts";
import { spacedCode } from "./words.ts";

const CODE = /^[2-9BCDFGHJKMNPQRTVWXYZ]{6}$/;
const WORDS = {
  not: "A meeting code has six letters and figures, like K7R M4P. It has no vowels, no S, no L, no nought and no one.",
  none: "There is no meeting under this code now. Compare it with the wall.",
};

const { host } = here();
host.replaceChildren(joinPage());

function joinPage(): HTMLElement {
  const box = element("input", { id: "code", type: "text", autocomplete: "off", autocapitalize: "characters", spellcheck: "false", "aria-describedby": "code-told" });
  const told = element("p", { class: "told", id: "code-told", role: "alert" });
  const go = element("button", { type: "submit", class: "button main" }, ["Join"]);
  const form = element("form", { class: "join-form" }, [element("label", { for: box.id }, ["Meeting code"]), box, told, go]);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void join(box, told);
  });
  box.addEventListener("input", () => {
    box.removeAttribute("aria-invalid");
    told.replaceChildren();
  });
  return element("main", { class: "phone phone-join" }, [element("h1", {}, ["Join a meeting"]), element("p", {}, ["Type the code that stands on the wall. No name and no account are asked for."]), form]);
}

async function join(box: HTMLInputElement, told: HTMLElement): Promise<void> {
  const code = tidied(box.value);
  if (!CODE.test(code)) return refuse(box, told, [WORDS.not]);
  try {
    const meeting = await askMeeting<Meeting>(code, "");
    location.assign(`/meet/${meeting.code}`);
  } catch (error) {
    if (!(error instanceof AskError)) throw error;
    refuse(box, told, whyNot(code, error));
  }
}

/** As it may be pasted: in small letters, with spaces, hyphens, or the whole address it stands in. */
function tidied(text: string): string {
  const [, pasted] = /\/meet\/([^/?#\s]+)/.exec(text) ?? [];
  return (pasted ?? text).toUpperCase().replace(/[\s\u00a0-]/g, "");
}

function whyNot(code: string, error: AskError): (string | HTMLElement)[] {
  if (error.code !== "no_meeting") return [error.message];
  if (error.told["minutes"] !== true) return [WORDS.none];
  return [`The meeting ${spacedCode(code)} has ended. `, element("a", { class: "button", href: `/meet/${code}/minutes` }, ["Read its minutes"])];
}

function refuse(box: HTMLInputElement, told: HTMLElement, words: readonly (string | HTMLElement)[]): void {
  box.setAttribute("aria-invalid", "true");
  told.replaceChildren(...words);
  box.focus();
}
