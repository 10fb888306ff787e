// Everything beside the wall's map has room: of a choice first the picture to join by gives way, then rows are
// taken off the end and words cut at a word. Another catchment has longer words, and a hall agrees at any length.

import { element } from "../parts/element.ts";

const REST = "the rest is in the minutes";
/** Rows that stay beside words. */
const WITH_WORDS = 2;
const ALL = "The words are in the minutes.";

export function fitSide(wall: HTMLElement, side: HTMLElement): void {
  wall.classList.remove("wall-tight");
  const isOver = (): boolean => side.scrollHeight > side.clientHeight + 1;
  const tighten = (): boolean => (wall.classList.add("wall-tight"), isOver());
  if (!isOver()) return;
  const words = side.querySelector<HTMLElement>(".wall-words");
  if (wall.dataset["step"] === "choice" && !tighten()) return;
  takeRows(side, isOver, words ? WITH_WORDS : 1);
  if (words && isOver()) cutWords(words, isOver);
  takeRows(side, isOver, 1);
  if (isOver()) tighten();
}

/** As many whole words as find room. */
function cutWords(made: HTMLElement, isOver: () => boolean): void {
  const all = (made.textContent ?? "").split(/\s+/);
  const put = (count: number): void => made.replaceChildren(...(count ? [`${all.slice(0, count).join(" ")} … `, element("em", {}, [REST])] : [ALL]));
  let [least, most] = [0, all.length - 1];
  while (least < most) {
    const middle = Math.ceil((least + most) / 2);
    put(middle);
    if (isOver()) most = middle - 1;
    else least = middle;
  }
  put(least);
  if (!isOver()) return;
  const part = made.parentElement;
  made.remove();
  if (part && !part.childElementCount) part.remove();
}

/** Off the end of the longest list, until everything has room; so many stay. */
function takeRows(side: HTMLElement, isOver: () => boolean, least: number): void {
  const lists = [...side.querySelectorAll("tbody")].map((body) => [...body.querySelectorAll("tr[data-code]")]);
  while (isOver()) {
    const [longest] = lists.sort((a, b) => b.length - a.length);
    if (!longest || longest.length <= least) return;
    longest.pop()?.remove();
  }
}
