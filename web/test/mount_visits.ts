// Mounts and takes down the room of field days, every tab of it; bundled by a test, never part of the page.
import { makeScene } from "../src/core/scene.ts";
import { startOf } from "../src/core/trial.ts";
import { makeDesk } from "../src/screens/make_desk.ts";
import { mountVisitsRoom } from "../src/screens/visits_room.ts";
import { mountRiverMap } from "../src/surface/river_map.ts";
import { fetchEssentials, fetchFineRivers } from "../src/wire/catchment.ts";

export async function mountVisits(times: number): Promise<void> {
  const { signal } = new AbortController();
  const scene = makeScene(await fetchEssentials("", signal));
  const desk = makeDesk(scene, startOf(scene), startOf(scene));
  const [canvas, listArea] = [document.createElement("div"), document.createElement("div")];
  document.body.append(canvas, listArea);
  const map = mountRiverMap(canvas, scene, desk.chosen, () => undefined, () => 0, () => fetchFineRivers("", signal));
  for (let time = 0; time < times; time += 1) {
    const room = mountVisitsRoom({ desk, map, listArea, wrote: () => undefined });
    room.open();
    for (const button of listArea.querySelectorAll<HTMLElement>("nav button")) {
      button.click();
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    room.dispose();
    if (listArea.childNodes.length) throw new Error(`left behind: ${listArea.innerHTML.slice(0, 200)}`);
  }
  desk.outcome.dispose();
  desk.losses.dispose();
  map.dispose();
  canvas.remove();
  listArea.remove();
}
