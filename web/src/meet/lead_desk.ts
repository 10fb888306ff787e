// The facilitator's desk: what stands now, as one value that is followed, and what may be done about it.
import { type Dispose, together } from "../core/dispose.ts";
import { wordsOf } from "../parts/form_field.ts";
import { type LineHears, openLine } from "./lead_line.ts";
import { type Lead, type Step, STEPS } from "./told.ts";
import { follow } from "./wire.ts";

/** The stream tells of what the wall shows; places, and a held meeting, are looked at this often besides. */
const LOOK_AGAIN_MS = 2_000;

export interface Texts {
  readonly words: string;
  readonly left_open: string;
}

/** "trial" is the one shown now; "same" leaves what was agreed as it is. */
export interface Agreed extends Texts {
  readonly what: "" | "case" | "trial" | "same";
  /** The revision that whoever decides has seen; of another nothing is written over. */
  readonly seen: number;
}

export interface Closed {
  /** Where they are; "" where none could be made. */
  readonly minutes: string;
  /** Of the case that was agreed; "" where none was. */
  readonly case_id: string;
}

export interface DeskHears extends LineHears {
  readonly now: (lead: Lead) => void;
  /** What was asked was refused; "" once something is done. */
  readonly refused: (words: string) => void;
}

export interface LeadDesk {
  readonly now: () => Lead | null;
  readonly step: (to: Step) => void;
  readonly stepBy: (count: 1 | -1) => void;
  readonly hold: (held: boolean) => void;
  readonly door: (open: boolean) => void;
  readonly trial: (shown: boolean) => void;
  readonly agree: (agreed: Agreed) => Promise<void>;
  readonly close: () => Promise<Closed>;
  readonly dispose: Dispose;
}

export function openDesk(code: string, key: string, hears: DeskHears): LeadDesk {
  const line = openLine(code, key, { ...hears, over: (...told) => (dispose(), hears.over(...told)) });
  let lead: Lead | null = null;
  let lookedFor = false;
  /** The step asked for last: pressed twice quickly, Next goes two on. */
  let heading: Step | null = null;

  function take(told: Lead): void {
    lead = told;
    hears.now(told);
    if (told.ended) hears.over("ended", "The meeting has ended.", { minutes: told.minutes });
  }

  /** Once for all that is heard while something else is asked. */
  function look(): void {
    if (line.isGone()) return;
    if (line.isBusy()) {
      lookedFor = true;
      return;
    }
    lookedFor = false;
    void line.ask<Lead>("/lead").then(take, () => undefined).finally(() => lookedFor && look());
  }

  const put = (what: string, body: unknown): Promise<void> => line.ask<Lead>(`/lead/${what}`, { method: "PUT", body }).then(take);

  /** Whatever is refused is said, until something is done again. */
  function change(what: string, body: unknown): Promise<void> {
    return put(what, body).then(
      () => hears.refused(""),
      (error: unknown) => {
        if (!line.isGone()) hears.refused(wordsOf(error, "It could not be done."));
      },
    );
  }

  function step(to: Step): void {
    if (to === (heading ?? lead?.step)) return;
    heading = to;
    void change("step", { step: to }).finally(() => {
      if (heading === to) heading = null;
    });
  }

  const timer = setInterval(look, LOOK_AGAIN_MS);
  const dispose = together([line.dispose, follow(code, { key, now: look, link: look, ended: look }), () => clearInterval(timer)]);
  look();

  return {
    now: () => lead,
    step,
    stepBy: (count) => {
      const to = lead && STEPS[STEPS.indexOf(heading ?? lead.step) + count];
      if (to) step(to);
    },
    hold: (held) => void change("hold", { held }),
    door: (open) => void change("door", { open }),
    trial: (shown) => void change("trial", { shown }),
    agree: (agreed) => put("agreed", agreed).catch((error: unknown) => {
      look(); // somebody else may have changed it
      throw error;
    }),
    close: () => line.ask<Closed>("/lead/close", { method: "POST" }),
    dispose,
  };
}
