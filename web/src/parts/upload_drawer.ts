// Takes a whole catchment from a file: what is found in it and what it would change are shown first;
// nothing is changed until it is accepted.
import { Sender } from "../core/edit_send.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { LongWork } from "../core/long_work.ts";
import { percent } from "../core/numbers.ts";
import { differenceLines } from "../core/upload_words.ts";
import type { EditDone } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import { acceptUpload, discardUpload, sendUpload, type UploadTold } from "../wire/uploads.ts";
import { workAt } from "../wire/work.ts";
import { makeGrounds } from "./edit_grounds.ts";
import { findingList, makeReport } from "./edit_report.ts";
import { element } from "./element.ts";
import { mountWorkLine } from "./work_line.ts";

export interface UploadWays {
  /** Marks what findings are about on the map; none clears it. Says in words what is marked. */
  readonly mark: (findings: readonly Finding[]) => string;
  readonly saved: (done: EditDone) => void;
}

const ENDINGS = [".gpkg", ".xlsx", ".zip"];
const REFUSED = "Nothing was changed.";
const STAYS = "An accepted file stays written and has no undo: it is taken back by importing what was kept. Keep what stands now first, as a backup or an export.";

export function mountUpload(host: HTMLElement, ways: UploadWays): Dispose {
  const choose = element("input", { id: "upload-file", type: "file", accept: ENDINGS.join(","), class: "upload-file" });
  const zone = element("div", { class: "upload-zone" }, [
    element("label", { for: choose.id }, ["Choose a file, or drop one here"]),
    choose,
    element("p", { class: "why-note" }, ["A GeoPackage (.gpkg), a workbook (.xlsx), or a .zip of a folder of files. It is read and compared; nothing is changed yet."]),
  ]);
  const report = makeReport();
  const found = element("div", { class: "upload-found" });
  const shell = element("div", {}, [zone]);
  host.append(shell);
  const leaving = new AbortController();
  let file: File | null = null;
  let told: UploadTold | null = null;
  let sentShare = 0;
  const calls = workAt<File, UploadTold>("/api/uploads");
  const work = new LongWork<File, UploadTold>({ ...calls, begin: (each) => sendUpload(each, sending, leaving.signal) });
  const line = mountWorkLine(shell, "Reading the file", "", () => work.stop(), () => file && begin(file));
  shell.append(report.element, found);
  sayWork();

  function sending(share: number): void {
    sentShare = share;
    sayWork();
  }

  function sayWork(): void {
    const { now } = work;
    const looking = now.state === "working";
    const words = !looking ? "" : sentShare < 1 ? `Sending ${file?.name ?? ""}: ${percent(sentShare)}` : `Reading and comparing ${file?.name ?? ""}…`;
    line.show({ words, work: { ...now, trouble: null }, looking, again: now.state === "stopped" ? "Read it again" : "" });
  }

  function begin(next: File): void {
    drop();
    file = next;
    if (!ENDINGS.some((ending) => next.name.toLowerCase().endsWith(ending))) {
      report.warn(`${next.name} is none of ${ENDINGS.join(", ")}. ${REFUSED}`);
      return;
    }
    report.say("");
    sentShare = 0;
    work.ask(next);
  }

  /** Forgets the file before, here and at the service. */
  function drop(): void {
    if (told) discardUpload(told.upload_id).catch(() => undefined); // it ends by itself
    told = null;
    found.replaceChildren();
    ways.mark([]);
  }

  function hear(): void {
    sayWork();
    const { state, answer, trouble } = work.now;
    if (state === "failed") report.warn(`${trouble?.message ?? "It could not be read."} ${REFUSED}`);
    if (state === "stopped") report.say(`Stopped. ${REFUSED}`);
    if (state === "done" && answer && answer !== told) show(answer);
  }

  function show(answer: UploadTold): void {
    told = answer;
    const marked = ways.mark([...answer.faults, ...answer.warnings]);
    const faults = answer.faults.length;
    if (faults) report.warn(`${answer.name} cannot be taken in: ${faults === 1 ? "1 fault" : `${faults} faults`}. ${REFUSED}`);
    else report.say(`${answer.name} can be taken in.`);
    found.replaceChildren(
      ...findings("Faults", answer.faults, true),
      ...findings("Odd, though not wrong", answer.warnings, false),
      ...(marked ? [element("p", { class: "why-note" }, [marked])] : []),
      ...(faults ? [] : [differences(answer), acceptForm(answer)]),
    );
  }

  function acceptForm({ upload_id: uploadId }: UploadTold): HTMLElement {
    const grounds = makeGrounds("upload", () => undefined, true);
    const accept = element("button", { type: "submit", class: "strip-button edit-save" }, ["Accept it"]);
    const discard = element("button", { type: "button", class: "strip-button" }, ["Discard it"]);
    const form = element("form", { class: "edit-form", novalidate: "" }, [
      grounds.element,
      element("p", { class: "why-note upload-kept" }, [STAYS]),
      element("div", { class: "edit-buttons" }, [accept, discard]),
    ]);
    const sender = new Sender<{ why: string }, EditDone>((asked) => acceptUpload(uploadId, asked));
    discard.addEventListener("click", () => {
      drop();
      report.say(`Discarded. ${REFUSED}`);
      choose.value = "";
      choose.focus();
    });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (accept.disabled) return;
      if (grounds.lacksWhy()) return report.warn("");
      accept.disabled = discard.disabled = true;
      report.say("Taking it in…");
      void sender.send(grounds.asked()).then((sent) => {
        accept.disabled = discard.disabled = false;
        if (sent.state === "done") {
          told = null;
          ways.mark([]);
          ways.saved(sent.done);
        } else if (sent.state === "unknown") report.warn("No answer came, so it is not known whether it was taken in. Accept it again: it will not be done twice.");
        else report.warn(`${sent.error.message} ${REFUSED}`, (sent.error.told["findings"] as Finding[] | undefined) ?? []);
      });
    });
    return form;
  }

  return together([
    work.onChange(hear),
    listen(choose, "change", () => {
      const [next] = choose.files ?? [];
      if (next) begin(next);
    }),
    listen(zone, "dragover", (event) => {
      event.preventDefault();
      zone.classList.add("upload-over");
    }),
    listen(zone, "dragleave", () => zone.classList.remove("upload-over")),
    listen(zone, "drop", (event) => {
      event.preventDefault();
      zone.classList.remove("upload-over");
      const [next] = event.dataTransfer?.files ?? [];
      if (next) begin(next);
    }),
    line.dispose,
    () => {
      work.drop();
      leaving.abort();
      drop();
      shell.remove();
    },
  ]);
}

function findings(title: string, each: readonly Finding[], open: boolean): HTMLElement[] {
  if (!each.length) return [];
  const made = element("details", { class: "why-details" }, [element("summary", {}, [`${title}: ${each.length}`]), findingList(each)]);
  made.open = open;
  return [made];
}

function differences({ difference }: UploadTold): HTMLElement {
  const lines = differenceLines(difference);
  if (!lines.length) return element("p", {}, ["It holds what is here already: nothing would change."]);
  return element("section", { class: "upload-difference" }, [
    element("h3", {}, ["What would change"]),
    element("p", { class: "why-note" }, ["Accepted, the file stands in place of all that is here: what it does not hold is taken out."]),
    element("dl", { class: "why-terms" }, lines.map(({ table, words, examples }) =>
      element("div", {}, [
        element("dt", {}, [table]),
        element("dd", {}, [words, ...examples.map((each) => element("span", { class: "upload-example" }, [each]))]),
      ]),
    )),
  ]);
}
