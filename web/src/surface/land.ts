// Faint land: forest as a tint, wetland as short level dashes, towns as a grey patch, districts as a
// dotted bound. Roads lie above it, thin.
import { decodeLines, type WorldLine } from "../core/lines.ts";
import type { Land, Roads } from "../wire/contract.ts";
import { tracePath } from "./path.ts";
import type { Paint, Placement } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const DASH_TILE_PX = 12;
/** Share of the ground's width and height over which it fades at its edges. */
const FADE_SHARE = 0.12;

/** World coordinates of what is known of the ground. */
export interface Known {
  readonly west: number;
  readonly north: number;
  readonly east: number;
  readonly south: number;
}

export function paintLand(land: Land, roads: Roads, known: Known, tonesNow: () => Tones): Paint {
  const areas = byRow(decodeLines(land));
  const roadLines = decodeLines(roads);
  const main = new Set(["main", "highway", "arterial", "sealed"]);

  return (pen, at) => {
    const tones = tonesNow();
    for (const [row, rings] of areas) {
      pen.beginPath();
      for (const ring of rings) tracePath(pen, ring, at);
      paintArea(pen, land.kind[row] ?? "", tones);
    }
    pen.strokeStyle = tones.road;
    pen.lineJoin = "round";
    for (const line of roadLines) {
      pen.lineWidth = main.has(roads.class[line.row] ?? "") ? 1.5 : 0.8;
      pen.beginPath();
      tracePath(pen, line, at);
      pen.stroke();
    }
    fadeEdges(pen, at, known);
  };
}

/** Lets the ground run out softly where the data ends, instead of at a cut edge. */
function fadeEdges(pen: CanvasRenderingContext2D, at: Placement, known: Known): void {
  const [west, east] = [known.west * at.size + at.offsetX, known.east * at.size + at.offsetX];
  const [north, south] = [known.north * at.size + at.offsetY, known.south * at.size + at.offsetY];
  pen.save();
  pen.globalCompositeOperation = "destination-in";
  for (const fade of [pen.createLinearGradient(west, 0, east, 0), pen.createLinearGradient(0, north, 0, south)]) {
    fade.addColorStop(0, "transparent");
    fade.addColorStop(FADE_SHARE, "#000");
    fade.addColorStop(1 - FADE_SHARE, "#000");
    fade.addColorStop(1, "transparent");
    pen.fillStyle = fade;
    pen.fillRect(0, 0, pen.canvas.width, pen.canvas.height);
  }
  pen.restore();
}

function paintArea(pen: CanvasRenderingContext2D, kind: string, tones: Tones): void {
  if (kind === "district") {
    pen.save();
    pen.strokeStyle = tones.district;
    pen.lineWidth = 1;
    pen.setLineDash([1, 4]);
    pen.stroke();
    pen.restore();
    return;
  }
  pen.fillStyle = kind === "wetland" ? dashes(pen, tones.wetland) : tintOf(kind, tones);
  pen.fill("evenodd");
}

function tintOf(kind: string, tones: Tones): string {
  return kind === "town" ? tones.town : tones.forest;
}

function dashes(pen: CanvasRenderingContext2D, tone: string): CanvasPattern | string {
  const tile = document.createElement("canvas");
  tile.width = DASH_TILE_PX;
  tile.height = DASH_TILE_PX;
  const brush = tile.getContext("2d");
  if (!brush) return tone;
  brush.fillStyle = tone;
  brush.fillRect(0, 2, 6, 1);
  brush.fillRect(6, 8, 6, 1);
  return pen.createPattern(tile, "repeat") ?? tone;
}

function byRow(lines: readonly WorldLine[]): Map<number, WorldLine[]> {
  const rows = new Map<number, WorldLine[]>();
  for (const line of lines) {
    const rings = rows.get(line.row);
    if (rings) rings.push(line);
    else rows.set(line.row, [line]);
  }
  return rows;
}

