// Who is in the room: phones joined and here, weightings tried, for whom they say they speak; and the door for
// new ones.
import { element } from "../parts/element.ts";
import type { LeadDesk } from "./lead_desk.ts";
import { button, type LeadPart, say, section } from "./lead_parts.ts";
import { roomWords } from "./lead_words.ts";
import type { Lead, Meeting } from "./told.ts";
import { counted } from "./words.ts";

export function roomPart(meeting: Meeting, desk: LeadDesk): LeadPart {
  const joined = figure("phones joined");
  const here = figure("here now");
  const tried = figure("weightings tried");
  const common = element("p");
  const groups = meeting.groups.map((name) => ({ name, row: figure(name) }));
  const unsaid = figure("not said");
  const dropped = element("p", { class: "lead-soft" });
  const state = element("p", { class: "lead-door-state" });
  const door = button("", "", () => desk.door(!desk.now()?.door_open));

  function show(lead: Lead): void {
    joined.show(lead.phones);
    here.show(lead.present);
    tried.show(lead.tried);
    say(common, roomWords(meeting, lead));
    for (const { name, row } of groups) row.show(lead.groups[name] ?? 0);
    unsaid.show(lead.unsaid);
    say(dropped, lead.dropped ? `${counted(lead.dropped, "phone")} dropped: ${lead.dropped === 1 ? "it" : "they"} sent too much, or what no page sends.` : "");
    say(state, lead.door_open ? "The door is open: new phones may join." : "The door is closed: phones that have joined go on, no new one comes in.");
    say(door, lead.door_open ? "Close the door" : "Open the door");
  }

  const part = section("room", "The room", [
    element("dl", { class: "lead-figures" }, [joined.element, here.element, tried.element]),
    common,
    element("h3", {}, ["Who they speak for, as they say"]),
    element("dl", { class: "lead-groups" }, [...groups.map(({ row }) => row.element), unsaid.element]),
    dropped,
    element("div", { class: "lead-door" }, [state, door]),
  ]);
  return { element: part, show };
}

function figure(words: string): { readonly element: HTMLElement; readonly show: (number: number) => void } {
  const number = element("dd");
  const made = element("div", {}, [element("dt", {}, [words]), number]);
  return {
    element: made,
    show: (value) => {
      say(number, String(value));
      made.classList.toggle("is-none", value === 0);
    },
  };
}
