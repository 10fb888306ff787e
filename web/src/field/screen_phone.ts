// This phone: what waits and why, sending, signing in, notes as a file, what the browser promised, and the look.
import { together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { makeSignInForm } from "../parts/sign_in_form.ts";
import { on } from "./bus.ts";
import { recall, remember } from "./db.ts";
import { faultyAt, label, type Labels, labelsOf } from "./labels.ts";
import { loadFile, saveFile } from "./note_file.ts";
import { allNoted, counts, type Held, tryAgain, type Writing } from "./notebook.ts";
import { alertLine, button, checkBox, doing } from "./parts.ts";
import { RUNS, type Screen, stopAddress } from "./screen.ts";
import { connectionNow, send } from "./sending.ts";
import { askToLast, canBeOffline, isLasting } from "./shell.ts";
import { asTyped } from "./understood.ts";
import { givenName, giveName, who } from "./who.ts";
import { badgeWords, many, timeWords, warnings } from "./words.ts";

export async function phoneScreen(): Promise<Screen> {
  const list = element("ul", { class: "outbox" });
  const state = element("p", { class: "told", role: "status" });
  const notices = element("div", { class: "notices" });
  const signIn = element("div", {});
  const told = element("p", { class: "told", role: "status" });
  const lastingWords = element("p", {});
  let form: ReturnType<typeof makeSignInForm> | null = null;

  async function show(): Promise<void> {
    const { notes, writing } = await allNoted();
    const unsent = notes.filter((each) => each.state === "waiting" || each.state === "refused");
    const labels = await labelsOf([...unsent.map((each) => each.note.run_id), ...writing.map((each) => each.run_id)]);
    list.replaceChildren(...unsent.map((each) => item(each, labels)), ...writing.map((each) => writingItem(each, labels)));
    const oldest = [...unsent.map((each) => each.note.at), ...writing.map((each) => each.at)].sort()[0] ?? null;
    const lasting = !canBeOffline() || (await isLasting());
    const faulty = await faultyAt({ notes, writing });
    notices.replaceChildren(...warnings(lasting, oldest, counts(), faulty).map((words) => alertLine(words)));
    again.hidden = !unsent.some((each) => each.state === "refused");
    const { connection, problem, sending, others } = connectionNow();
    const waits = counts().unsent ? `${badgeWords(counts())}.` : "Everything is sent.";
    const whose = others.length ? ` Notes of ${others.join(", ")} wait until ${others.length === 1 ? "that person signs" : "those people sign"} in here.` : "";
    state.textContent = `${sending ? "Sending… " : { unknown: "", on: problem ? `${problem} ` : "", off: "No connection. ", signed_out: "Nobody is signed in; the notes wait. " }[connection]}${waits}${whose}`;
    showSignIn(connection === "signed_out");
    lastingWords.textContent = !canBeOffline()
      ? "At this address the browser keeps no page without a connection."
      : lasting
        ? "The browser promised not to clear this page's data by itself."
        : "The browser has not promised to keep this page's data; it may clear them after days of disuse.";
    ask.hidden = lasting;
  }

  function showSignIn(needed: boolean): void {
    if (!needed) {
      form?.dispose();
      form = null;
      signIn.replaceChildren();
    } else if (!form) {
      form = makeSignInForm({ ways: who().ways, name: "", beside: true, done: () => void send(), more: [] });
      signIn.replaceChildren(element("h2", {}, ["Sign in"]), form.element);
    }
  }

  const cannotKeep = (error: unknown): void => {
    told.textContent = `This phone could not keep that (${error instanceof Error ? error.message : "no reason given"}).`;
  };
  const again = button("Try the refused ones again", "", () => void tryAgain().then(send).catch(cannotKeep));
  const go = button("Send now", "main", () => void send());
  const save = button("Save my notes as a file", "", () => undefined);
  doing(save, "Saving…", told, async () => {
    const { name, notes } = await saveFile();
    return `${many(notes, "note")} saved as ${name}.`;
  });
  const load = element("input", { type: "file", id: "load-notes", accept: ".json,application/json", class: "unseen" });
  load.addEventListener("change", () => {
    const file = load.files?.[0];
    load.value = "";
    if (!file) return;
    loadFile(file).then(
      ({ inFile, taken }) => {
        told.textContent = `${many(inFile, "note")} in the file; ${taken} were not on this phone yet.`;
        void send();
      },
      (error: unknown) => (told.textContent = error instanceof Error ? error.message : "The file cannot be read."),
    );
  });
  const ask = button("Ask the browser to keep them", "", () => void askToLast().then(show));
  const placed = checkBox("Photos may say where they were taken", (await recall<boolean>("photo-place")) ?? false, (on) => void remember("photo-place", on).catch(cannotKeep));
  await show();
  return {
    title: "This phone",
    back: RUNS,
    element: element("main", {}, [
      element("h1", { tabindex: -1 }, ["This phone"]),
      notices,
      state,
      element("div", { class: "row" }, [go, again]),
      signIn,
      list,
      element("h2", {}, ["Notes as a file"]),
      element("p", {}, ["Nothing is taken off the phone by it; loaded again, each note counts once."]),
      element("div", { class: "row" }, [save, load, element("label", { for: "load-notes", class: "button" }, ["Load notes from a file"])]),
      told,
      element("h2", {}, ["Kept by the browser"]),
      lastingWords,
      element("div", { class: "row" }, [ask]),
      element("h2", {}, ["Photos"]),
      placed,
      ...(who().accounts ? [] : nameField()),
    ]),
    dispose: together([on("counts", () => void show()), on("connection", () => void show()), () => form?.dispose()]),
  };
}

function nameField(): HTMLElement[] {
  const input = element("input", { type: "text", id: "my-name", class: "typed", value: givenName(), autocomplete: "name", maxlength: 100 });
  input.addEventListener("input", () => void giveName(input.value).catch(() => undefined)); // it counts for as long as the page is open
  return [element("h2", {}, [element("label", { for: "my-name" }, ["Name on my notes"])]), input];
}

function item({ note, state, why }: Held, labels: Labels): HTMLElement {
  return element("li", {}, [
    element("a", { href: stopAddress(note.run_id, note.code), class: "out" }, [
      element("span", {}, [`${note.code}, ${label(labels, note.run_id, note.field)}: ${note.field === "photo" ? "a photo" : asTyped(note)}`]),
      element("span", { class: state === "refused" ? "fault" : "label" }, [state === "refused" ? `Not taken: ${why ?? ""}` : `written ${timeWords(note.at)} by ${note.by}`]),
    ]),
  ]);
}

function writingItem(note: Writing, labels: Labels): HTMLElement {
  return element("li", {}, [
    element("a", { href: stopAddress(note.run_id, note.code), class: "out" }, [
      element("span", {}, [`${note.code}, ${label(labels, note.run_id, note.field)}: ${asTyped(note)}`]),
      element("span", { class: note.fault ? "fault" : "label" }, [note.fault || "being typed"]),
    ]),
  ]);
}
