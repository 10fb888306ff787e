// Under the best set: its promise in one sentence, what is still looked for, what was chosen by hand. By
// score: that hand choices do not count there.
import type { Desk, FundDesk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { conditionWords, handWords, promise, staleWords } from "../core/fund_words.ts";
import { element } from "./element.ts";
import { mountWorkLine } from "./work_line.ts";

export function mountFundBar(host: HTMLElement, { scene, trial, outcome }: Desk, { best }: FundDesk): Dispose {
  const { currency } = scene.facts;
  const bar = element("section", { class: "fund-bar", "aria-label": "What the best set rests on" });
  host.append(bar);
  const line = mountWorkLine(bar, "Best set", currency, () => best.stop(), () => best.again());
  const words = element("span");
  const clear = element("button", { type: "button", class: "quiet" }, ["Clear hand choices"]);
  const hand = element("p", { class: "fund-hand" }, [words, " ", clear]);
  const ruled = element("span");
  const release = element("button", { type: "button", class: "quiet" }, ["Clear these conditions"]);
  const rules = element("p", { class: "fund-hand fund-rules" }, [ruled, " ", release]);
  bar.append(hand, rules);

  function say(): void {
    const { way, asking, asked, best: answer } = outcome.now;
    const byHand = handWords(trial.now);
    words.textContent = byHand;
    hand.hidden = !byHand;
    clear.hidden = release.hidden = trial.now.held;
    const conditions = conditionWords(trial.now);
    ruled.textContent = conditions;
    rules.hidden = !conditions || way === "score";
    bar.hidden = way === "score" && !byHand;
    bar.classList.toggle("fund-bar-score", way === "score");
    if (!asking || way === "score") return;
    const { looking, stale, work } = asking;
    const ended = work.state === "stopped" || work.state === "failed";
    const stopped = work.state === "stopped" && !stale && answer && !answer.final;
    const fresh = answer ? (stopped ? promise(answer).replace("still looking", "the search was stopped") : promise(answer)) : "";
    line.show({
      words: stale || !answer ? staleWords(asking, asked, currency) : fresh,
      work,
      looking,
      again: ended ? (work.state === "failed" ? "Try again" : "Go on looking") : "",
    });
  }

  say();
  return together([
    outcome.onChange(say),
    listen(clear, "click", () => trial.change({ keptIn: {}, leftOut: {} })),
    listen(release, "click", () => trial.change({ districtLeast: {}, districtMost: {}, mostInstalls: null, together: [] })),
    line.dispose,
    () => bar.remove(),
  ]);
}
