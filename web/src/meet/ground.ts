// The map of the river, drawn as lines: rivers as wide as they flow, towns, and a sign for each offtake. Its
// shape says whether the money reaches it (a full disc inside, a hollow ring outside, a short dash not in this
// round), its fill the risk. Everything is laid out in millimetres of the meeting's own drawing; sizes of signs
// and letters are the style sheet's, in pixels, times --unit, the millimetres in a pixel as now shown.
import type { Dispose } from "../core/dispose.ts";
import { drawing } from "../parts/drawing.ts";
import { emptiestCorner, type Frame, frameOf, type Point, pointsOf } from "./ground_frame.ts";
import { type Names, placeNames } from "./ground_names.ts";
import type { MapRiver, MapTown, Meeting, MeetingMap, Offtake, State } from "./told.ts";

const WEIGHTS = ["quiet", "faint", "plain", "strong"] as const;
export type Weight = (typeof WEIGHTS)[number];

/** How one offtake is drawn. */
export interface DotLook {
  readonly shape: State;
  /** Risk steps are filled; without them every sign is ink. */
  readonly risk?: boolean;
  /** Quiet ones only tell that something is there. */
  readonly weight?: Weight;
  /** Words beside it. */
  readonly words?: string;
}

export interface GroundLook {
  /** What is shown, in words, for those who do not see it. */
  readonly label: string;
  /** Whether rivers are named. */
  readonly rivers?: boolean;
  /** Whether towns stand on it; as a number, that many of the largest. */
  readonly towns?: boolean | number;
}

export interface Ground {
  /** Its user units are millimetres, also for getScreenCTM. */
  readonly element: SVGSVGElement;
  /** Draws every offtake anew; null draws none. */
  readonly paint: (look: ((offtake: Offtake) => DotLook) | null, ground?: GroundLook) => void;
  /** Above everything else: marks of one's own. */
  readonly layer: SVGGElement;
  /** Where on the map a pointer is. */
  readonly placeOf: (event: { readonly clientX: number; readonly clientY: number }) => { readonly x_mm: number; readonly y_mm: number } | null;
  readonly dispose: Dispose;
}

/** As the case has it: by state, filled by risk. */
export const asTheCase = ({ state }: Offtake): DotLook => ({ shape: state, risk: true });

/** As one set has it: what cannot be funded in this round stays a dash. */
export function asTheSet(inside: ReadonlySet<string>): (offtake: Offtake) => DotLook {
  return ({ code, state }) => ({ shape: inside.has(code) ? "inside" : state === "not this round" ? state : "outside", risk: true });
}

export function drawGround({ map, offtakes }: Meeting, first: GroundLook): Ground {
  const points = [...map.rivers.flatMap(({ path }) => pointsOf(path)), ...offtakes.map(({ x_mm, y_mm }) => [x_mm, y_mm] as const)];
  const frame = frameOf(points, map);
  const rivers = drawing("g", { class: "ground-rivers" }, map.rivers.map(riverOf));
  const towns = drawing("g", { class: "ground-towns" });
  const dots = drawing("g", { class: "ground-dots" });
  const names = drawing("g", { class: "ground-names" });
  const layer = drawing("g", { class: "ground-own" });
  const made = drawing("svg", { class: "ground", viewBox: `${frame.left} ${frame.top} ${frame.right - frame.left} ${frame.bottom - frame.top}`, role: "img", preserveAspectRatio: "xMidYMid meet" }, [rivers, ...scaleOf(map, points, frame), towns, dots, names, layer]);
  const signs = new Map(offtakes.map((offtake) => [offtake, signOf(offtake)]));
  let looks = new Map<Offtake, DotLook>();
  let ground = first;

  const place = (): void => {
    const unit = unitOf(made);
    if (!unit) return;
    made.style.setProperty("--unit", String(unit));
    const told = [...looks].flatMap(([{ x_mm, y_mm }, { words }]) => (words ? [{ x_mm, y_mm, words }] : []));
    const shown: Names = { rivers: ground.rivers ? map.rivers : [], towns: largest(map.towns, ground.towns), told };
    const named = placeNames(names, shown, [...looks].map(([{ x_mm, y_mm }, { weight }]) => ({ x_mm, y_mm, faint: weight === "faint" || weight === "quiet" })), frame);
    towns.replaceChildren(...named.map(({ x_mm, y_mm }) => drawing("rect", { class: "ground-town", transform: `translate(${x_mm} ${y_mm})` })));
  };
  const watcher = new ResizeObserver(place);
  watcher.observe(made);
  const paint: Ground["paint"] = (look, next = ground) => {
    ground = next;
    made.setAttribute("aria-label", ground.label);
    looks = new Map(look ? offtakes.map((offtake) => [offtake, look(offtake)] as const) : []);
    const order = [...looks].sort(([a, its], [b, other]) => levelOf(its) - levelOf(other) || b.rank - a.rank);
    dots.replaceChildren(...order.map(([offtake, its]) => worn(signs.get(offtake), offtake, its)));
    place();
  };
  paint(null);
  return {
    element: made,
    paint,
    layer,
    placeOf: ({ clientX, clientY }) => {
      const back = made.getScreenCTM()?.inverse();
      const at = back && new DOMPoint(clientX, clientY).matrixTransform(back);
      return at ? { x_mm: at.x, y_mm: at.y } : null;
    },
    dispose: () => {
      watcher.disconnect();
      made.remove();
    },
  };
}

