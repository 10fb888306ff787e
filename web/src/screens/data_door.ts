// The way to the rooms where the data are worked on. They are fetched once the first picture stands; a door
// that is asked for sooner opens when they have come.
import type { Door } from "../core/data_door.ts";
import type { Dispose } from "../core/dispose.ts";
import type { Scene } from "../core/scene.ts";
import { element } from "../parts/element.ts";
import { isA } from "../wire/me.ts";
import type { DataRoom, RoomPlaces } from "./data_room.ts";

export interface DataDoor {
  /** Whether the offtakes too may be corrected, or the biology alone. */
  readonly isLeads: boolean;
  readonly open: (door: Door) => void;
  /** The register was written elsewhere on the page: what moved is told once the numbers are there. */
  readonly wrote: (revision: number, codes: readonly string[], words: string) => void;
  /** The page stands: from here on the rooms may be entered. */
  readonly enter: (places: RoomPlaces) => void;
  readonly dispose: Dispose;
}

/** Null where nothing may be changed: read from a file, seen as somebody else, or as a case was saved. */
export function dataDoor({ facts, offtakes }: Scene, actions: HTMLElement, failed: (words: string) => void): DataDoor | null {
  const isLeads = offtakes.viewer === "lead";
  if (!facts.working || facts.case || !(isLeads || (isA("scientist") && offtakes.viewer === "agency"))) return null;
  let gone = false;
  let enter: (places: RoomPlaces) => void = () => undefined;
  const entered = new Promise<RoomPlaces>((resolve) => (enter = resolve));
  const room: Promise<DataRoom | null> = entered.then(async (places) => {
    const { mountDataRoom } = await import("./data_room.ts");
    return gone ? null : mountDataRoom(places);
  });
  room.catch(() => failed("The part of the page that changes data could not be fetched. Load the page again to change data."));
  const within = (act: (room: DataRoom) => void): void => void room.then((each) => each && act(each), () => undefined);
  const open = (door: Door): void => within((each) => each.open(door));
  const button = element("button", { type: "button", class: "strip-button" }, ["Data"]);
  button.addEventListener("click", () => open({ name: isLeads ? "offers" : "paste" }));
  actions.append(button);
  return {
    isLeads,
    open,
    wrote: (revision, codes, words) => within((each) => each.wrote(revision, codes, words)),
    enter,
    dispose: () => {
      gone = true;
      button.remove();
      within((each) => each.dispose());
    },
  };
}
