// Meetings on one shared case: opened for so many hours, its pages and key shown once; those that go on,
// each with a way to end it, and the minutes of those that are over.
import { longDate, moment } from "../core/numbers.ts";
import { HOURS_WRONG, hoursOf, LEAST_HOURS, meetCommand, MOST_HOURS, USUAL_HOURS, spacedCode } from "../core/meeting_words.ts";
import ofMeetings from "../look/case_meeting.css" with { type: "text" };
import ofPeople from "../look/people.css" with { type: "text" };
import ofForms from "../look/sign_in.css" with { type: "text" };
import { endMeeting, fetchMeetings, type MeetingHead, type MeetingOpened, minutesOf, openMeeting, withKey } from "../wire/meetings.ts";
import { actButton, askFirst } from "./confirm_act.ts";
import { copyField } from "./copy_field.ts";
import { dress } from "./dress.ts";
import { element } from "./element.ts";
import { formField, wordsOf } from "./form_field.ts";

/** Folded until it is looked for; the meetings are read then. */
export function caseMeeting(caseId: string, name: string): HTMLElement {
  for (const look of [ofForms, ofPeople, ofMeetings]) dress(look);
  const hours = formField(`meeting-hours-${caseId}`, "Hours, at most", { inputmode: "numeric", autocomplete: "off", maxlength: 2, value: USUAL_HOURS }, `${LEAST_HOURS} to ${MOST_HOURS}`);
  const go = element("button", { type: "submit", class: "strip-button", "aria-label": `Open a meeting on ${name}` }, ["Open a meeting"]);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  const form = element("form", { class: "link-form", novalidate: "" }, [hours.element, go, wrong]);
  const made = element("div", { "aria-live": "polite" });
  const told = element("p", { class: "form-hint", role: "status" });
  const list = element("ul", { class: "token-list", "aria-label": `Meetings on ${name}` });
  const fold = element("details", { class: "form-fold case-links case-meeting" }, [
    element("summary", {}, ["Meeting", element("span", { class: "unseen" }, [` on ${name}`])]),
    element("p", {}, ["A wall for a projector, and phones that try their own weights without an account or a name. Only public values are told there."]),
    form, made, told, list,
  ]);

  function read(): void {
    fetchMeetings().then(
      ({ meetings }) => list.replaceChildren(...meetings.filter((each) => each.case_id === caseId).map((each) => meetingItem(each, heard))),
      (error: unknown) => (told.textContent = wordsOf(error, "The meetings cannot be read.")),
    );
  }

  function heard(words: string): void {
    told.textContent = words;
    made.replaceChildren();
    read();
  }

  async function open(): Promise<void> {
    const count = hoursOf(hours.input.value);
    hours.refuse(count === null ? HOURS_WRONG : "");
    if (count === null || go.disabled) return;
    [go.disabled, go.textContent, wrong.textContent, told.textContent] = [true, "Opening…", "", ""];
    try {
      const opened = await openMeeting(caseId, count);
      made.replaceChildren(justOpened(opened, caseId, name));
      made.querySelector("a")?.focus();
      read();
    } catch (error) {
      wrong.textContent = wordsOf(error, "It could not be opened.");
    } finally {
      [go.disabled, go.textContent] = [false, "Open a meeting"];
    }
  }

  fold.addEventListener("toggle", () => fold.open && read());
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void open();
  });
  return fold;
}

/** Shown this once: the key is in the two addresses, behind the mark that no browser sends. */
function justOpened(opened: MeetingOpened, caseId: string, name: string): HTMLElement {
  const { code, key, ends_at: ends, wall, lead, join } = opened;
  const pages = ([["Facilitator’s page", lead], ["Wall", wall]] as const).map(([words, path]) =>
    element("a", { class: "strip-button", href: withKey(path, key), target: "_blank", rel: "noopener noreferrer" }, [`Open the ${words.toLowerCase()}`]),
  );
  return element("div", { class: "shown-once" }, [
    element("p", {}, ["The meeting is open until ", element("strong", {}, [moment(ends)]), ". Its code:"]),
    element("p", { class: "meeting-code" }, [spacedCode(code)]),
    element("div", { class: "case-acts" }, pages),
    element("p", {}, [element("strong", {}, ["Copy this now"]), ": the key in it is shown this once, and whoever has it leads the meeting."]),
    copyField(`meeting-lead-${code}`, "Facilitator’s page, with its key", withKey(lead, key)),
    ...(join ? [copyField(`meeting-join-${code}`, "Phones join at", join)] : unreached(code, caseId, name)),
  ]);
}

/** Where this service answers its own machine alone, phones need the other way in. */
function unreached(code: string, caseId: string, name: string): HTMLElement[] {
  return [
    element("p", {}, ["Phones cannot reach this service, so in this meeting there are none. To let them in, end it and open the meeting on the laptop whose hotspot or network the phones share:"]),
    copyField(`meeting-command-${code}`, "Command on that laptop", meetCommand(caseId, name)),
  ];
}

function meetingItem(meeting: MeetingHead, changed: (words: string) => void): HTMLElement {
  const { code, opened_at: opened, by, ends_at: ends, ended_at: ended, live, minutes: hasMinutes } = meeting;
  const acts = element("div", { class: "case-acts" });
  const words = live ? `open until ${moment(ends)}` : `ended ${ended ? moment(ended) : longDate(ends)}`;
  const of = `meeting ${spacedCode(code)}`;
  const end = async (): Promise<void> => {
    await endMeeting(code);
    changed(`Meeting ${spacedCode(code)} is ended: its phones and its wall say so.`);
  };
  const show = (): void => {
    const button = actButton("End it…", `End ${of}`, () => askFirst(acts, { words: "Its phones and its wall are told that it is over. It cannot be opened again.", yes: "End it", of, act: end, back: () => {
      show();
      acts.querySelector("button")?.focus();
    } }));
    const minutes = element("a", { class: "strip-button", href: minutesOf(code), target: "_blank", rel: "noopener", "aria-label": `Minutes of ${of}` }, ["Minutes"]);
    acts.replaceChildren(...(live ? [button] : hasMinutes ? [minutes] : []));
  };
  show();
  return element("li", { class: "token" }, [element("p", { class: "case-stamp" }, [element("strong", {}, [spacedCode(code)]), ` opened ${moment(opened)}${by ? ` by ${by}` : ""}; ${words}`]), acts]);
}