function largest(towns: readonly MapTown[], most: boolean | number = false): readonly MapTown[] {
  const bySize = [...towns].sort((a, b) => b.size - a.size);
  return typeof most === "number" ? bySize.slice(0, most) : most ? bySize : [];
}

/** Millimetres of the drawing in a pixel of the page, 0 where it is not shown. */
function unitOf(made: SVGSVGElement): number {
  const scale = made.isConnected ? (made.getScreenCTM()?.a ?? 0) : 0;
  return scale > 0 ? 1 / scale : 0;
}

/** What is drawn later lies above: quiet below faint below plain below strong, and inside above the others. */
function levelOf({ shape, weight }: DotLook): number {
  return 3 * WEIGHTS.indexOf(weight ?? "plain") + ["not this round", "outside", "inside"].indexOf(shape);
}

function riverOf({ path, width_mm }: MapRiver): SVGPathElement {
  const made = drawing("path", { d: path });
  made.style.setProperty("--wide", String(width_mm));
  return made;
}

function scaleOf({ scale }: MeetingMap, points: readonly Point[], frame: Frame): SVGGElement[] {
  if (!scale) return [];
  const [x, y] = emptiestCorner(points, frame, scale.mm);
  const bar = drawing("path", { class: "ground-bar", d: `M${x} ${y - 1.5}v1.5h${scale.mm}v-1.5` });
  return [drawing("g", { class: "ground-scale" }, [bar, drawing("text", { class: "name", x, y: y - 2.5 }, [scale.words])])];
}

/** Halo, body and the risk's own ring; the style sheet shows what a shape needs. */
function signOf({ code, x_mm, y_mm }: Offtake): SVGGElement {
  return drawing("g", { "data-code": code, transform: `translate(${x_mm} ${y_mm})` }, signParts());
}

function signParts(): SVGElement[] {
  return [drawing("circle", { class: "dot-halo" }), drawing("circle", { class: "dot-body" }), drawing("circle", { class: "dot-rim" }), drawing("rect", { class: "dot-dash" })];
}

/** A sign beside words, drawn as the map draws it. */
export function drawnSign(look: DotLook, risk = 2): SVGSVGElement {
  return drawing("svg", { class: "map-sign", "aria-hidden": "true" }, [drawing("g", { class: classOf(look, risk) }, signParts())]);
}

function worn(sign: SVGGElement | undefined, { risk }: Offtake, look: DotLook): SVGGElement {
  const made = sign ?? drawing("g");
  made.setAttribute("class", classOf(look, risk));
  return made;
}

function classOf({ shape, weight = "plain", risk: byRisk }: DotLook, risk: number): string {
  return `dot dot-${shape.replaceAll(" ", "-")} dot-${weight} ${byRisk ? `risk-${risk + 1}` : "risk-none"}`;
}
