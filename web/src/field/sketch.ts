// A sketch of a run: rivers, roads, towns and stops from its pack, drawn as lines; no map from elsewhere.
import { decodeLines, fromSteps } from "../core/lines.ts";
import { drawing as svg } from "../parts/drawing.ts";
import { degrees, worldX, worldY } from "../core/mercator.ts";
import type { CodedLines, CodedPlaces, Pack, PackStop } from "../wire/field.ts";
import type { Place } from "./photo.ts";

const [WIDE, HIGH, EDGE] = [360, 270, 26];
const EARTH_M = 40_075_017;
/** Least width of a sketch, in metres: a single stop has its surroundings. */
const LEAST_M = 2_000;
const NEAR_M = 5_000;
const [MOST_TOWNS, BAR_PX] = [8, 90];

export interface Shown {
  readonly next: string | null;
  readonly done: ReadonlySet<string>;
  /** Only the surroundings of the next stop. */
  readonly near: boolean;
  readonly here: Place | null;
}

export function drawSketch(pack: Pack, { next, done, near, here }: Shown): SVGElement {
  const stops = pack.stops.filter((stop): stop is PackStop & Place => stop.lon !== null && stop.lat !== null);
  const about = near ? stops.filter((stop) => stop.code === next) : stops;
  const frame = frameOf(about.length ? about : stops, near ? NEAR_M : LEAST_M);
  const said = `Sketch of the run: ${stops.map((stop) => `${stopNumber(pack, stop)} ${stop.code}`).join(", ")}`;
  return svg("svg", { class: "sketch", viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": said }, [
    ...lines(pack.ground.roads, "sketch-road", frame),
    ...lines(pack.ground.rivers, "sketch-river", frame),
    ...way(stops, frame, pack.ground.roads.points.length === 0),
    ...names(pack.ground.towns, "sketch-town", frame, stops),
    ...names(pack.ground.depots, "sketch-depot", frame, stops),
    ...stops.map((stop) => disc(stopNumber(pack, stop), frame.at(stop.lon, stop.lat), stop.code === next ? "next" : done.has(stop.code) ? "done" : "")),
    ...(here ? [mark(frame.at(here.lon, here.lat))] : []),
    ...scaleBar(frame.metresPerPx),
  ]);
}

/** As on the printed sheet, where every day begins anew: "2·1" is day 2, stop 1; "1" where there is one day. */
export function stopNumber(pack: Pack, stop: PackStop): string {
  return pack.run.days.length > 1 ? `${stop.day}·${stop.number}` : String(stop.number);
}

/** "1 of 3", or "2·1 (day 2, stop 1 of 3)". */
export function stopOf(pack: Pack, stop: PackStop): string {
  const ofDay = pack.stops.filter((each) => each.day === stop.day).length;
  return pack.run.days.length > 1 ? `${stopNumber(pack, stop)} (day ${stop.day}, stop ${stop.number} of ${ofDay})` : `${stop.number} of ${ofDay}`;
}

interface Frame {
  readonly at: (lon: number, lat: number) => readonly [number, number];
  readonly ofWorld: (x: number, y: number) => readonly [number, number];
  readonly metresPerPx: number;
}

function frameOf(stops: readonly Place[], leastM: number): Frame {
  const xs = stops.map((stop) => worldX(stop.lon));
  const ys = stops.map((stop) => worldY(stop.lat));
  const [west, east, north, south] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const shrink = Math.cos(((stops[0]?.lat ?? 0) * Math.PI) / 180);
  const least = leastM / EARTH_M / shrink;
  const scale = Math.min((WIDE - 2 * EDGE) / Math.max(east - west, least), (HIGH - 2 * EDGE) / Math.max(south - north, least));
  const [midX, midY] = [(west + east) / 2, (north + south) / 2];
  const ofWorld = (x: number, y: number): readonly [number, number] => [WIDE / 2 + (x - midX) * scale, HIGH / 2 + (y - midY) * scale];
  return { at: (lon, lat) => ofWorld(worldX(lon), worldY(lat)), ofWorld, metresPerPx: (EARTH_M * shrink) / scale };
}

