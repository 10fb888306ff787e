// Offtakes that share a place are drawn side by side, and the pick buffer knows each where it is drawn.
import assert from "node:assert/strict";
import { test } from "node:test";
import { stepPx, stepsAside } from "../src/core/side_by_side.ts";
import { DotBuffer } from "../src/surface/dot_buffer.ts";
import type { Stamps } from "../src/surface/stamps.ts";

const PLACE = [0.3, 0.4];
const XY = Float64Array.from([0.1, 0.2, ...PLACE, ...PLACE, 0.5, 0.6, ...PLACE, ...PLACE, ...PLACE]);

test("rows of one place stand in lines around it, whoever is alone stands where it was", () => {
  const block = [[-1, -0.5], [0, -0.5], [1, -0.5], [-0.5, 0.5], [0.5, 0.5]];
  assert.deepEqual([...stepsAside(XY)], [[0, 0], block[0], block[1], [0, 0], block[2], block[3], block[4]].flat());
  for (let count = 1; count < 40; count += 1) {
    const steps = stepsAside(Float64Array.from({ length: 2 * count }, (_, i) => PLACE[i % 2] as number));
    const at = Array.from({ length: count }, (_, row) => [steps[2 * row] as number, steps[2 * row + 1] as number]);
    const nearest = Math.min(Infinity, ...at.flatMap(([x, y], i) => at.slice(i + 1).map(([u, v]) => Math.hypot((x as number) - (u as number), (y as number) - (v as number)))));
    assert.ok(nearest >= 1, `${count}: discs lie on each other`);
    const middle = at.reduce<[number, number]>(([sum, down], [x, y]) => [sum + (x as number), down + (y as number)], [0, 0]);
    assert.ok(Math.abs(middle[0]) < 1e-9, `${count}: the block is off its place`);
  }
});

test("the pick buffer finds each of them in the middle of its disc, the others as before", () => {
  Object.assign(globalThis, { ImageData: class { readonly data: Uint8ClampedArray; constructor(width: number, height: number) { this.data = new Uint8ClampedArray(4 * width * height); } } });
  const radius = 5;
  const buffer = new DotBuffer(200, 200, 20, XY.length / 2);
  const disc = Array.from({ length: (2 * radius + 1) ** 2 }, (_, i) => [(i % (2 * radius + 1)) - radius, Math.floor(i / (2 * radius + 1)) - radius] as const).filter(([x, y]) => Math.hypot(x, y) <= radius);
  const pickAt = Int32Array.from(disc, ([x, y]) => y * buffer.stride + x);
  const stamp = { solidAt: pickAt, solid: new Uint32Array(pickAt.length).fill(1), softAt: new Int32Array(), soft: new Uint8ClampedArray(), pickAt };
  const aside = stepsAside(XY);
  buffer.place(XY, 200, 0, 0, aside, stepPx(radius));
  const rows = XY.length / 2;
  buffer.stamp({ marks: new Uint8Array(rows), steps: new Uint8Array(rows), byRank: [...Array(rows).keys()] }, { all: Array.from({ length: 64 }, () => stamp) } as unknown as Stamps);
  for (let row = 0; row < rows; row += 1) {
    const at = [0, 1].map((axis) => (XY[2 * row + axis] as number) * 200 + (aside[2 * row + axis] as number) * stepPx(radius));
    assert.equal(buffer.rowAt(at[0] as number, at[1] as number, 0), row);
  }
});
