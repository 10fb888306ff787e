// A run at a glance: the next stop, the sketch of the way, all stops in order, what is held; cautions first.
import { together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import type { Pack, PackStop } from "../wire/field.ts";
import { on } from "./bus.ts";
import { makeHeldPart } from "./held_part.ts";
import { makeLeavePart } from "./leave_part.ts";
import { placeNow } from "./here.ts";
import { faultyAt } from "./labels.ts";
import { allNoted, toldOf } from "./notebook.ts";
import { doneAt } from "./packs.ts";
import { alertLine, button, link } from "./parts.ts";
import type { Place } from "./photo.ts";
import { RUNS, type Screen, stopAddress } from "./screen.ts";
import { watch } from "./sending.ts";
import { canBeOffline, isLasting } from "./shell.ts";
import { drawSketch, stopNumber, stopOf, wayTo } from "./sketch.ts";
import { counts } from "./notebook.ts";
import { dayWords, many, minutesWords, warnings } from "./words.ts";

export async function runScreen(pack: Pack): Promise<Screen> {
  const { run } = pack;
  const done = await doneAt(run.id);
  const next = pack.stops.find((stop) => !done.has(stop.code)) ?? null;
  const sketch = element("div", { class: "sketch-box" });
  const whereAmI = element("p", { class: "told", role: "status" });
  const stops = element("ol", { class: "stops" });
  const notices = element("div", { class: "notices" });
  let near = false;
  let here: Place | null = null;

  const draw = (): void => sketch.replaceChildren(drawSketch(pack, { next: next?.code ?? null, done, near, here }));
  const zoom = button("Near the next stop", "", () => {
    near = !near;
    zoom.textContent = near ? "The whole run" : "Near the next stop";
    draw();
  });
  const locate = button("Where am I", "", () => void find());

  async function find(): Promise<void> {
    whereAmI.textContent = "Asking the phone…";
    here = await placeNow();
    whereAmI.textContent = here ? (next?.lon != null && next.lat != null ? `Next stop: ${wayTo(here, { lon: next.lon, lat: next.lat })}.` : "") : "The phone does not tell where it is, or was not allowed to.";
    draw();
  }

  async function list(): Promise<void> {
    const { notes, writing } = await allNoted();
    const told = await toldOf(run.id);
    const per = new Map<string, number>();
    for (const { run_id, code } of [...notes.filter((each) => each.state !== "replaced").map((each) => each.note), ...writing]) {
      if (run_id === run.id) per.set(code, (per.get(code) ?? 0) + 1);
    }
    const contested = new Set(told?.contested.map((each) => each.code) ?? pack.stops.filter((stop) => stop.contested.length).map((stop) => stop.code));
    stops.replaceChildren(...pack.stops.map((stop) => stopItem(pack, stop, done.has(stop.code), per.get(stop.code) ?? 0, contested.has(stop.code))));
    const waiting = [...notes.filter((each) => each.state === "waiting" || each.state === "refused").map((each) => each.note.at), ...writing.map((each) => each.at)].sort();
    const lasting = await isLasting();
    const faulty = await faultyAt({ notes, writing });
    notices.replaceChildren(...warnings(lasting || !canBeOffline(), waiting[0] ?? null, counts(), faulty).map((words) => alertLine(words)));
  }

  draw();
  await list();
  const held = makeHeldPart(run.id, true, true);
  const stopWatching = watch(run.id);
  return {
    title: run.name,
    back: RUNS,
    element: element("main", { class: "with-foot" }, [
      element("h1", { tabindex: -1 }, [run.name]),
      element("p", { class: "under" }, [[dayWords(run.on), many(pack.stops.length, "site")].join(" · ")]),
      cautions(pack),
      notices,
      next ? nextCard(pack, next) : element("section", { class: "card" }, [element("h2", {}, ["All stops are done"]), element("p", {}, ["Send your notes while there is a connection, and see the line at the top until 0 are left."])]),
      sketch,
      element("div", { class: "row" }, [...(next ? [zoom] : []), locate]),
      whereAmI,
      element("h2", {}, ["Stops"]),
      stops,
      element("h2", {}, ["On this phone"]),
      held.element,
      makeLeavePart(run.id),
      ...(next ? [element("div", { class: "foot" }, [link(`Open stop ${stopNumber(pack, next)}: ${next.code}`, stopAddress(run.id, next.code), "main")])] : []),
    ]),
    dispose: together([stopWatching, held.dispose, on("counts", () => void list()), on("told", () => void list())]),
  };
}

/** Safety first: what matters most is always in sight, the rest unfolds. */
function cautions({ cautions: all }: Pack): HTMLElement {
  return element("details", { class: "before" }, [
    element("summary", { class: "line warning" }, [
      element("span", { class: "sign", "aria-hidden": "true" }, ["!"]),
      element("span", {}, [element("strong", {}, ["Before you work there: "]), "suction, drowning, banks, power. Never alone. If it does not look safe, do not go on."]),
    ]),
    element("ul", { class: "cautions" }, all.map((words) => element("li", {}, [words]))),
  ]);
}

function nextCard(pack: Pack, stop: PackStop): HTMLElement {
  const planned = stop.planned;
  const drive = [
    ...(planned.drive_min === undefined ? [] : [`${minutesWords(planned.drive_min)} drive`]),
    ...(planned.drive_km === undefined ? [] : [`${planned.drive_km.toFixed(1)} km`]),
    ...(planned.arrive_min === undefined ? [] : [`there ${minutesWords(planned.arrive_min)} after the start of day ${stop.day}`]),
  ];
  const ask = contactWords(stop);
  const measure = planned.measure ?? [];
  return element("section", { class: "card next" }, [
    element("p", { class: "over" }, [`Next stop, ${stopOf(pack, stop)}`]),
    element("h2", {}, [stop.code, ...(stop.facts["label"] ? [element("span", { class: "label" }, [String(stop.facts["label"])])] : [])]),
    ...(drive.length ? [element("p", {}, [drive.join(" · ")])] : []),
    ...(ask || planned.contact_first ? [element("p", {}, [`${planned.contact_first ? "Ring first" : "Who to ask"}: ${ask || "nobody has said yes yet"}`])] : []),
    ...(measure.length ? [element("p", {}, [`To measure: ${measure.map((each) => MEASURED[each.input] ?? each.input).join(", ")}`])] : []),
    ...(stop.in_register ? [] : [element("p", { class: "fault" }, ["This code is no longer in the register; what you see there is still kept."])]),
  ]);
}

/** Inputs of the model in the words of the bank. */
const MEASURED: Readonly<Record<string, string>> = {
  draw: "what it draws",
  depth_m: "the depth",
  position: "where in the river it draws",
  night_use_share: "how much it runs by night",
};

/** Who to ring, where this officer may know. */
export function contactWords(stop: PackStop): string {
  return [stop.facts["landholder"], stop.facts["contact"]].filter((each) => each !== null && each !== undefined && each !== "").join(", ");
}

function stopItem(pack: Pack, stop: PackStop, done: boolean, notes: number, contested: boolean): HTMLElement {
  const state = [...(done ? ["done"] : []), ...(notes ? [many(notes, "note")] : []), ...(contested ? ["notes disagree"] : [])];
  const first = pack.stops.find((each) => each.day === stop.day) === stop && pack.run.days.length > 1;
  return element("li", { class: done ? "is-done" : "" }, [
    ...(first ? [element("p", { class: "over" }, [`Day ${stop.day}`])] : []),
    element("a", { href: stopAddress(pack.run.id, stop.code), class: contested ? "stop contested" : "stop" }, [
      element("span", { class: "stop-number" }, [stopNumber(pack, stop)]),
      element("span", { class: "stop-code" }, [stop.code, ...(stop.facts["label"] ? [element("span", { class: "label" }, [String(stop.facts["label"])])] : [])]),
      element("span", { class: "stop-state" }, [state.join(", ")]),
    ]),
  ]);
}

