// Where the list is scrolled to: within its own box on a desk; on a phone the page itself is what scrolls,
// so that no box within the page catches the finger.
import { type Dispose, listen } from "../core/dispose.ts";

export interface ListScroll {
  /** How far the list's body is scrolled under its head, in px. */
  readonly top: () => number;
  /** How much of the body can be seen. */
  readonly height: () => number;
  /** `gently`: not where that would move the whole page. */
  readonly to: (top: number, gently?: boolean) => void;
  readonly onScroll: (hear: () => void) => Dispose;
}

export function scrollOf(grid: HTMLElement, head: HTMLElement, body: HTMLElement): ListScroll {
  const own = (): boolean => getComputedStyle(grid).overflowY !== "visible";
  /** Where the body begins to be covered: under the head, which stays at the top of the view. */
  const cover = (): number => head.offsetHeight + (parseFloat(getComputedStyle(head).top) || 0);
  const bodyTop = (): number => body.getBoundingClientRect().top;
  const top = (): number => (own() ? grid.scrollTop : Math.max(0, cover() - bodyTop()));
  return {
    top,
    height: () => (own() ? grid.clientHeight - head.offsetHeight : Math.max(0, innerHeight - Math.max(bodyTop(), cover()))),
    to: (wanted, gently = false) => {
      if (own()) grid.scrollTop = wanted;
      else if (!gently && wanted !== top()) scrollBy(0, wanted - (cover() - bodyTop()));
    },
    onScroll: (hear) => {
      const stop = listen(grid, "scroll", hear, { passive: true });
      window.addEventListener("scroll", hear, { passive: true });
      return () => {
        stop();
        window.removeEventListener("scroll", hear);
      };
    },
  };
}