function lines(coded: CodedLines, kind: string, frame: Frame): SVGElement[] {
  const paths = decodeLines(coded).map(({ xy }) => {
    let path = "";
    for (let i = 0; i < xy.length; i += 2) {
      const [x, y] = frame.ofWorld(xy[i] ?? 0, xy[i + 1] ?? 0);
      path += `${i ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`;
    }
    return path;
  });
  return paths.length ? [svg("path", { class: kind, d: paths.join("") })] : [];
}

/** Where no road is known, nobody shall take the lines for roads. */
function way(stops: readonly Place[], frame: Frame, straight: boolean): SVGElement[] {
  if (stops.length < 2) return [];
  const points = stops.map((stop) => frame.at(stop.lon, stop.lat).map((each) => each.toFixed(1)).join(","));
  const line = svg("polyline", { class: straight ? "sketch-way straight" : "sketch-way", points: points.join(" ") });
  return straight ? [line, svg("text", { class: "sketch-bar-words", x: 10, y: 16 }, ["Dashed: straight lines, not roads"])] : [line];
}

function names(places: CodedPlaces, kind: string, frame: Frame, stops: readonly Place[]): SVGElement[] {
  const lon = fromSteps(places.lon);
  const lat = fromSteps(places.lat);
  const inside = places.name.map((name, i) => ({ name: name ?? "", at: frame.at(degrees(lon[i] ?? 0), degrees(lat[i] ?? 0)) }));
  const discs = stops.map((stop) => frame.at(stop.lon, stop.lat));
  const isFree = (name: string, x: number, y: number): boolean => !discs.some(([left, top]) => Math.abs(top - y) < 18 && left > x - 14 && left < x + 18 + 6.5 * name.length);
  return inside
    .filter(({ name, at: [x, y] }) => name && x > 4 && x < WIDE - 60 && y > 14 && y < HIGH - 24 && isFree(name, x, y))
    .slice(0, MOST_TOWNS)
    .flatMap(({ name, at: [x, y] }) => [svg("rect", { class: `${kind}-dot`, x: x - 2.5, y: y - 2.5, width: 5, height: 5 }), svg("text", { class: kind, x: x + 6, y: y + 4 }, [name])]);
}

function disc(number: string, [x, y]: readonly [number, number], kind: string): SVGElement {
  return svg("g", { class: `sketch-stop ${kind}`.trim() }, [
    svg("circle", { cx: x, cy: y, r: kind === "next" || number.length > 2 ? 14 : 11 }),
    svg("text", { x, y: y + 4.5, "text-anchor": "middle" }, [number]),
  ]);
}

function mark([x, y]: readonly [number, number]): SVGElement {
  return svg("g", { class: "sketch-here" }, [svg("circle", { cx: x, cy: y, r: 8 }), svg("path", { d: `M${x} ${y - 14}V${y + 14}M${x - 14} ${y}H${x + 14}` })]);
}

function scaleBar(metresPerPx: number): SVGElement[] {
  const most = BAR_PX * metresPerPx;
  const power = 10 ** Math.floor(Math.log10(most));
  const metres = power * ([5, 2, 1].find((step) => step * power <= most) ?? 1);
  const end = 10 + metres / metresPerPx;
  const words = metres >= 1000 ? `${metres / 1000} km` : `${metres} m`;
  return [svg("path", { class: "sketch-bar", d: `M10 ${HIGH - 14}v6H${end}v-6` }), svg("text", { class: "sketch-bar-words", x: end + 6, y: HIGH - 6 }, [words])];
}

/** Straight distance and the way it lies: "2.1 km to the north-east". */
export function wayTo(here: Place, there: Place): string {
  const north = ((there.lat - here.lat) * EARTH_M) / 360;
  const east = ((there.lon - here.lon) * EARTH_M * Math.cos((here.lat * Math.PI) / 180)) / 360;
  const metres = Math.hypot(north, east);
  const sides = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
  const side = sides[Math.round((Math.atan2(east, north) / (2 * Math.PI)) * 8 + 8) % 8] ?? "";
  return `${metres < 950 ? `${Math.round(metres / 10) * 10} m` : `${(metres / 1000).toFixed(1)} km`} to the ${side}, in a straight line`;
}
