// My runs: which there are, which are on this phone, and taking one offline.
import { type Dispose, together } from "../core/dispose.ts";
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
import { who } from "./who.ts";
import { dayWords, many } from "./words.ts";

/** A run in the list; it stays the same one whatever is told anew, so that a press on it is never lost. */
interface Card {
  readonly element: HTMLElement;
  readonly refresh: (run: RunListed, along: RunListed | undefined) => void;
  readonly dispose: Dispose;
}

export async function runsScreen(): Promise<Screen> {
  const list = element("div", { class: "runs" });
  const notice = element("div", { class: "notices" });
  const cards = new Map<string, Card>();
  let known: readonly RunListed[] = [];
  let whose = who().name;
  let turn = 0;
  let gone = false;

  /** What is on the phone is shown at once; a service that is slow to answer is waited for only where nothing is. */
  async function show(): Promise<void> {
    const mine = (turn += 1);
    const along = await runsAlong();
    if (gone || mine !== turn) return;
    if (whose !== who().name) known = []; // another's runs are not shown while this one's are asked for
    whose = who().name;
    if (along.length || known.length) draw(along, known);
    const asking = ask(mine, along);
    if (!cards.size) await asking;
  }

  async function ask(mine: number, along: readonly RunListed[]): Promise<void> {
    let told: readonly RunListed[] | null = null;
    let trouble = "";
    try {
      if (connectionNow().connection !== "signed_out") told = await fetchRuns();
    } catch (error) {
      trouble = error instanceof AskError && error.status !== 0 && error.status !== 401 ? error.message : "";
    }
    if (gone || mine !== turn) return;
    notice.replaceChildren(
      ...(canBeOffline() ? [] : [notHere()]),
      ...(connectionNow().connection === "signed_out" ? [signedOut()] : []),
      ...(trouble ? [alertLine(trouble)] : []),
      ...(told === null && !trouble && connectionNow().connection !== "signed_out" ? [element("p", { class: "line" }, ["No connection: these are the runs on this phone."])] : []),
    );
    known = told ?? [];
    draw(along, known);
  }

  function draw(along: readonly RunListed[], told: readonly RunListed[]): void {
    const here = new Map(along.map((run) => [run.id, run]));
    const runs = [...new Map([...along, ...told].map((run) => [run.id, run])).values()].sort((a, b) => b.on.localeCompare(a.on));
    for (const [id, card] of cards) {
      if (runs.some((run) => run.id === id)) continue;
      card.dispose();
      cards.delete(id);
    }
    const shown = runs.map((run) => {
      const card = cards.get(run.id) ?? makeCard(run, here.get(run.id));
      cards.set(run.id, card);
      card.refresh(run, here.get(run.id));
      return card.element;
    });
    if (shown.length && shown.length === list.childElementCount && shown.every((each, i) => list.children[i] === each)) return;
    list.replaceChildren(...(shown.length ? shown : [element("p", {}, ["There is no run for you yet. Runs are planned on the map's page."])]));
  }

  await show();
  return {
    title: "My runs",
    back: null,
    element: element("main", {}, [element("h1", { tabindex: -1 }, ["My runs"]), notice, list]),
    // A connection that came or went changes what is told above, and which runs there are.
    dispose: together([() => (gone = true), on("held", () => void show()), on("connection", () => (connectionNow().sending ? undefined : void show())), () => cards.forEach((each) => each.dispose())]),
  };
}

function makeCard(first: RunListed, firstAlong: RunListed | undefined): Card {
  const about = element("div", { class: "run-about" });
  const part = makeHeldPart(first.id, firstAlong !== undefined, !canBeOffline());
  let drawn = "";

  function refresh(run: RunListed, along: RunListed | undefined): void {
    part.refresh(along !== undefined);
    const key = JSON.stringify([run, along]);
    if (key === drawn) return;
    drawn = key;
    const sites = run.codes.reduce((sum, day) => sum + day.length, 0);
    about.replaceChildren(
      element("h2", {}, [run.name]),
      element("p", {}, [[dayWords(run.on), many(run.codes.length, "day"), many(sites, "site")].join(" · ")]),
      ...(along && along.ordered_at !== run.ordered_at ? [alertLine("Its stops were put in another order since it was taken offline. Take it offline again.")] : []),
      ...(along ? [link("Open", runAddress(run.id), "main")] : []),
    );
  }

  return { element: element("section", { class: "card run" }, [about, part.element]), refresh, dispose: part.dispose };
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
