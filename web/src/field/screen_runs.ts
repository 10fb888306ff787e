// My runs: which there are, which are on this phone, and taking one offline.
import { together } from "../core/dispose.ts";
import { element } from "../parts/element.ts";
import { AskError } from "../wire/ask.ts";
import { fetchRuns, type RunListed } from "../wire/field.ts";
import { on } from "./bus.ts";
import { makeHeldPart } from "./held_part.ts";
import { alertLine, link } from "./parts.ts";
import { runsAlong } from "./packs.ts";
import { PHONE, runAddress, type Screen } from "./screen.ts";
import { connectionNow } from "./sending.ts";
import { canBeOffline } from "./shell.ts";
import { dayWords, many } from "./words.ts";

export async function runsScreen(): Promise<Screen> {
  const list = element("div", { class: "runs" });
  const notice = element("div", { class: "notices" });
  let stop: (() => void)[] = [];
  let gone = false;

  async function show(): Promise<void> {
    const along = await runsAlong();
    let told: readonly RunListed[] | null = null;
    let trouble = "";
    try {
      if (connectionNow().connection !== "signed_out") told = await fetchRuns();
    } catch (error) {
      trouble = error instanceof AskError && error.status !== 0 && error.status !== 401 ? error.message : "";
    }
    if (gone) return;
    const here = new Map(along.map((run) => [run.id, run]));
    const runs = [...new Map([...along, ...(told ?? [])].map((run) => [run.id, run])).values()].sort((a, b) => b.on.localeCompare(a.on));
    for (const each of stop) each();
    stop = [];
    notice.replaceChildren(
      ...(canBeOffline() ? [] : [notHere()]),
      ...(connectionNow().connection === "signed_out" ? [signedOut()] : []),
      ...(trouble ? [alertLine(trouble)] : []),
      ...(told === null && !trouble && connectionNow().connection !== "signed_out" ? [element("p", { class: "line" }, ["No connection: these are the runs on this phone."])] : []),
    );
    list.replaceChildren(...runs.map((run) => item(run, here.get(run.id))));
    if (runs.length === 0) list.append(element("p", {}, ["There is no run for you yet. Runs are planned on the map's page."]));
  }

  function item(run: RunListed, along: RunListed | undefined): HTMLElement {
    const isHeld = along !== undefined;
    const sites = run.codes.reduce((sum, day) => sum + day.length, 0);
    const part = makeHeldPart(run.id, isHeld, !canBeOffline());
    stop.push(part.dispose);
    return element("section", { class: "card run" }, [
      element("h2", {}, [run.name]),
      element("p", {}, [[dayWords(run.on), many(run.codes.length, "day"), many(sites, "site")].join(" · ")]),
      ...(isHeld && along.ordered_at !== run.ordered_at ? [alertLine("Its stops were put in another order since it was taken offline. Take it offline again.")] : []),
      ...(isHeld ? [link("Open", runAddress(run.id), "main")] : []),
      part.element,
    ]);
  }

  await show();
  return {
    title: "My runs",
    back: null,
    element: element("main", {}, [element("h1", { tabindex: -1 }, ["My runs"]), notice, list]),
    dispose: together([() => (gone = true), on("held", () => void show()), on("connection", () => (connectionNow().sending ? undefined : void refreshNotice())), () => stop.forEach((each) => each())]),
  };

  /** A connection that came or went changes what is told above, and which runs there are. */
  async function refreshNotice(): Promise<void> {
    if (!list.contains(document.activeElement)) await show();
  }
}

function signedOut(): HTMLElement {
  return element("div", { class: "line warning" }, [
    element("span", { class: "sign", "aria-hidden": "true" }, ["!"]),
    element("span", {}, ["Nobody is signed in. What is on this phone stays; notes wait until you sign in. ", element("a", { href: PHONE }, ["Sign in"])]),
  ]);
}

/** Said plainly where a browser allows no page without a connection. */
export function notHere(): HTMLElement {
  return alertLine(
    "At this address notes cannot be taken without a connection: a browser keeps a page only over HTTPS, or from this machine itself. Here notes can be written while there is a connection. For a day without one take the printed run sheet and the GPX file along.",
  );
}
