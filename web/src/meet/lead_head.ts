// At the head of the facilitator's page: which meeting, how phones join it, until when, whether it answers; the
// wall's address and the keys.
import { element } from "../parts/element.ts";
import { say } from "./lead_parts.ts";
import type { Meeting } from "./told.ts";
import { addressOf } from "./wire.ts";
import { clock, spacedCode } from "./words.ts";

export interface LeadHead {
  readonly element: HTMLElement;
  /** Since when nothing has answered; null while it does. */
  readonly link: (lostSince: Date | null) => void;
  /** What was refused; "" takes it away. */
  readonly refused: (words: string) => void;
}

export function leadHead(meeting: Meeting, key: string, keys: HTMLElement): LeadHead {
  const { code, case_name: name, catchment, ends_at: ends, join, join_short: short } = meeting;
  const lost = element("p", { class: "lead-lost", role: "alert" });
  const wrong = element("p", { class: "lead-refused", role: "alert" });
  const wall = beside("Open the wall", `/meet/${encodeURIComponent(code)}/wall#${key}`);
  const joining = join ? [element("span", { class: "lead-soft" }, ["Phones join at"]), element("strong", {}, [short || join])] : ["Phones cannot reach this service"];
  return {
    element: element("header", { class: "lead-head" }, [
      element("div", { class: "lead-names" }, [element("h1", {}, [name]), element("p", { class: "lead-soft" }, [`${catchment}. Open until ${clock(new Date(ends))}.`])]),
      element("p", { class: "lead-code" }, [element("span", { class: "lead-soft" }, ["Meeting code"]), element("strong", {}, [spacedCode(code)])]),
      element("p", { class: "lead-join" }, joining),
      element("div", { class: "lead-head-acts" }, [wall, ...(join ? [beside("QR code", addressOf(code, "/qr.svg"))] : []), keys]),
      lost, wrong,
    ]),
    link: (since) => say(lost, since ? `No connection since ${clock(since)}. The wall keeps what it shows; nothing you press is done until the meeting answers again.` : ""),
    refused: (words) => say(wrong, words),
  };
}

function beside(words: string, address: string): HTMLElement {
  return element("a", { class: "lead-button", href: address, target: "_blank", rel: "noopener noreferrer" }, [words]);
}
