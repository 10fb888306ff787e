// All offtakes in one picture: stamps written straight into its pixels, and beside it a second buffer
// that holds for every pixel which offtake lies there. Places are worked out once a view; a new colour
// or order writes the stamps again and nothing else.
import { NONE } from "../core/chosen.ts";
import type { Drawn } from "../core/marks.ts";
import { type Stamp, stampIndex, type Stamps } from "./stamps.ts";

const AWAY = -1;

export class DotBuffer {
  readonly #pad: number;
  readonly #stride: number;
  readonly #height: number;
  readonly #image: ImageData;
  readonly #words: Uint32Array;
  /** Offtake row + 1 at each pixel, 0 for none. */
  readonly #picks: Uint32Array;
  /** Pixel of each row's middle, AWAY where it is not on the buffer. */
  readonly #middles: Int32Array;

  /** For a canvas of a size in screen pixels; padded, so that no stamp has to be clipped. */
  constructor(width: number, height: number, reach: number, rows: number) {
    this.#pad = 2 * reach;
    this.#stride = width + 2 * this.#pad;
    this.#height = height + 2 * this.#pad;
    this.#image = new ImageData(this.#stride, this.#height);
    this.#words = new Uint32Array(this.#image.data.buffer);
    this.#picks = new Uint32Array(this.#words.length);
    this.#middles = new Int32Array(rows).fill(AWAY);
  }

  get stride(): number {
    return this.#stride;
  }

  fits(width: number, height: number, reach: number): boolean {
    const pad = 2 * reach;
    return this.#pad === pad && this.#stride === width + 2 * pad && this.#height === height + 2 * pad;
  }

  /** Places every row: screen px = world * scale + offset, and as many steps aside as it stands. */
  place(xy: Float64Array, scale: number, offsetX: number, offsetY: number, aside: Float64Array, stepPx: number): void {
    const half = this.#pad / 2;
    for (let row = 0; row < this.#middles.length; row += 1) {
      const x = Math.floor((xy[2 * row] as number) * scale + offsetX + (aside[2 * row] as number) * stepPx) + this.#pad;
      const y = Math.floor((xy[2 * row + 1] as number) * scale + offsetY + (aside[2 * row + 1] as number) * stepPx) + this.#pad;
      const on = x >= half && y >= half && x < this.#stride - half && y < this.#height - half;
      this.#middles[row] = on ? y * this.#stride + x : AWAY;
    }
  }

  /** Writes all stamps anew, the highest ranked last and so on top. */
  stamp({ marks, steps, byRank }: Drawn, { all }: Stamps): void {
    this.#words.fill(0);
    this.#picks.fill(0);
    for (let place = byRank.length - 1; place >= 0; place -= 1) {
      const row = byRank[place] as number;
      const middle = this.#middles[row] as number;
      if (middle === AWAY) continue;
      const stamp = all[stampIndex(marks[row] as number, steps[row] as number)];
      if (stamp) this.#write(stamp, middle, row + 1);
    }
  }

  show(pen: CanvasRenderingContext2D): void {
    pen.putImageData(this.#image, -this.#pad, -this.#pad);
  }

  /** The row at a pixel of the canvas, else the one nearest within `reach` pixels. */
  rowAt(x: number, y: number, reach: number): number {
    const middle = (Math.floor(y) + this.#pad) * this.#stride + Math.floor(x) + this.#pad;
    const here = this.#picks[middle];
    if (here) return here - 1;
    let least = (reach + 1) ** 2;
    let found = NONE;
    for (let dy = -reach; dy <= reach; dy += 1) {
      for (let dx = -reach; dx <= reach; dx += 1) {
        const away = dx * dx + dy * dy;
        if (away >= least) continue;
        const there = this.#picks[middle + dy * this.#stride + dx];
        if (!there) continue;
        least = away;
        found = there - 1;
      }
    }
    return found;
  }

  #write({ solidAt, solid, softAt, soft, pickAt }: Stamp, middle: number, mine: number): void {
    const words = this.#words;
    const picks = this.#picks;
    for (let i = 0; i < solidAt.length; i += 1) words[middle + (solidAt[i] as number)] = solid[i] as number;
    for (let i = 0; i < pickAt.length; i += 1) picks[middle + (pickAt[i] as number)] = mine;
    for (let i = 0; i < softAt.length; i += 1) this.#blend(4 * (middle + (softAt[i] as number)), soft, 4 * i);
  }

  /** Lays a soft pixel over what is there. */
  #blend(to: number, soft: Uint8ClampedArray, from: number): void {
    const data = this.#image.data;
    const over = soft[from + 3] as number;
    const under = ((data[to + 3] as number) * (255 - over)) / 255;
    const sum = over + under;
    const share = over / sum;
    for (let part = 0; part < 3; part += 1) {
      const below = data[to + part] as number;
      data[to + part] = below + ((soft[from + part] as number) - below) * share;
    }
    data[to + 3] = sum;
  }
}
