// What notes from the field would change in the register: looked at site by site, taken over in one go with a
// reason, or refused with one. Notes that contradict each other wait for a choice first.
import { type Dispose, listen, together } from "../core/dispose.ts";
import type { Desk } from "../core/desk.ts";
import type { Shown } from "../core/edit_fields.ts";
import { Sender } from "../core/edit_send.ts";
import { moment } from "../core/numbers.ts";
import { byCode, typedWords, waitingWords, writtenWords } from "../core/proposal_words.ts";
import { type EditDone, fetchRow, type FieldTold } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import { acceptNotes, fetchProposals, type Pick, type Proposals, refuseNotes, type Said, type SitePhotos } from "../wire/proposals.ts";
import { makeGrounds } from "./edit_grounds.ts";
import { makeReport } from "./edit_report.ts";
import { element } from "./element.ts";
import { wordsOf } from "./form_field.ts";
import { contestedPart } from "./visit_contested.ts";
import { photosPart } from "./visit_photos.ts";
import { type ProposalBox, proposalBox } from "./visit_proposal.ts";

export interface NotesWays {
  readonly show: (code: string) => void;
  readonly wrote: (done: EditDone, codes: readonly string[], words: string) => void;
}

const counted = (count: number): string => (count === 1 ? "1 note" : `${count} notes`);

