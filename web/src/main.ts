// Starts the page: asks for a catchment and who calls at once, and meanwhile for what shows it; leads to the
// sign-in where it takes one; says plainly if it cannot.
import { mountFailure, mountWaiting } from "./parts/notice.ts";
import { AskError } from "./wire/ask.ts";
import { caseInView } from "./wire/case_in_view.ts";
import { fetchEssentials, fetchSurroundings } from "./wire/catchment.ts";
import { me, readMe } from "./wire/me.ts";

const host = document.getElementById("page");
if (host) void start(host);

async function start(host: HTMLElement): Promise<void> {
  const as = new URLSearchParams(location.search).get("as") ?? "";
  const { signal } = new AbortController();
  mountWaiting(host);
  const screen = import("./screens/overview.ts");
  try {
    const who = readMe(signal);
    const surroundings = fetchSurroundings(as, signal);
    surroundings.catch(() => undefined);
    const id = caseInView();
    const shown = Promise.all([
      fetchEssentials(as, signal),
      screen.then(({ openCase }) => (id ? openCase(id) : null)),
    ]);
    shown.catch(() => undefined);
    await who;
    const [essentials, opened] = await shown;
    const { mountOverview } = await screen;
    host.replaceChildren();
    mountOverview(host, essentials, surroundings, opened);
  } catch (error) {
    if (error instanceof AskError && error.status === 401) return signIn(host, screen);
    const message =
      error instanceof AskError ? error.message : "The page met something it cannot show.";
    mountFailure(host, message, () => void start(host), error instanceof AskError && error.status === 403 ? caseInView() : "");
    if (!(error instanceof AskError)) console.error(error);
  }
}

async function signIn(host: HTMLElement, screen: Promise<typeof import("./screens/overview.ts")>): Promise<void> {
  try {
    const { openSignIn } = await screen;
    const dispose = await openSignIn(host, me(), () => {
      dispose();
      void start(host);
    });
  } catch {
    mountFailure(host, "The page could not be fetched whole.", () => void start(host));
  }
}
