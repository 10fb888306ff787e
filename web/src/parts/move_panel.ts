// Moves an offtake on the map: dragged, by arrow keys in steps of metres, by buttons, or by coordinates.
// Which reach it would draw from, and where along it, is worked out by the service.
import { apartM, farWords, type LonLat, metres, stepped, tidyPlace, typedDegrees } from "../core/edit_place.ts";
import type { Place } from "../core/edit_draft.ts";
import { placeWords } from "../core/edit_fields.ts";
import { type Dispose, listen, together } from "../core/dispose.ts";
import { type Cell, type PlaceTold, previewPlace } from "../wire/edits.ts";
import { makeReport } from "./edit_report.ts";
import { element } from "./element.ts";

/** The pin on the map that is moved. */
export interface MovedPin {
  readonly show: (place: LonLat) => void;
  readonly dispose: Dispose;
}

export interface PinHeard {
  readonly dragged: (place: LonLat) => void;
  /** An arrow key on the pin: so many steps east and north. */
  readonly stepped: (east: number, north: number) => void;
  readonly left: () => void;
}

export interface MoveWays {
  readonly from: LonLat;
  readonly pin: (code: string, from: LonLat, heard: PinHeard) => MovedPin;
  readonly take: (place: Place) => void;
  readonly leave: () => void;
}

const STEPS_M = [1, 5, 10, 50, 100] as const;
const REST_MS = 180;
const SIDES: readonly (readonly [string, string, number, number])[] = [
  ["↑", "north", 0, 1], ["←", "west", -1, 0], ["→", "east", 1, 0], ["↓", "south", 0, -1],
];

export function mountMovePanel(host: HTMLElement, code: string, ways: MoveWays): Dispose {
  const from = tidyPlace(ways.from);
  const lat = coordinate("lat", "Latitude, degrees");
  const lon = coordinate("lon", "Longitude, degrees");
  const step = element("select", { id: "move-step", class: "text-field" }, STEPS_M.map((each) => element("option", { value: each }, [`${each} m`])));
  step.value = "10";
  const sides = SIDES.map(([sign, words, east, north]) => {
    const button = element("button", { type: "button", class: `move-side move-${words}`, "aria-label": `One step ${words}` }, [sign]);
    button.addEventListener("click", () => shift(east, north));
    return button;
  });
  const preview = element("div", { class: "move-preview", role: "status" });
  const report = makeReport();
  const use = element("button", { type: "submit", class: "strip-button edit-save" }, ["Use this place"]);
  const cancel = element("button", { type: "button", class: "strip-button" }, ["Cancel"]);
  const form = element("form", { class: "move", novalidate: "" }, [
    element("p", { class: "why-note" }, ["Drag the pin, or press arrow keys on it; or use the buttons, or type where it stands."]),
    element("div", { class: "move-parts" }, [
      element("div", { class: "move-pad", role: "group", "aria-label": "Move by steps" }, sides),
      element("div", { class: "edit-field" }, [element("label", { for: step.id }, ["Step"]), step]),
      lat.element,
      lon.element,
    ]),
    preview,
    report.element,
    element("div", { class: "edit-buttons" }, [use, cancel]),
  ]);
  host.append(form);
  let place = from;
  let told: PlaceTold | null = null;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let asking = new AbortController();
  const pin = ways.pin(code, from, { dragged: (next) => go(tidyPlace(next)), stepped: shift, left: ways.leave });

  function shift(east: number, north: number): void {
    const metres = Number(step.value);
    go(stepped(place, east * metres, north * metres));
  }

  function go(next: LonLat): void {
    place = next;
    pin.show(place);
    write();
    [told, use.disabled] = [null, true];
    report.say("");
    preview.textContent = "Looking for the reach it would draw from…";
    clearTimeout(timer);
    asking.abort();
    timer = setTimeout(() => void ask(), REST_MS);
  }

  function write(): void {
    for (const [box, value] of [[lat, place.lat], [lon, place.lon]] as const) {
      if (document.activeElement !== box.input) box.input.value = value.toFixed(6);
      box.refuse("");
    }
  }

  async function ask(): Promise<void> {
    asking = new AbortController();
    const { signal } = asking;
    try {
      const answer = await previewPlace(code, place.lon, place.lat, signal);
      if (signal.aborted) return;
      const tooFar = answer.distance_m > answer.limit_m;
      told = tooFar ? null : answer;
      use.disabled = tooFar || apartM(from, place) === 0;
      if (tooFar) {
        preview.textContent = "";
        return report.warn(farWords(answer));
      }
      preview.textContent = `${placed(answer)} ${apartM(from, place) === 0 ? "It stands where it stood." : `${metres(apartM(from, place))} from where it stood.`}`;
      if (answer.findings.length) report.warn("About this place:", answer.findings);
    } catch (error) {
      if (signal.aborted) return;
      preview.textContent = "";
      report.warn(error instanceof Error ? error.message : "The place cannot be looked up.");
    }
  }

  function typed(): void {
    const [y, x] = [typedDegrees(lat.input.value, 90), typedDegrees(lon.input.value, 180)];
    lat.refuse(y === null ? "Degrees from -90 to 90." : "");
    lon.refuse(x === null ? "Degrees from -180 to 180." : "");
    if (y === null || x === null) use.disabled = true;
    else go({ lon: x, lat: y });
  }

  write();
  preview.textContent = `It stands at ${placeWords([from.lon, from.lat])}.`;
  use.disabled = true;
  return together([
    () => clearTimeout(timer),
    () => asking.abort(),
    pin.dispose,
    listen(lat.input, "input", typed),
    listen(lon.input, "input", typed),
    listen(cancel, "click", ways.leave),
    listen(form, "submit", (event) => {
      event.preventDefault();
      if (!told || use.disabled) return;
      ways.take({ values: Object.fromEntries(told.changes.map(({ column, new: value }) => [column, value as Cell])), words: placed(told) });
    }),
    () => form.remove(),
  ]);
}

/** "Heron Creek (r12), 1,240 m from its upper end; 23 m from the river." */
function placed({ reach_id: id, reach_name: name, chainage_m: chainage, distance_m: distance }: PlaceTold): string {
  return `${name ? `${name} (${id})` : `Reach ${id}`}, ${metres(chainage)} from its upper end; ${metres(distance)} from the river.`;
}

function coordinate(name: string, words: string): { readonly element: HTMLElement; readonly input: HTMLInputElement; readonly refuse: (words: string) => void } {
  const wrong = element("p", { id: `move-${name}-wrong`, class: "edit-wrong" });
  const input = element("input", { id: `move-${name}`, type: "text", inputmode: "decimal", class: "text-field", autocomplete: "off", "aria-describedby": wrong.id });
  const made = element("div", { class: "edit-field" }, [element("label", { for: input.id }, [words]), input, wrong]);
  return {
    element: made,
    input,
    refuse: (told) => {
      wrong.textContent = told;
      if (told) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    },
  };
}
