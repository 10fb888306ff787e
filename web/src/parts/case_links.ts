// Public links of one shared case: made for so many days, copied once, ended.
import { longDate, moment } from "../core/numbers.ts";
import { DAYS_WRONG, daysOf, MOST_DAYS } from "../core/role_words.ts";
import ofPeople from "../look/people.css" with { type: "text" };
import ofForms from "../look/sign_in.css" with { type: "text" };
import { type CaseLink, endLink, fetchLinks, makeLink } from "../wire/case_links.ts";
import { actButton, askFirst } from "./confirm_act.ts";
import { copyField } from "./copy_field.ts";
import { dress } from "./dress.ts";
import { element } from "./element.ts";
import { formField, wordsOf } from "./form_field.ts";

const DAYS = 30;

/** Folded until it is looked for; the links are read then. */
export function caseLinks(caseId: string, name: string): HTMLElement {
  for (const look of [ofForms, ofPeople]) dress(look);
  const days = formField(`link-days-${caseId}`, "Days it works", { inputmode: "numeric", autocomplete: "off", maxlength: 3, value: DAYS }, `1 to ${MOST_DAYS}`);
  const go = element("button", { type: "submit", class: "strip-button", "aria-label": `Make a public link to ${name}` }, ["Make a link"]);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  const form = element("form", { class: "link-form", novalidate: "" }, [days.element, go, wrong]);
  const made = element("div", { "aria-live": "polite" });
  const told = element("p", { class: "form-hint", role: "status" });
  const list = element("ul", { class: "token-list", "aria-label": `Public links to ${name}` });
  const fold = element("details", { class: "form-fold case-links" }, [
    element("summary", {}, ["Public link", element("span", { class: "unseen" }, [` to ${name}`])]),
    element("p", {}, ["Whoever has the link sees this case without an account, with public values alone, until it ends."]),
    form, made, told, list,
  ]);

  function read(): void {
    fetchLinks(caseId).then(
      ({ links }) => list.replaceChildren(...links.map((each) => linkItem(each, name, heard))),
      (error: unknown) => (told.textContent = wordsOf(error, "The links cannot be read.")),
    );
  }

  function heard(words: string): void {
    told.textContent = words;
    made.replaceChildren();
    read();
  }

  async function make(): Promise<void> {
    const count = daysOf(days.input.value);
    days.refuse(count === null ? DAYS_WRONG : "");
    if (count === null || go.disabled) return;
    [go.disabled, wrong.textContent, told.textContent] = [true, "", ""];
    try {
      const link = await makeLink(caseId, count);
      made.replaceChildren(element("div", { class: "shown-once" }, [
        element("p", {}, [element("strong", {}, ["Copy it now"]), `: it is shown this once. It works until ${longDate(link.ends_at)}.`]),
        copyField(`link-${link.id}`, "Public link", new URL(link.address, location.origin).href),
      ]));
      made.querySelector("input")?.focus();
      read();
    } catch (error) {
      wrong.textContent = wordsOf(error, "It could not be made.");
    } finally {
      go.disabled = false;
    }
  }

  fold.addEventListener("toggle", () => fold.open && read());
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void make();
  });
  return fold;
}

function linkItem(link: CaseLink, name: string, changed: (words: string) => void): HTMLElement {
  const { id, made_at: made, by, ends_at: ends, ended_at: ended } = link;
  const acts = element("div", { class: "case-acts" });
  const gone = ended !== null || Date.parse(ends) < Date.now();
  const words = ended ? `ended ${moment(ended)}` : gone ? `ended ${longDate(ends)}` : `works until ${longDate(ends)}`;
  const of = `the link made ${moment(made)} to ${name}`;
  const end = async (): Promise<void> => {
    await endLink(id);
    changed("The link is ended: it opens nothing any more.");
  };
  const show = (): void => {
    const button = actButton("End it…", `End ${of}`, () => askFirst(acts, { words: "It opens nothing any more, for good.", yes: "End it", of, act: end, back: () => {
      show();
      acts.querySelector("button")?.focus();
    } }));
    acts.replaceChildren(...(gone ? [] : [button]));
  };
  show();
  return element("li", { class: `token${gone ? " token-gone" : ""}` }, [element("p", { class: "case-stamp" }, [`Made ${moment(made)} by ${by}; ${words}`]), acts]);
}
