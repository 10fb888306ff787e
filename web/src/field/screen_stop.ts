// At the pump: who to ask, what is worth measuring, the form, and "could not get in".
import { together as all } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import type { Form, Pack, PackStop } from "../wire/field.ts";
import type { Note } from "../wire/notes.ts";
import { on } from "./bus.ts";
import { recall } from "./db.ts";
import { type Card, makeCard, type Stands } from "./field_card.ts";
import { counts, heldAt, ofField, type Noted, type Of, phoneName, settle, type Told, toldOf, write } from "./notebook.ts";
import { doneAt, setDone } from "./packs.ts";
import { alertLine, button } from "./parts.ts";
import { makePhotoCard } from "./photo_card.ts";
import { PHONE, runAddress, type Screen } from "./screen.ts";
import { contactWords } from "./screen_run.ts";
import { send, watch } from "./sending.ts";
import { stopOf } from "./sketch.ts";
import { tipsOf, together } from "./standing.ts";
import { asTyped } from "./understood.ts";
import { byName, nameAfter, who } from "./who.ts";
import { minutesWords, timeWords } from "./words.ts";

/** Which fields settle an input that is worth measuring; as the planner has it. */
const FIELDS_OF: Readonly<Record<string, readonly string[]>> = {
  draw: ["plate_capacity", "running"],
  position: ["position_words"],
  depth_m: ["depth_today", "gauge_reading", "depth_low"],
  night_use_share: ["night_share"],
};
const SETTLE_MS = 4_000;

let field: { code: string; field: string } | null = null;

/** The field whose letters are being typed now. */
export function atField(): typeof field {
  const at = document.activeElement;
  return field && at?.classList.contains("typed") && at.closest(".card")?.getAttribute("data-field") === field.field ? field : null;
}

export async function stopScreen(pack: Pack, stop: PackStop): Promise<Screen> {
  const of: Of = { run_id: pack.run.id, code: stop.code };
  const phone = await phoneName();
  const trouble = element("div", { role: "alert" });
  const hazards = element("div", {});
  const forms = saidOnce(pack.forms);
  const byLine = element("p", { class: "line by-line" });
  let placed = (await recall<boolean>("photo-place")) ?? false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let look = await lookAround(of);

  /** The name on a note that is about to be written. */
  function byWhom(): string {
    nameAfter(pack.run.officer);
    showName();
    return byName();
  }

  function showName(): void {
    byLine.replaceChildren(element("span", {}, [`Notes are by ${byName(pack.run.officer)}`, ...(who().accounts ? [] : [" - ", element("a", { href: PHONE }, ["change"])])]));
  }

  function changed(form: Form, typed: string, unit: string): void {
    const before = stop.notes.filter((note) => note.field === form.field);
    const moved = field?.field !== form.field;
    field = { code: stop.code, field: form.field };
    const kept = write(of, form, typed, unit, byWhom(), before);
    kept.catch((error: unknown) => {
      trouble.replaceChildren(alertLine(`What you typed could not be kept on this phone (${reasonOf(error)}). Write it on paper.`));
    });
    if (moved) void kept.then(() => finish(() => field), () => undefined);
    clearTimeout(timer);
    timer = setTimeout(() => void finish(atField).then(send), SETTLE_MS);
  }

  /** Makes notes of what was typed; where the store is full it stays kept as it was being typed. */
  async function finish(at?: typeof atField): Promise<void> {
    await settle(at).catch((error: unknown) => {
      if (!trouble.childElementCount) trouble.replaceChildren(alertLine(`What you typed is kept, but cannot be sent yet: this phone's store takes nothing more (${reasonOf(error)}).`));
    });
  }

  const photo = forms.find((form) => form.holds === "photo");
  const photos = photo ? makePhotoCard(photo, of, () => placed, byWhom) : null;
  const measured = new Set((stop.planned.measure ?? []).flatMap(({ input }) => FIELDS_OF[input] ?? []));
  const cards = new Map<string, Card>();
  forms.forEach((form) => {
    if (form.holds === "photo") return;
    cards.set(form.field, makeCard(form, stop, of.run_id, phone, stands(form, stop, look), (typed, unit) => changed(form, typed, unit)));
  });
  const noEntry = cards.get("no_entry");
  const first = [...cards.values()].filter(({ form }) => measured.has(form.field));
  const rest = [...cards.values()].filter((card) => card !== noEntry && !first.includes(card));

  async function refresh(): Promise<void> {
    look = await lookAround(of);
    for (const card of cards.values()) card.refresh(stands(card.form, stop, look));
    photos?.refresh(look.notes.filter(({ note, state }) => note.field === "photo" && state !== "replaced"));
    const form = cards.get("hazards")?.form;
    const notes = form ? stands(form, stop, look).others.concat(look.notes.filter(({ note, state }) => note.field === "hazards" && state !== "replaced").map(({ note }) => note)) : [];
    hazards.replaceChildren(...tipsOf(notes, []).map((note) => alertLine(`${asTyped(note)} (${note.by}, ${timeWords(note.at)})`)));
  }

  async function leaveSettled(): Promise<void> {
    clearTimeout(timer);
    field = null;
    await finish();
    void send();
  }

  const isDone = (await doneAt(of.run_id)).has(stop.code);
  const done = button(isDone ? "Open again" : "Done here", isDone ? "" : "main", () => {
    void leaveSettled()
      .then(() => setDone(of.run_id, stop.code, !isDone))
      .then(
        () => (location.hash = runAddress(of.run_id)),
        (error: unknown) => trouble.replaceChildren(alertLine(`That it is done could not be kept on this phone (${reasonOf(error)}).`)),
      );
  });
  const onFocusOut = (): void => void finish(atField).then(() => (counts().unsent ? send() : undefined));
  const body = element("main", { class: "with-foot" }, [
    element("p", { class: "over" }, [`Stop ${stopOf(pack, stop)}`]),
    element("h1", { tabindex: -1 }, [stop.code, ...(stop.facts["label"] ? [element("span", { class: "label" }, [String(stop.facts["label"])])] : [])]),
    trouble,
    facts(stop),
    byLine,
    hazards,
    alertLine("Stop if in doubt: a running intake drowns; keep off steep banks, covers and wires.", "caution-line"),
    ...sharedCautions(pack.forms).map((words) => alertLine(words, "caution-line")),
    ...(noEntry ? [entryPart(noEntry, look.notes.some(({ note }) => note.field === "no_entry"))] : []),
    ...(first.length ? [element("h2", {}, ["Worth measuring here"]), ...planned(stop), ...first.map((card) => card.element)] : []),
    ...(photos ? [photos.element] : []),
    element("h2", {}, [first.length ? "What else is seen" : "What is seen"]),
    ...rest.map((card) => card.element),
    element("div", { class: "foot" }, [done]),
  ]);
  body.addEventListener("change", onFocusOut);
  showName();
  void refresh();
  const stopWatching = watch(of.run_id);
  void recall<boolean>("photo-place").then((kept) => (placed = kept ?? false));
  return {
    title: stop.code,
    back: runAddress(of.run_id),
    element: body,
    dispose: all([stopWatching, () => void leaveSettled(), on("counts", () => void refresh()), on("told", () => void refresh())]),
  };
}

