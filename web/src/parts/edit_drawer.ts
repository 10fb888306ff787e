// A drawer over the list for work on the data: the map stays in sight beside it. What it covers cannot be
// reached while it is open; the focus goes in, and back where it came from.
import { type Dispose, listen, together } from "../core/dispose.ts";
import { element } from "./element.ts";

export interface Drawer {
  readonly body: HTMLElement;
  /** Smaller on a phone, so that more of the map is seen. */
  readonly moving: (on: boolean) => void;
  readonly shut: () => void;
  readonly dispose: Dispose;
}

interface Open {
  readonly heading: HTMLElement;
  readonly dispose: Dispose;
  readonly covered: HTMLElement[];
}

/** Those that are open, the topmost last. */
const stack: Open[] = [];

/** `shutting` is told just before it goes, also when it is disposed of. */
export function openDrawer(host: HTMLElement, name: string, title: string, shutting: () => void): Drawer {
  const id = `drawer-title-${name}`;
  const heading = element("h2", { id, tabindex: -1 }, [title]);
  const close = element("button", { type: "button", class: "why-close", "aria-label": "Close" }, ["×"]);
  const body = element("div", { class: "data-body" });
  const drawer = element("section", { class: `data-drawer data-${name}`, role: "dialog", "aria-labelledby": id }, [
    element("div", { class: "data-head" }, [heading, close]),
    body,
  ]);
  const cameFrom = document.activeElement;
  const covered = [...host.children].filter((each): each is HTMLElement => each instanceof HTMLElement && !each.inert);
  for (const each of covered) each.inert = true;
  host.append(drawer);
  heading.focus({ preventScroll: true });
  const own: Open = { heading, dispose, covered };
  stack.push(own);

  function dispose(): void {
    const at = stack.indexOf(own);
    if (at < 0) return;
    stack.splice(at, 1);
    shutting();
    const held = drawer.contains(document.activeElement) || document.activeElement === document.body;
    stop();
    drawer.remove();
    const [below, above] = [stack[at - 1], stack[at]];
    // What it covered stays covered by one that lies over it.
    if (above) above.covered.push(...covered);
    else for (const each of covered) each.inert = false;
    if (held && below) below.heading.focus({ preventScroll: true });
    else if (held && !above) giveBack(cameFrom, host);
  }

  const stop = together([
    listen(close, "click", dispose),
    listen(drawer, "keydown", (event) => {
      event.stopPropagation(); // the page's single keys mean what lies below
      if (event.key === "Escape") dispose();
    }),
    // Pressed where nothing has the focus, it means what lies on top, and that alone.
    listen(document.body, "keydown", (event) => {
      if (event.key !== "Escape" || event.defaultPrevented || event.target !== document.body || stack.at(-1) !== own) return;
      event.preventDefault();
      dispose();
    }),
  ]);
  return { body, dispose, shut: dispose, moving: (on) => drawer.classList.toggle("data-moving", on) };
}

/** Where the focus came from; if that is gone, the list's row that takes it. */
function giveBack(cameFrom: Element | null, host: HTMLElement): void {
  const row = host.querySelector<HTMLElement>("[role=grid] [role=row][tabindex='0']");
  const target = cameFrom instanceof HTMLElement && cameFrom.isConnected && cameFrom !== document.body ? cameFrom : row;
  target?.focus({ preventScroll: true });
}
