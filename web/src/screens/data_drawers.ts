// The drawers over the list: one offtake's form with its way to the map, and the four rooms of the data.
import { NONE } from "../core/chosen.ts";
import type { Door } from "../core/data_door.ts";
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";
import { EMPTY, GEOMETRY, isBegun } from "../core/edit_draft.ts";
import type { LonLat } from "../core/edit_place.ts";
import { degrees } from "../core/mercator.ts";
import { type Drawer, openDrawer } from "../parts/edit_drawer.ts";
import type { Choices } from "../parts/edit_field.ts";
import { type Kept, mountEditForm } from "../parts/edit_form.ts";
import { mountHistory } from "../parts/edit_history.ts";
import { element } from "../parts/element.ts";
import { newestCase } from "../parts/follow_brief.ts";
import { mountOffers } from "../parts/follow_offers.ts";
import { mountMovePanel } from "../parts/move_panel.ts";
import { mountPaste } from "../parts/paste_drawer.ts";
import { mountUpload } from "../parts/upload_drawer.ts";
import { mountMovedPin } from "../surface/move.ts";
import type { RiverMap } from "../surface/river_map.ts";
import type { Change, EditDone, RowTold } from "../wire/edits.ts";
import type { Finding } from "../wire/findings.ts";
import { carried } from "./data_carried.ts";

export interface DrawerPlaces {
  readonly desk: Desk;
  readonly map: RiverMap;
  readonly mapArea: HTMLElement;
  readonly listArea: HTMLElement;
  readonly mark: (findings: readonly Finding[]) => string;
  readonly saved: (done: EditDone, changes: readonly Change[]) => void;
  /** A form was shut with something in it. */
  readonly left: (code: string) => void;
  readonly shut: () => void;
}

export interface Drawers {
  readonly open: (door: Door) => void;
  readonly shut: () => void;
  /** What is open; null where nothing is. */
  readonly now: () => Door | null;
}

type Room = Exclude<Door["name"], "edit">;
const ROOMS: readonly (readonly [Room, string])[] = [
  ["offers", "Offers"], ["history", "History"], ["paste", "Paste rows"], ["upload", "Upload a file"],
];
/** Of whoever corrects the biology alone. */
const BIOLOGY_ROOMS: readonly Room[] = ["paste", "history"];

export function mountDrawers(places: DrawerPlaces): Drawers {
  const { desk, map, mapArea, listArea } = places;
  const { scene, trial, chosen } = desk;
  const { currency } = scene.facts;
  const isLeads = scene.offtakes.viewer === "lead";
  let drawer: Drawer | null = null;
  let door: Door | null = null;
  let within: Dispose = () => undefined;
  const shownNow = (): Kept["shown"] => ({ unit: trial.now.unit, currency });

  function begin(name: string, title: string, shutting: () => void = () => undefined): HTMLElement {
    drawer?.dispose();
    drawer = openDrawer(listArea, name, title, () => {
      within();
      within = () => undefined;
      drawer = door = null;
      shutting();
      places.shut();
    });
    return drawer.body;
  }

  function edit(code: string, column: string): void {
    const body = begin("edit", `Correct ${code}`, () => {
      const kept = carried.drafts.get(code);
      if (kept && isBegun(kept.draft)) places.left(code);
    });
    const place = element("div", {});
    body.append(element("p", { class: "data-lead" }, ["Values as given; a blank says what is taken instead. ", leadsTo(`History of ${code}`, { name: "history", code })]), place);
    const form = (at: string): void => {
      within = mountEditForm(place, code, at, {
        kept: carried.drafts.get(code) ?? { draft: EMPTY, shown: shownNow() },
        keep: (kept) => void (isBegun(kept.draft) ? carried.drafts.set(code, kept) : carried.drafts.delete(code)),
        choices: choicesOf(desk),
        move: (row) => move(row, place, () => form(GEOMETRY)),
        saved: places.saved,
      });
    };
    form(column);
  }

  function move(row: RowTold, body: HTMLElement, back: () => void): void {
    within();
    drawer?.moving(true);
    mapArea.scrollIntoView({ block: "start" });
    const { draft, shown } = carried.drafts.get(row.key) ?? { draft: EMPTY, shown: shownNow() };
    const leave = (): void => {
      within();
      drawer?.moving(false);
      back();
    };
    within = mountMovePanel(body, row.key, {
      from: placeOf(row, desk),
      pin: (code, from, heard) => mountMovedPin(map.leaflet, code, from, heard),
      leave,
      take: (place) => {
        carried.drafts.set(row.key, { draft: { ...draft, place }, shown });
        leave();
      },
    });
  }

  function enter(room: Room, code: string): void {
    const body = begin("rooms", "Data");
    const rooms = isLeads ? ROOMS : ROOMS.filter(([name]) => BIOLOGY_ROOMS.includes(name));
    const buttons = rooms.map(([name, words]) => leadsTo(words, name === "history" ? { name, code: "" } : { name }, { class: "segment", ...(name === room ? { "aria-current": "true" } : {}) }));
    const place = element("div", { class: "data-place" });
    body.append(element("nav", { class: "segments data-nav", "aria-label": "Data" }, buttons), place);
    within = fill(place, room, code);
  }

  function fill(place: HTMLElement, room: Room, code: string): Dispose {
    const { forms: kept, fields } = carried;
    const { saved, mark } = places;
    if (room === "offers") return mountOffers(place, { kept: carried.offers, currency, open: select, newest: newestCase });
    if (room === "paste") return mountPaste(place, { kept, biology: !isLeads, known: (table) => (table === "offtakes" ? fields.map(({ name }) => name) : []), saved });
    if (room === "upload") return mountUpload(place, { mark, saved: (done) => saved(done, []) });
    if (code) place.append(element("p", { class: "data-lead" }, [`Changes of ${code}. `, leadsTo("Show all of it", { name: "history", code: "" })]));
    return mountHistory(place, code, { kept, fields: new Map(fields.map((field) => [field.name, field])), shown: shownNow(), undone: saved });
  }

  function leadsTo(words: string, to: Door, attributes: Readonly<Record<string, string>> = { class: "quiet" }): HTMLElement {
    const button = element("button", { type: "button", ...attributes }, [words]);
    button.addEventListener("click", () => open(to));
    return button;
  }

  function select(code: string): void {
    drawer?.dispose();
    chosen.select(scene.offtakes.offtake_id.indexOf(code), "search");
  }

  function open(next: Door): void {
    if (next.name === "edit") edit(next.code, next.column);
    else enter(next.name, next.name === "history" ? next.code : "");
    door = next;
  }

  return { open, shut: () => drawer?.dispose(), now: () => door };
}

function placeOf(row: RowTold, { scene, chosen }: Desk): LonLat {
  const given = row.cells[GEOMETRY];
  if (Array.isArray(given)) return { lon: Number(given[0]), lat: Number(given[1]) };
  const { offtake_id: ids, lon, lat } = scene.offtakes;
  const at = ids.indexOf(row.key);
  const shown = at < 0 ? chosen.now.selected : at;
  return shown === NONE ? { lon: 0, lat: 0 } : { lon: degrees(lon[shown] ?? 0), lat: degrees(lat[shown] ?? 0) };
}

function choicesOf({ scene }: Desk): Choices {
  const options = scene.offtakes.options.map(({ option_id: id, name }) => [id, name] as const);
  const reaches = scene.reaches.reach_id.map((id, row) => [id, [scene.reaches.name[row], id].filter(Boolean).join(" – ")] as const);
  return { fitted: [["none", "none"], ...options], quote_option: options, reach_id: reaches };
}
