// Every look an offtake can have, drawn once: a stamp for each risk step and mark at the screen's own
// pixels. Filled disc inside the money, hollow ring outside, dot in the middle a close call, square chosen
// by hand, short dash built or not in this round; each lies between dark outlines, so that its shape is
// seen on any ground.
import { signRadius } from "../core/discs.ts";
import { CLOSE_IN, CLOSE_OUT, DASH, HAND_IN, HAND_OUT, MARKS, RING } from "../core/marks.ts";
import { RISK_STEPS } from "../core/risk.ts";
import type { Tones } from "./tones.ts";

const HALO_PX = 0.7;
const EDGE_PX = 1.2;
/** Half a side, in radii: as much area as the disc has. */
const SQUARE = Math.sqrt(Math.PI) / 2;
const OPAQUE = 250;
const PICKED = 100;

/** Pixels of one stamp, placed by their distance in the buffer from the stamp's middle. */
export interface Stamp {
  readonly solidAt: Int32Array;
  readonly solid: Uint32Array;
  readonly softAt: Int32Array;
  /** Red, green, blue, alpha of each soft pixel. */
  readonly soft: Uint8ClampedArray;
  /** Pixels by which it is picked. */
  readonly pickAt: Int32Array;
}

export interface Stamps {
  /** By `stampIndex(mark, step)`. */
  readonly all: readonly Stamp[];
  /** How far, in screen pixels, a stamp reaches from its middle. */
  readonly reach: number;
}

export function stampIndex(mark: number, step: number): number {
  return mark * RISK_STEPS + step;
}

/** How far a stamp reaches from its middle, in screen pixels. */
export function stampReach(radiusPx: number, ratio: number): number {
  return Math.ceil((radiusPx + EDGE_PX / 2 + HALO_PX) * ratio) + 1;
}

/** Stamps for discs of a radius in CSS pixels, for a buffer `stride` screen pixels wide. */
export function makeStamps(tones: Tones, radiusPx: number, ratio: number, stride: number): Stamps {
  const reach = stampReach(radiusPx, ratio);
  const side = 2 * reach + 1;
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = side;
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  if (!pen) throw new Error("this browser gives no canvas to draw on");
  const all: Stamp[] = [];
  for (let mark = 0; mark < MARKS; mark += 1) {
    for (let step = 0; step < RISK_STEPS; step += 1) {
      pen.setTransform(1, 0, 0, 1, 0, 0);
      pen.clearRect(0, 0, side, side);
      pen.setTransform(ratio, 0, 0, ratio, reach + 0.5, reach + 0.5);
      drawMark(pen, tones, mark, tones.risk[step] ?? "", signRadius(mark, radiusPx));
      all.push(cut(pen.getImageData(0, 0, side, side), reach, stride));
    }
  }
  return { all, reach };
}

function drawMark(pen: CanvasRenderingContext2D, tones: Tones, mark: number, fill: string, radius: number): void {
  outline(pen, mark, radius);
  pen.lineJoin = "round";
  pen.lineWidth = EDGE_PX + 2 * HALO_PX;
  pen.strokeStyle = tones.discHalo;
  pen.stroke();
  pen.fillStyle = fill;
  pen.fill();
  pen.lineWidth = EDGE_PX;
  pen.strokeStyle = tones.discEdge;
  pen.stroke();
  drawMiddle(pen, tones, mark, radius);
}

/** A hole outside the money, and a dark dot where it is a close call. */
function drawMiddle(pen: CanvasRenderingContext2D, tones: Tones, mark: number, radius: number): void {
  if (mark === RING || mark === CLOSE_OUT || mark === HAND_OUT) {
    outline(pen, mark, holeRadius(radius));
    pen.fillStyle = tones.discHole;
    pen.fill();
    pen.lineWidth = Math.min(EDGE_PX, 0.16 * radius);
    pen.stroke();
  }
  if (mark !== CLOSE_IN && mark !== CLOSE_OUT) return;
  outline(pen, mark, dotRadius(mark, radius));
  pen.fillStyle = tones.discEdge;
  pen.fill();
}

function outline(pen: CanvasRenderingContext2D, mark: number, radius: number): void {
  pen.beginPath();
  if (mark === DASH) pen.roundRect(-radius, -dashHalf(radius), 2 * radius, 2 * dashHalf(radius), 1);
  else if (mark === HAND_IN || mark === HAND_OUT) pen.rect(-SQUARE * radius, -SQUARE * radius, 2 * SQUARE * radius, 2 * SQUARE * radius);
  else pen.arc(0, 0, radius, 0, 2 * Math.PI);
}

export function holeRadius(radius: number): number {
  return Math.max(1.5, 0.55 * radius);
}

/** Small in a hole, so that the hole is seen. */
function dotRadius(mark: number, radius: number): number {
  return mark === CLOSE_OUT ? Math.max(0.9, 0.2 * radius) : Math.max(1.1, 0.3 * radius);
}

function dashHalf(radius: number): number {
  return Math.max(1.7, 0.36 * radius);
}

function cut({ data, width }: ImageData, reach: number, stride: number): Stamp {
  const words = new Uint32Array(data.buffer);
  const solidAt: number[] = [];
  const solid: number[] = [];
  const softAt: number[] = [];
  const soft: number[] = [];
  const pickAt: number[] = [];
  words.forEach((word, i) => {
    const alpha = data[4 * i + 3] ?? 0;
    if (alpha === 0) return;
    const at = (Math.floor(i / width) - reach) * stride + (i % width) - reach;
    if (alpha >= PICKED) pickAt.push(at);
    if (alpha >= OPAQUE) {
      solidAt.push(at);
      solid.push(word);
    } else {
      softAt.push(at);
      soft.push(...data.subarray(4 * i, 4 * i + 4));
    }
  });
  return {
    solidAt: Int32Array.from(solidAt),
    solid: Uint32Array.from(solid),
    softAt: Int32Array.from(softAt),
    soft: Uint8ClampedArray.from(soft),
    pickAt: Int32Array.from(pickAt),
  };
}
