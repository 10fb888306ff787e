// A box for words that everyone will read: how many letters are left, and a quiet question where they hold what
// may be a name or somebody's own volume.
import { element } from "../parts/element.ts";
import { say } from "./lead_parts.ts";
import type { Meeting } from "./told.ts";
import { counted } from "./words.ts";

const MOST_LETTERS = 600;
const ASKED = "Is this a name or a volume? The minutes are for everyone.";
const VOLUME = /\d\s*(?:[MG]L\b|l\/s\b|m3\/s\b|m³\/s|cfs\b|cumecs?\b)/iu;
/** Two capitalised words in a row; the first may be a letter and a point. */
const NAME = /(\p{Lu}(?:\p{L}+|\.))\s+\p{Lu}\p{Ll}+/gu;
/** Words that begin a sentence, so that the next is not thereby a surname. */
const OPENERS = new Set("A All An And As At But By Each Every For From If In It Its No Not Of On One Only Our So That The There These They This To We When Where With".split(" "));

export interface Area {
  readonly element: HTMLElement;
  readonly input: HTMLTextAreaElement;
  readonly put: (text: string) => void;
}

export function letterArea(id: string, label: string, where: string, meeting: Meeting, changed: () => void): Area {
  const input = element("textarea", { id, rows: 3, maxlength: MOST_LETTERS, "aria-describedby": `${id}-left` });
  const left = element("p", { class: "lead-soft", id: `${id}-left` });
  const asked = element("p", { class: "lead-asked", role: "status" });
  const known = namesOf(meeting);
  const count = (): void => {
    say(left, `${counted(MOST_LETTERS - input.value.length, "letter")} left. ${where}`);
    say(asked, mayTell(input.value, known) ? ASKED : "");
  };
  const put = (text: string): void => {
    input.value = text;
    count();
  };
  input.addEventListener("input", () => {
    count();
    changed();
  });
  count();
  return { element: element("div", { class: "lead-field" }, [element("label", { for: id }, [label]), input, left, asked]), input, put };
}

/** Whether words may tell who somebody is or what is theirs; names that stand on the map tell nobody. */
export function mayTell(text: string, known: readonly string[] = []): boolean {
  const rest = known.reduce((all, name) => all.replaceAll(name, " "), text);
  return VOLUME.test(rest) || [...rest.matchAll(NAME)].some(([, first = ""]) => !OPENERS.has(first));
}

/** The longest first, so that no part of one is left standing. */
function namesOf({ map, catchment, case_name }: Meeting): string[] {
  const names = [catchment, case_name, ...map.rivers.map(({ name = "" }) => name), ...map.towns.map(({ name }) => name)];
  return names.filter(Boolean).sort((a, b) => b.length - a.length);
}
