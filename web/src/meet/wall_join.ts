// How one joins: the picture to point a phone at, the address and the code to type. Large while the river is
// shown and people sit down, small later. Once the meeting has ended its minutes are told there instead.
import { element } from "../parts/element.ts";
import type { Meeting, Now } from "./told.ts";
import { minutesAddress, spacedCode } from "./words.ts";
import { addressOf } from "./wire.ts";

export interface JoinCard {
  readonly element: HTMLElement;
  readonly show: (now: Now) => void;
  readonly over: (minutes: boolean) => void;
}

export function joinCard({ code, join, join_short }: Meeting): JoinCard {
  const picture = element("img", { class: "join-qr", src: addressOf(code, "/qr.svg"), alt: `Picture to point a phone at: ${join}` });
  const where = element("p", { class: "join-where" }, join ? ["Join at ", element("b", {}, [join_short])] : ["Phones cannot reach this meeting"]);
  const which = element("p", { class: "join-code" }, ["code ", element("b", {}, [spacedCode(code)])]);
  const made = element("section", { class: "wall-join", "aria-label": "Join" }, [...(join ? [picture] : []), element("div", { class: "join-words" }, [where, which])]);
  return {
    element: made,
    show: ({ door_open }) => {
      made.classList.toggle("door-shut", !door_open);
      if (join) where.replaceChildren(...(door_open ? ["Join at ", element("b", {}, [join_short])] : ["Joining is closed"]));
    },
    over: (minutes) => {
      made.setAttribute("aria-label", "The meeting has ended");
      made.className = "wall-ended";
      made.replaceChildren(...endedWords(minutes ? minutesAddress(code, join) : ""));
    },
  };
}

/** `address` is where the minutes are read; "" where there are none. */
export function endedWords(address: string): HTMLElement[] {
  const minutes = element("p", {}, ["Minutes: ", element("b", { class: "ended-address" }, [address])]);
  return [element("p", { role: "status" }, [element("b", {}, ["The meeting has ended."])]), ...(address ? [minutes] : [])];
}
