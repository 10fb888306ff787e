// On a phone the why panel rises from below: the page is brought to where its map is seen above the panel,
// and back to where it was when the panel is closed.
import { NONE } from "../core/chosen.ts";
import type { Desk } from "../core/desk.ts";
import type { Dispose } from "../core/dispose.ts";

const NARROW = "(width < 1100px)";
const NEAR_PX = 4;

/** To be mounted after whatever else moves the page when the choice changes. */
export function keepMapInView({ chosen }: Desk, map: HTMLElement): Dispose {
  let before = 0;
  let brought = 0;
  return chosen.onChange((now, was) => {
    if (now.selected === was.selected || !matchMedia(NARROW).matches) return;
    if (was.selected === NONE) before = scrollY;
    if (now.selected !== NONE) {
      map.scrollIntoView({ block: "start" });
      brought = scrollY;
    } else if (Math.abs(scrollY - brought) < NEAR_PX) {
      scrollTo(0, before);
    }
  });
}
