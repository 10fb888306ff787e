// Starts the phone's page: what was being typed when it ended becomes notes, the screen of the address is shown,
// and whatever waits is sent while there is a connection.
import { element } from "../parts/element.ts";
import { phoneName, recount, settle } from "./notebook.ts";
import { makeHead } from "./head.ts";
import { lookNow, wear } from "./look.ts";
import { fetchAlong, packOf } from "./packs.ts";
import { alertLine } from "./parts.ts";
import type { Screen } from "./screen.ts";
import { phoneScreen } from "./screen_phone.ts";
import { runScreen } from "./screen_run.ts";
import { runsScreen } from "./screen_runs.ts";
import { atField, stopScreen } from "./screen_stop.ts";
import { send, startSending } from "./sending.ts";
import { register } from "./shell.ts";
import { recallWho } from "./who.ts";

const NAME = "Slackwater field";

wear(lookNow());
const host = document.getElementById("field");
if (host) void start(host);

async function start(host: HTMLElement): Promise<void> {
  try {
    await phoneName();
  } catch {
    host.replaceChildren(element("main", {}, [element("h1", {}, ["Field visits"]), alertLine("This browser keeps nothing for this page (a private window does not), so no note would be safe here. Open it in an ordinary window.")]));
    return;
  }
  await recallWho();
  await settle().catch(() => undefined); // where the store is full, it stays as it was being typed
  await recount();
  const head = makeHead();
  const body = element("div", {});
  host.replaceChildren(head.element, body);
  register().catch((error: unknown) => console.warn("not set up for use without a connection", error));
  startSending(atField);
  void send();
  let shown: Screen | null = null;
  let turn = 0;

  async function show(): Promise<void> {
    const mine = (turn += 1);
    const screen = await screenOf(location.hash).catch(failed);
    if (mine !== turn) return screen.dispose();
    const first = shown === null;
    shown?.dispose();
    shown = screen;
    head.leadBack(screen.back);
    document.title = `${screen.title} · ${NAME}`;
    body.replaceChildren(screen.element);
    scrollTo(0, 0);
    if (!first) screen.element.querySelector("h1")?.focus({ preventScroll: true });
  }

  addEventListener("hashchange", () => void show());
  await show();
}

async function screenOf(hash: string): Promise<Screen> {
  const asked = new URLSearchParams(hash.replace(/^#/, ""));
  if (asked.has("phone")) return phoneScreen();
  const runId = asked.get("run");
  if (!runId) return runsScreen();
  const pack = (await packOf(runId)) ?? (await fetchAlong(runId));
  const stop = pack.stops.find((each) => each.code === asked.get("stop"));
  return stop ? stopScreen(pack, stop) : runScreen(pack);
}

function failed(error: unknown): Screen {
  const words = error instanceof Error ? error.message : "This cannot be shown.";
  return { title: "Not here", back: "#", element: element("main", {}, [element("h1", { tabindex: -1 }, ["Not on this phone"]), alertLine(words)]), dispose: () => undefined };
}
