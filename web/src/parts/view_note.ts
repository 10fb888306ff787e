// Whose loss the list shows, said above it whenever it is not everyone's; and that another view is on
// its way or did not come.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { guildName } from "../core/guilds.ts";
import { whoseLoss } from "../core/sentences.ts";
import { ALL_GUILDS } from "../core/trial.ts";
import { element } from "./element.ts";

export function mountViewNote(host: HTMLElement, { scene, losses, trial }: Desk): Dispose {
  const words = element("p", { role: "status" });
  const again = element("button", { type: "button", class: "quiet" }, ["Try again"]);
  const back = element("button", { type: "button", class: "quiet" }, ["Show all"]);
  const note = element("div", { class: "view-note" }, [words, again, back]);
  host.append(note);

  function say(): void {
    const { now } = losses;
    const shown = whoseLoss(now.year, guildName(scene, now.guild)) || "of all guilds, mean of the years";
    const wanted = whoseLoss(trial.now.year, guildName(scene, trial.now.guild));
    note.hidden = !wanted && !now.trouble;
    again.hidden = now.trouble === null;
    note.classList.toggle("stale", now.stale);
    if (now.trouble !== null) words.textContent = `${now.trouble} Still shown is the loss ${shown}.`;
    else if (now.stale) words.textContent = `Asking for the loss ${wanted}; still shown is the loss ${shown}.`;
    else words.textContent = `Loss, risk and colours are ${shown}. Score, rank, gain and set stay as they are.`;
  }

  say();
  return together([
    losses.onChange(say),
    listen(again, "click", () => losses.again()),
    listen(back, "click", () => trial.change({ year: "mean", guild: ALL_GUILDS })),
    () => note.remove(),
  ]);
}
