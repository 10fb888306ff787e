// The way to the field days: a button at the head of the page. What is behind it is fetched on demand.
import type { Desk } from "../core/desk.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import type { RiverMap } from "../surface/river_map.ts";
import { isA } from "../wire/me.ts";
import type { VisitsRoom } from "./visits_room.ts";

export interface VisitsPlaces {
  readonly map: RiverMap;
  readonly listArea: HTMLElement;
  /** Notes were taken over into the register; null where that cannot be. */
  readonly wrote: ((revision: number, codes: readonly string[], words: string) => void) | null;
}

export interface VisitsDoor {
  readonly open: () => void;
  /** The page stands: from here on the room may be entered. */
  readonly enter: (places: VisitsPlaces) => void;
  readonly dispose: Dispose;
}

/** Null for whoever plans no field days, and on the data of a case. */
export function mountVisitsDoor(actions: HTMLElement, desk: Desk): VisitsDoor | null {
  const { facts, offtakes } = desk.scene;
  const isOfficers = isA("field") && offtakes.viewer === "agency";
  if (facts.case || !(offtakes.viewer === "lead" || isOfficers)) return null;
  const button = element("button", { type: "button", class: "strip-button", "aria-haspopup": "dialog" }, ["Visits"]);
  actions.append(button);
  let places: VisitsPlaces | null = null;
  let room: Promise<VisitsRoom> | null = null;
  let [gone, wanted] = [false, false];

  function open(): void {
    wanted = true;
    if (!places) return;
    const { map, listArea, wrote } = places;
    room ??= import("./visits_room.ts").then(({ mountVisitsRoom }) => mountVisitsRoom({ desk, map, listArea, wrote }));
    room.then(
      (each) => {
        if (!gone) each.open();
      },
      () => {
        room = null;
        button.textContent = "Visits: try again";
      },
    );
  }

  return {
    open,
    enter: (now) => {
      places = now;
      if (wanted || visitsOpen.now) open();
    },
    dispose: together([
      () => void room?.then((each) => each.dispose(), () => undefined),
      () => (gone = true),
      listen(button, "click", open),
      () => button.remove(),
    ]),
  };
}

/** The page is taken down with the room open where only its data are new: it opens again. */
export const visitsOpen = { now: false };
