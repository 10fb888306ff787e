// Where the data are worked on: drawers over the list, marks on the map, the offer in the why panel, and
// one line that says what came of it.
import type { Door } from "../core/data_door.ts";
import type { Desk } from "../core/desk.ts";
import { type Dispose, together } from "../core/dispose.ts";
import ofData from "../look/data.css" with { type: "text" };
import ofForms from "../look/edit.css" with { type: "text" };
import ofNews from "../look/news.css" with { type: "text" };
import { dress } from "../parts/dress.ts";
import { mountNews } from "../parts/edit_news.ts";
import { newestCase } from "../parts/follow_brief.ts";
import { mountFollowPart } from "../parts/follow_part.ts";
import type { RiverMap } from "../surface/river_map.ts";
import type { Essentials, Surroundings } from "../wire/catchment.ts";
import { type Change, type EditDone, fetchRow } from "../wire/edits.ts";
import { carried } from "./data_carried.ts";
import { mountDrawers } from "./data_drawers.ts";
import { followEditions } from "./data_editions.ts";
import { marksOnMap } from "./data_marks.ts";

export interface RoomPlaces {
  readonly desk: Desk;
  readonly map: RiverMap;
  readonly mapArea: HTMLElement;
  readonly listArea: HTMLElement;
  /** Where the why panel keeps a place for the offer. */
  readonly followSlot: HTMLElement | null;
  /** Shows other data, keeping what is tried, what is open and where the map looks. */
  readonly renew: (essentials: Essentials, surroundings: Promise<Surroundings>) => void;
}

export interface DataRoom {
  readonly open: (door: Door) => void;
  /** Told of a write that no drawer of its own made. */
  readonly wrote: (revision: number, codes: readonly string[], words: string) => void;
  readonly dispose: Dispose;
}

const MOST_NOTES = 2;

export function mountDataRoom({ desk, map, mapArea, listArea, followSlot, renew }: RoomPlaces): DataRoom {
  for (const look of [ofForms, ofNews, ofData]) dress(look);
  const news = mountNews(mapArea);
  const marks = marksOnMap(desk, map);
  const drawers = mountDrawers({
    desk, map, mapArea, listArea, saved,
    mark: marks.mark,
    left: (code) => news.say(`What you typed for ${code} is kept.`, "Open it again", () => drawers.open({ name: "edit", code, column: "" })),
    shut: () => queueMicrotask(editions.rested),
  });
  const editions = followEditions({ desk, news, carried, renew, isBusy: () => drawers.now() !== null, takeFocus: () => takeFocus(listArea) });

  function saved(done: EditDone, changes: readonly Change[]): void {
    const codes = changes.filter(({ table }) => table === "offtakes").map(({ key }) => key);
    const notes = done.warnings.slice(0, MOST_NOTES).map(({ key, remedy }) => `${key}: ${remedy}`);
    drawers.shut();
    editions.wrote(done.revision, [...new Set(codes)], notes.length ? `Saved. Odd, though not wrong: ${notes.join("; ")}.` : "Saved.");
  }

  const leaving = (event: BeforeUnloadEvent): void => {
    if (carried.drafts.size || carried.forms.hasAny) event.preventDefault();
  };
  addEventListener("beforeunload", leaving);
  const isLeads = desk.scene.offtakes.viewer === "lead";
  const follow = isLeads && followSlot && mountFollowPart(followSlot, desk, {
    offers: carried.offers,
    kept: carried.forms,
    wrote: (revision, code) => editions.wrote(revision, [code], "Written down."),
    all: () => drawers.open({ name: "offers" }),
    newest: newestCase,
  });
  if (isLeads && !carried.fields.length) readFields(desk);
  if (carried.door) drawers.open(carried.door);
  carried.door = null;
  const dispose = together([
    news.dispose,
    marks.dispose,
    follow || (() => undefined),
    editions.dispose,
    drawers.shut,
    () => (carried.door = drawers.now()),
    () => removeEventListener("beforeunload", leaving),
  ]);
  return { open: drawers.open, wrote: editions.wrote, dispose };
}

/** What is open, else the list. */
function takeFocus(listArea: HTMLElement): void {
  const title = listArea.querySelector<HTMLElement>(".why:not([hidden]) h2");
  (title ?? listArea.querySelector<HTMLElement>("[role=row][tabindex='0']"))?.focus({ preventScroll: true });
}

function readFields({ scene }: Desk): void {
  const [code] = scene.offtakes.offtake_id;
  if (code === undefined) return;
  fetchRow("offtakes", code).then(({ fields }) => (carried.fields = fields), () => undefined); // units are missing until then
}
