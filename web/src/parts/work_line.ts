// One line about long work: what is looked for, how far it is, a button that stops it, and what went
// wrong with a button that asks again.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { clashWords } from "../core/fund_words.ts";
import type { WorkNow } from "../core/long_work.ts";
import { decimals } from "../core/numbers.ts";
import { element } from "./element.ts";

export interface WorkSaid {
  readonly words: string;
  readonly work: WorkNow<unknown>;
  /** Under way, or about to be. */
  readonly looking: boolean;
  /** Offers to ask again, under this name; "" offers nothing. */
  readonly again: string;
}

export interface WorkLine {
  readonly show: (said: WorkSaid) => void;
  readonly dispose: Dispose;
}

export function mountWorkLine(host: HTMLElement, name: string, currency: string, stop: () => void, ask: () => void): WorkLine {
  const words = element("p", { class: "work-words", role: "status" });
  const bar = element("progress", { class: "work-bar", "aria-label": `${name}: progress` });
  const count = element("span", { class: "work-count" });
  const stopper = element("button", { type: "button", class: "strip-button work-button" }, ["Stop"]);
  const asker = element("button", { type: "button", class: "strip-button work-button" });
  const wrong = element("div", { class: "work-wrong", role: "alert" });
  const line = element("div", { class: "work" }, [words, bar, count, stopper, asker, wrong]);
  host.append(line);

  function show({ words: said, work, looking, again }: WorkSaid): void {
    const held = line.contains(document.activeElement);
    if (words.textContent !== said) words.textContent = said;
    for (const each of [bar, count, stopper]) each.hidden = !looking;
    if (work.state === "working" && work.total > 0) {
      [bar.max, bar.value] = [work.total, work.done];
      count.textContent = `${decimals(work.done, 0)} of ${decimals(work.total, 0)}`;
    } else {
      bar.removeAttribute("value");
      count.textContent = "";
    }
    asker.hidden = looking || !again;
    if (asker.textContent !== again) asker.textContent = again;
    sayWrong(looking ? null : work.trouble);
    if (held && !line.contains(document.activeElement)) (asker.hidden ? stopper : asker).focus();
  }

  function sayWrong(trouble: WorkNow<unknown>["trouble"]): void {
    wrong.hidden = !trouble;
    const clash = trouble?.clash ?? [];
    const told = clash.length ? "No set meets these rules:" : (trouble?.message ?? "");
    if (wrong.dataset["told"] === JSON.stringify(trouble)) return;
    wrong.dataset["told"] = JSON.stringify(trouble);
    wrong.replaceChildren(
      element("p", {}, [told]),
      ...(clash.length ? [element("ul", {}, clash.map((each) => element("li", {}, [clashWords(each, currency)])))] : []),
    );
  }

  const dispose = together([
    listen(stopper, "click", stop),
    listen(asker, "click", ask),
    () => line.remove(),
  ]);
  return { show, dispose };
}
