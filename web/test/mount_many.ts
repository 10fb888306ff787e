// Mounts and takes down the whole screen again and again; bundled by a test, never part of the page.
import { makeScene } from "../src/core/scene.ts";
import { mountOverview } from "../src/screens/overview.ts";
import { fetchEssentials, fetchSurroundings } from "../src/wire/catchment.ts";

export async function mountMany(times: number): Promise<void> {
  const { signal } = new AbortController();
  const scene = makeScene(await fetchEssentials("", signal));
  const surroundings = fetchSurroundings("", signal);
  await surroundings;
  for (let time = 0; time < times; time += 1) {
    const host = document.createElement("div");
    host.className = "page";
    document.body.append(host);
    const dispose = mountOverview(host, scene, surroundings);
    await new Promise((resolve) => setTimeout(resolve, 5));
    dispose();
    if (host.childNodes.length) throw new Error(`left behind: ${host.innerHTML.slice(0, 200)}`);
    host.remove();
  }
}
