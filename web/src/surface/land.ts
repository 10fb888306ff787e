// Faint land: forest as a tint, wetland as short level dashes, towns as a grey patch, districts as a
// dotted bound. Roads lie above it, thin.
import { decodeLines, type WorldLine } from "../core/lines.ts";
import type { Land, Roads } from "../wire/contract.ts";
import { tracePath } from "./path.ts";
import type { Paint } from "./sheet.ts";
import type { Tones } from "./tones.ts";

const DASH_TILE_PX = 12;

export function paintLand(land: Land, roads: Roads, tones: Tones): Paint {
  const areas = byRow(decodeLines(land));
  const roadLines = decodeLines(roads);
  const main = new Set(["main", "highway", "arterial", "sealed"]);

  return (pen, at) => {
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
  };
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