function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : "no reason given";
}

/** Cautions of more than one field: said once at the head of the form. */
function sharedCautions(forms: readonly Form[]): string[] {
  const all = forms.map((form) => form.caution).filter((words) => words !== "");
  return [...new Set(all.filter((words, i) => all.indexOf(words) !== i))];
}

function saidOnce(forms: readonly Form[]): Form[] {
  const shared = sharedCautions(forms);
  return forms.map((form) => (shared.includes(form.caution) ? { ...form, caution: "" } : form));
}

interface LookAround extends Noted {
  readonly told: Told | undefined;
}

async function lookAround(of: Of): Promise<LookAround> {
  return { ...(await heldAt(of)), told: await toldOf(of.run_id) };
}

/** What stands of a field, by what the pack brought, the service told and this phone wrote. */
function stands(form: Form, stop: PackStop, { notes: own, writing, told }: LookAround): Stands {
  const mine = own.filter(({ note, state }) => note.field === form.field && state !== "replaced");
  const last = mine.at(-1);
  const about = ofField(told, stop.code, form.field);
  const sound = mine.filter(({ state }) => state !== "refused").map(({ note }) => note);
  const known = together(stop.notes.filter((note) => note.field === form.field), about.notes, sound);
  const tips = tipsOf(known, about.choices);
  const ownIds = new Set(sound.map((note: Note) => note.id));
  return {
    own: writing.find((each) => each.field === form.field) ?? last?.note ?? null,
    refused: last?.state === "refused" ? (last.why ?? "") : "",
    others: tips.filter((note) => !ownIds.has(note.id)),
    contested: about.contested,
  };
}

/** How to measure what no field of the form says already. */
function planned(stop: PackStop): HTMLElement[] {
  const unsaid = (stop.planned.measure ?? []).filter(({ input }) => !FIELDS_OF[input]);
  return unsaid.map(({ words }) => element("p", { class: "measure" }, [words]));
}

function entryPart(card: Card, open: boolean): HTMLElement {
  return element("details", { class: "entry-part", ...(open ? { open: "" } : {}) }, [element("summary", { class: "button" }, ["Could not get in"]), card.element]);
}

function facts(stop: PackStop): HTMLElement {
  const drive = stop.planned.arrive_min === undefined ? "" : `${minutesWords(stop.planned.arrive_min)} after the start of day ${stop.day}`;
  const rows = [
    ["Who to ask", contactWords(stop)],
    ["Planned", drive],
    ["Way in when wet", String(stop.facts["access"] ?? "")],
  ].filter(([, said]) => said !== "" && said !== undefined);
  return element("dl", { class: "facts" }, rows.map(([name, said]) => element("div", {}, [element("dt", {}, [name ?? ""]), element("dd", {}, [said ?? ""])])));
}
