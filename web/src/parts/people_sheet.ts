// Who may sign in, and as what: for admins. People are added, given other roles or a new password, locked
// out and removed.
import { type Dispose, together } from "../core/dispose.ts";
import { fetchPeople } from "../wire/people.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";
import { mountPersonForm } from "./person_form.ts";
import { personItem } from "./person_item.ts";
import { mountSideSheet } from "./side_sheet.ts";

export interface PeopleSheet {
  readonly open: () => void;
  readonly dispose: Dispose;
}

export function mountPeopleSheet(host: HTMLElement): PeopleSheet {
  const sheet = mountSideSheet(host, "people", "People");
  const list = element("ul", { class: "case-list", "aria-label": "People" });
  const adding = element("section", { "aria-labelledby": "person-title" });
  sheet.body.append(adding, element("section", { "aria-label": "Who may sign in" }, [list]));
  const form = mountPersonForm(adding, (name) => void refresh(`${name} is added.`));

  async function refresh(words = ""): Promise<void> {
    if (words) sheet.say(words);
    try {
      const { people } = await fetchPeople();
      list.replaceChildren(...people.map((each) => personItem(each, (told) => void refresh(told))));
    } catch (error) {
      sheet.say(wordsOf(error, "The people cannot be read."));
    }
  }

  return {
    open: () => {
      sheet.open();
      void refresh();
    },
    dispose: together([form, sheet.dispose]),
  };
}
