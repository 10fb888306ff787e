// A drawing of our own: water passes a screen and the pump takes it; fish stay in the river.
import { drawing } from "../parts/drawing.ts";

const FISH = "M0 0c7 -8 20 -9 32 0l9 -7v14l-9 -7c-12 9 -25 8 -32 0z";

export function screenDrawing(): SVGSVGElement {
  const line = (kind: string, d: string): SVGPathElement => drawing("path", { class: kind, d });
  const fish = (x: number, y: number, turned: number): SVGPathElement => drawing("path", { class: "screen-fish", d: FISH, transform: `translate(${x} ${y}) rotate(${turned})` });
  const ribs = Array.from({ length: 9 }, (_, i) => `M${250 + 9 * i} 74v62`).join("");
  const said = "A screen around an intake in the river: water goes through to the pump, fish pass by.";
  return drawing("svg", { class: "screen-drawing", viewBox: "0 0 520 170", role: "img", "aria-label": said }, [
    line("screen-river", "M0 30q65 -16 130 0t130 0t130 0t130 0v140h-520z"),
    line("screen-pipe", "M330 105h130v-105"),
    line("screen-ribs", ribs),
    line("screen-body", "M244 74h86v62h-86z"),
    line("screen-water", "M150 105h84m-16 -10l16 10l-16 10M286 158v-14m-8 6l8 -8l8 8"),
    fish(62, 70, 0),
    fish(40, 140, 0),
    fish(372, 150, 0),
    fish(180, 52, 0),
  ]);
}
