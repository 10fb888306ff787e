// The keys of the page in a small window of its own, and the keys themselves. Single keys can be
// switched off; what was chosen is kept on this machine.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";
import { singleKeys } from "./single_keys.ts";
import { isOverThePage, isTyping } from "./typing.ts";

export interface KeyAction {
  readonly key: string;
  readonly words: string;
  readonly act: () => void;
}

const KEPT_AS = "single-keys";
const IN_LIST: readonly (readonly [string, string])[] = [
  ["↑ ↓ Page Home End", "move in the list"],
  ["Enter", "open what stands there"],
  ["Esc", "close"],
  ["← → in a slider", "one step; Page keys ten"],
  ["Ctrl+Z", "undo what was tried"],
  ["Ctrl+Shift+Z", "redo it"],
];

export function mountKeyHelp(host: HTMLElement, actions: readonly KeyAction[]): Dispose {
  const opener = element("button", { type: "button", class: "quiet" }, ["Keys: ?"]);
  const { box: single, dispose: unswitched } = singleKeys(KEPT_AS);
  const shut = element("button", { type: "button", class: "strip-button" }, ["Close"]);
  const rows = [...actions.map(({ key, words }) => [key, words] as const), ["?", "this list"] as const, ...IN_LIST];
  const help = element("dialog", { class: "help", "aria-label": "Keys" }, [
    element("h2", {}, ["Keys"]),
    element("dl", {}, rows.map(([key, words]) =>
      element("div", {}, [element("dt", {}, [element("kbd", {}, [key])]), element("dd", {}, [words])]),
    )),
    element("label", { class: "help-single" }, [single, "Single keys work anywhere on the page"]),
    shut,
  ]);
  host.append(opener, help);
  const open = (): void => help.showModal();

  function pressed(event: KeyboardEvent): void {
    if (event.altKey || event.ctrlKey || event.metaKey || event.repeat || !single.checked || isTyping(event.target) || isOverThePage(event.target)) return;
    const act = event.key === "?" ? open : actions.find(({ key }) => key === event.key.toLowerCase())?.act;
    if (!act) return;
    event.preventDefault();
    act();
  }

  document.addEventListener("keydown", pressed);
  return together([
    listen(opener, "click", open),
    listen(shut, "click", () => help.close()),
    unswitched,
    () => {
      document.removeEventListener("keydown", pressed);
      opener.remove();
      help.remove();
    },
  ]);
}
