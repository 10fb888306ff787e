// Starts the page: asks for a catchment at once, and meanwhile for what shows it; says plainly if it
// cannot.
import { mountFailure, mountWaiting } from "./parts/notice.ts";
import { AskError } from "./wire/ask.ts";
import { caseInView } from "./wire/case_in_view.ts";
import { fetchEssentials, fetchSurroundings } from "./wire/catchment.ts";

const host = document.getElementById("page");
if (host) void start(host);

async function start(host: HTMLElement): Promise<void> {
  const as = new URLSearchParams(location.search).get("as") ?? "";
  const { signal } = new AbortController();
  mountWaiting(host);
  try {
    const surroundings = fetchSurroundings(as, signal);
    surroundings.catch(() => undefined);
    const id = caseInView();
    const screen = import("./screens/overview.ts");
    const [essentials, opened] = await Promise.all([
      fetchEssentials(as, signal),
      screen.then(({ openCase }) => (id ? openCase(id) : null)),
    ]);
    const { mountOverview } = await screen;
    host.replaceChildren();
    mountOverview(host, essentials, surroundings, opened);
  } catch (error) {
    const message =
      error instanceof AskError ? error.message : "The page met something it cannot show.";
    mountFailure(host, message, () => void start(host));
    if (!(error instanceof AskError)) console.error(error);
  }
}
