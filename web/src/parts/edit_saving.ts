// Checks and saves one edit: once however often the button is pressed or the answer is lost. What the
// service has against it goes to whoever can show it in its place.
import { type Refusal, Sender } from "../core/edit_send.ts";
import { type Change, type Conflict, type EditAsked, type EditDone, type Grounds, sendEdit } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import type { Report } from "./edit_report.ts";

export interface SavingWays {
  readonly report: Report;
  /** While it is under way nothing can be typed. */
  readonly lock: (on: boolean) => void;
  readonly faults: (findings: readonly Finding[]) => void;
  readonly clash: (conflicts: readonly Conflict[]) => void;
  readonly saved: (done: EditDone, changes: readonly Change[]) => void;
}

export interface Saving {
  readonly check: (changes: readonly Change[], grounds: Grounds) => Promise<void>;
  readonly save: (changes: readonly Change[], grounds: Grounds) => Promise<void>;
}

type Asked = Omit<EditAsked, "id">;

export function makeSaving({ report, lock, faults, clash, saved }: SavingWays): Saving {
  const sender = new Sender<Asked, EditDone>((asked) => sendEdit(asked));
  const checker = new Sender<Asked, EditDone>((asked) => sendEdit(asked), undefined, []);

  async function check(changes: readonly Change[], grounds: Grounds): Promise<void> {
    lock(true);
    report.say("Checking…");
    const sent = await checker.send({ ...grounds, why: grounds.why || "checked before it is saved", changes, dry_run: true });
    lock(false);
    if (sent.state === "refused") return refused(sent.error);
    if (sent.state === "unknown") return report.warn(sent.message);
    const { warnings } = sent.done;
    report.say(warnings.length ? "It can be saved. Odd, though not wrong:" : "It can be saved; nothing stands against it.", warnings);
  }

  async function save(changes: readonly Change[], grounds: Grounds): Promise<void> {
    lock(true);
    report.say("Saving…");
    const sent = await sender.send({ ...grounds, changes }, () => report.say("No answer yet; sent again under the same number, so it cannot be done twice…"));
    lock(false);
    if (sent.state === "done") saved(sent.done, changes);
    else if (sent.state === "refused") refused(sent.error);
    else report.warn("No answer came, so it is not known whether it was saved. Save again: it will not be done twice.");
  }

  function refused({ status, message, told }: Refusal): void {
    const { conflicts, findings } = told;
    if (status === 409 && Array.isArray(conflicts)) clash(conflicts as Conflict[]);
    else if (Array.isArray(findings)) faults(findings as Finding[]);
    else report.warn(message);
  }

  return { check, save };
}
