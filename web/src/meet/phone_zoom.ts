// Where does a map made large look? At what was sought, or else where most offtakes crowd.
import type { Spot } from "./phone_map.ts";

/** The spot with most others in a window around it, its size in millimetres. */
export function densestOf(spots: readonly Spot[], wide: number, high: number): Spot | null {
  let [best, most]: [Spot | null, number] = [null, 0];
  for (const spot of spots) {
    const count = spots.filter((each) => Math.abs(each.x_mm - spot.x_mm) <= wide / 2 && Math.abs(each.y_mm - spot.y_mm) <= high / 2).length;
    if (count > most) [best, most] = [spot, count];
  }
  return best;
}

/** Scrolls a drawing in its box so that a spot stands in the middle. */
export function centre(box: HTMLElement, drawn: SVGSVGElement, { x_mm, y_mm }: Spot): void {
  const matrix = drawn.getScreenCTM();
  if (!matrix) return;
  const { x, y } = new DOMPoint(x_mm, y_mm).matrixTransform(matrix);
  const seen = box.getBoundingClientRect();
  box.scrollBy(x - seen.left - seen.width / 2, y - seen.top - seen.height / 2);
}

/** What of a drawing its box shows, in millimetres. */
export function windowOf(box: HTMLElement, drawn: SVGSVGElement): readonly [wide: number, high: number] {
  const scale = drawn.getScreenCTM()?.a ?? 1;
  return [box.clientWidth / scale, box.clientHeight / scale];
}