export function mountVisitNotes(host: HTMLElement, { scene, trial }: Desk, ways: NotesWays): Dispose {
  const told = element("p", { role: "status", tabindex: -1 }, ["Reading the notes…"]);
  const contested = element("div", {});
  const all = element("input", { type: "checkbox" });
  const allLabel = element("label", { class: "visit-pick" }, [all, "All of them"]);
  const sites = element("div", { class: "visit-sites-told" });
  const report = makeReport();
  const grounds = makeGrounds("visit-notes", () => undefined, true);
  const accept = element("button", { type: "submit", class: "strip-button edit-save" });
  const refuse = element("button", { type: "button", class: "strip-button" });
  const foot = element("div", { class: "visit-foot" }, [grounds.element, report.element, element("div", { class: "edit-buttons" }, [accept, refuse])]);
  const form = element("form", { class: "visit-form", novalidate: "" }, [allLabel, sites, foot]);
  const shell = element("div", {}, [told, contested, form]);
  host.append(shell);
  const shown: Shown = { unit: trial.now.unit, currency: scene.facts.currency };
  const accepting = new Sender<Omit<Parameters<typeof acceptNotes>[0], "id">, EditDone>((asked) => acceptNotes(asked));
  const refusing = new Sender<Omit<Parameters<typeof refuseNotes>[0], "id">, unknown>((asked) => refuseNotes(asked));
  let boxes: readonly ProposalBox[] = [];
  let fields: ReadonlyMap<string, FieldTold> = new Map();
  let gone = false;

  async function read(words = ""): Promise<void> {
    try {
      const now = await fetchProposals();
      if (!fields.size) fields = await readFields();
      if (gone) return;
      draw(now, words);
    } catch (error) {
      if (!gone) told.textContent = wordsOf(error, "The notes cannot be read.");
    }
  }

  function draw({ proposals, contested: differing, said, photos }: Proposals, words: string): void {
    const options = scene.offtakes.options.map(({ option_id: id, name }) => [id, name] as const);
    contested.replaceChildren(...(differing.length ? [contestedPart(differing, { show: ways.show, chosen: (said) => void read(said) })] : []));
    const [proposed, saidOf] = [new Map(byCode(proposals)), new Map(byCode(said))];
    const photosOf = new Map<string, SitePhotos[]>();
    for (const each of photos) photosOf.set(each.code, [...(photosOf.get(each.code) ?? []), each]);
    const codes = [...new Set([...proposed.keys(), ...saidOf.keys(), ...photosOf.keys()])].sort();
    const made: ProposalBox[] = [];
    sites.replaceChildren(...codes.map((code) => {
      const own = (proposed.get(code) ?? []).map((each) => proposalBox(each, { field: fields.get(each.column), shown, options, changed: showPicked }));
      made.push(...own);
      const name = element("button", { type: "button", class: "quiet visit-code", "aria-label": `${code}: show it on the map` }, [code]);
      name.addEventListener("click", () => ways.show(code));
      const label = scene.offtakes.label[scene.offtakes.offtake_id.indexOf(code)] ?? "";
      return element("section", { class: "visit-site", "aria-label": `Notes of ${code}` }, [
        element("h3", {}, [name, ...(label && label !== code ? [element("span", { class: "visit-day-glance" }, [label])] : [])]),
        ...own.map(({ element: box }) => box),
        ...(saidOf.get(code) ?? []).map(saidLine),
        ...(photosOf.get(code) ?? []).flatMap(photosAlone),
      ]);
    }));
    boxes = made;
    const count = proposals.length;
    told.textContent = [words, waitingWords(count, proposed.size, new Set([...saidOf.keys(), ...photosOf.keys()]).size)].filter(Boolean).join(" ");
    form.hidden = codes.length === 0;
    allLabel.hidden = foot.hidden = count === 0;
    showPicked();
  }

  function showPicked(): void {
    const picked = boxes.filter((each) => each.isPicked());
    [accept.textContent, refuse.textContent] = [`Take over ${counted(picked.length)}`, `Refuse ${counted(picked.length)}`];
    accept.disabled = refuse.disabled = picked.length === 0;
    all.checked = picked.length === boxes.length;
    all.indeterminate = picked.length > 0 && picked.length < boxes.length;
  }

  async function takeOver(): Promise<void> {
    const picked = boxes.filter((each) => each.isPicked());
    const picks = picked.map((each) => each.pick());
    if (picks.includes(null)) return report.warn("Something is to be put right above.");
    if (grounds.lacksWhy()) return report.warn("");
    hold(true);
    report.say("Taking them over…");
    const sent = await accepting.send({ ...signed(), picks: picks as Pick[] });
    hold(false);
    if (gone) return;
    if (sent.state === "done") {
      const codes = [...new Set(picked.map(({ code }) => code))];
      ways.wrote(sent.done, codes, `${counted(picks.length)} taken over.`);
    } else if (sent.state === "unknown") report.warn("No answer came, so it is not known whether they were taken over. Do it again: it will not be done twice.");
    else if (sent.error.status === 409) {
      report.warn(wordsOf(sent.error, "Something changed meanwhile; nothing was written."));
      await read();
    } else report.warn(wordsOf(sent.error, "They cannot be taken over."), (sent.error.told["findings"] as Finding[] | undefined) ?? []);
  }

  async function turnDown(): Promise<void> {
    const ids = boxes.filter((each) => each.isPicked()).map(({ id }) => id);
    if (grounds.lacksWhy()) return report.warn("");
    hold(true);
    const sent = await refusing.send({ ...signed(), note_ids: ids });
    hold(false);
    if (gone) return;
    if (sent.state === "done") {
      report.say("");
      grounds.show({ why: "", basis: "", source: "", observed_on: "" });
      await read(`${counted(ids.length)} refused; they stay with the run.`);
      told.focus();
    } else report.warn(sent.state === "refused" ? wordsOf(sent.error, "They cannot be refused.") : "No answer came. Refuse them again: it will not be done twice.");
  }

  function signed(): { why: string; by?: string } {
    const { why, by } = grounds.asked();
    return { why, ...(by ? { by } : {}) };
  }

  function hold(on: boolean): void {
    accept.disabled = refuse.disabled = on;
    if (!on) showPicked();
  }

  async function readFields(): Promise<ReadonlyMap<string, FieldTold>> {
    const [code] = scene.offtakes.offtake_id;
    if (code === undefined) return new Map();
    const row = await fetchRow("offtakes", code);
    return new Map(row.fields.map((field) => [field.name, field]));
  }

  form.hidden = true;
  void read();
  return together([
    grounds.dispose,
    listen(all, "change", () => {
      for (const each of boxes) each.put(all.checked);
      showPicked();
    }),
    listen(form, "submit", (event) => {
      event.preventDefault();
      void takeOver();
    }),
    listen(refuse, "click", () => void turnDown()),
    () => {
      gone = true;
      shell.remove();
    },
  ]);
}

function photosAlone({ code, photos, by, at, run_name: run }: SitePhotos): HTMLElement[] {
  return [
    element("p", { class: "why-note visit-said" }, [`${photos.length === 1 ? "A photo" : `${photos.length} photos`} by ${[by, moment(at)].filter(Boolean).join(", ")}; run ${run}; nothing is proposed there.`]),
    photosPart(photos, code),
  ];
}

function saidLine({ label, note, run_name: run }: Said): HTMLElement {
  return element("p", { class: "why-note visit-said" }, [`${label}: `, element("strong", {}, [typedWords(note)]), ` (${writtenWords(note)}; run ${run}).`]);
}
