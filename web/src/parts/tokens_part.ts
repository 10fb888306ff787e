// "For your GIS": tokens by which a program reads the data under one's name; made, shown once, ended.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { longDate, moment } from "../core/numbers.ts";
import { DAYS_WRONG, daysOf, MOST_DAYS } from "../core/role_words.ts";
import { dataAddress, endToken, fetchTokens, makeToken, type Scope, type Token } from "../wire/tokens.ts";
import { actButton, askFirst } from "./confirm_act.ts";
import { copyField } from "./copy_field.ts";
import { element } from "./element.ts";
import { formField, wordsOf } from "./form_field.ts";

export interface TokensPart {
  /** Reads them anew. */
  readonly read: () => void;
  readonly dispose: Dispose;
}

const SCOPES: readonly (readonly [Scope, string])[] = [
  ["read", "Read what I may see"],
  ["public", "Read what the public may see"],
  ["all", "All that I may do, changes too"],
];
const DAYS = 90;

export function mountTokensPart(host: HTMLElement, say: (words: string) => void): TokensPart {
  const title = formField("token-title", "What it is for", { autocomplete: "off", maxlength: 120 }, "“Office GIS”, so that you know it again.");
  const scope = element("select", { id: "token-scope", class: "text-field" }, SCOPES.map(([value, words]) => element("option", { value }, [words])));
  const days = formField("token-days", "Days it works", { inputmode: "numeric", autocomplete: "off", maxlength: 3, value: DAYS }, `1 to ${MOST_DAYS}`);
  const go = element("button", { type: "submit", class: "strip-button" }, ["Make a token"]);
  const wrong = element("p", { class: "form-wrong", role: "alert" });
  const form = element("form", { class: "small-form token-form", novalidate: "", "aria-label": "Make a token" }, [
    title.element,
    element("div", { class: "form-field" }, [element("label", { for: scope.id }, ["What it may do"]), scope]),
    days.element,
    wrong,
    element("div", { class: "form-buttons" }, [go]),
  ]);
  const made = element("div", { "aria-live": "polite" });
  const list = element("ul", { class: "token-list", "aria-label": "Your tokens" });
  host.append(
    element("h3", { id: "tokens-title" }, ["For your GIS"]),
    element("p", {}, ["A GIS on your desk reads offtakes and rivers from the address below and keeps up with the data. It asks for a name and a password: the name is yours, the password is a token."]),
    copyField("data-address", "Address", dataAddress()),
    made, list, form,
  );

  function read(): void {
    fetchTokens().then(
      ({ tokens }) => list.replaceChildren(...(tokens.length ? tokens.map((each) => tokenItem(each, read, say)) : [element("li", { class: "form-hint" }, ["No token yet."])])),
      (error: unknown) => list.replaceChildren(element("li", {}, [wordsOf(error, "Your tokens cannot be read.")])),
    );
  }

  async function make(): Promise<void> {
    const count = daysOf(days.input.value);
    days.refuse(count === null ? DAYS_WRONG : "");
    title.refuse(title.input.value.trim() === "" ? "Say what it is for." : "");
    if (count === null || go.disabled || form.querySelector("[aria-invalid]")) return;
    [go.disabled, wrong.textContent] = [true, ""];
    try {
      const token = await makeToken({ title: title.input.value.trim(), scope: scope.value as Scope, days: count });
      made.replaceChildren(shownOnce(token.title, token.secret));
      made.querySelector("input")?.focus();
      form.reset();
      read();
    } catch (error) {
      wrong.textContent = wordsOf(error, "It could not be made.");
    } finally {
      go.disabled = false;
    }
  }

  return {
    read: () => {
      made.replaceChildren();
      read();
    },
    dispose: together([
      listen(form, "submit", (event) => {
        event.preventDefault();
        void make();
      }),
      () => host.replaceChildren(),
    ]),
  };
}

function shownOnce(title: string, secret: string): HTMLElement {
  return element("div", { class: "shown-once" }, [
    element("p", {}, [element("strong", {}, ["Copy it now"]), `: the token “${title}” is shown this once and never again.`]),
    copyField("token-secret", "Token", secret),
  ]);
}

function tokenItem(token: Token, changed: () => void, say: (words: string) => void): HTMLElement {
  const { id, title, scope, ends_at: ends, seen_at: seen } = token;
  const acts = element("div", { class: "case-acts" });
  const may = SCOPES.find(([each]) => each === scope)?.[1] ?? scope;
  const past = Date.parse(ends) < Date.now();
  const end = async (): Promise<void> => {
    await endToken(id);
    say(`The token “${title}” is ended.`);
    changed();
  };
  const show = (): void => acts.replaceChildren(actButton("End it…", `End the token ${title}`, () => askFirst(acts, { words: "Whatever uses it is shut out at once.", yes: "End it", of: title, act: end, back: () => {
    show();
    acts.querySelector("button")?.focus();
  } })));
  show();
  return element("li", { class: "token" }, [
    element("div", {}, [
      element("p", {}, [element("strong", {}, [title])]),
      element("p", { class: "case-stamp" }, [`${may}; ${past ? "ended" : "works until"} ${longDate(ends)}; ${seen ? `last used ${moment(seen)}` : "never used yet"}`]),
    ]),
    acts,
  ]);
}
