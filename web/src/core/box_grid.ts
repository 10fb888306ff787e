// Which of many boxes touch a given one? A grid made once: each cell lists the boxes that lie in it.

export interface Box {
  readonly west: number;
  readonly north: number;
  readonly east: number;
  readonly south: number;
}

/** About so many boxes share a cell. */
const BOXES_PER_CELL = 4;

export class BoxGrid {
  readonly #boxes: readonly Box[];
  readonly #all: Box;
  readonly #side: number;
  readonly #cells: number[][];
  readonly #met: Uint32Array;
  #asked = 0;

  constructor(boxes: readonly Box[]) {
    this.#boxes = boxes;
    this.#all = around(boxes);
    this.#side = Math.max(1, Math.ceil(Math.sqrt(boxes.length / BOXES_PER_CELL)));
    this.#cells = Array.from({ length: this.#side ** 2 }, () => []);
    this.#met = new Uint32Array(boxes.length);
    boxes.forEach((box, i) => {
      for (const cell of this.#cellsOf(box)) this.#cells[cell]?.push(i);
    });
  }

  /** Positions of the boxes that touch, each once, in no particular order. */
  touching(asked: Box): number[] {
    this.#asked += 1;
    const found: number[] = [];
    for (const cell of this.#cellsOf(asked)) {
      for (const i of this.#cells[cell] ?? []) {
        const box = this.#boxes[i];
        if (this.#met[i] === this.#asked || !box) continue;
        this.#met[i] = this.#asked;
        if (touch(box, asked)) found.push(i);
      }
    }
    return found;
  }

  *#cellsOf(box: Box): Generator<number> {
    const { west, north, east, south } = this.#all;
    const column = (x: number): number => this.#step((x - west) / (east - west || 1));
    const row = (y: number): number => this.#step((y - north) / (south - north || 1));
    for (let y = row(box.north); y <= row(box.south); y += 1) {
      for (let x = column(box.west); x <= column(box.east); x += 1) yield y * this.#side + x;
    }
  }

  #step(share: number): number {
    return Math.min(this.#side - 1, Math.max(0, Math.floor(share * this.#side)));
  }
}

function touch(a: Box, b: Box): boolean {
  return a.east >= b.west && a.west <= b.east && a.south >= b.north && a.north <= b.south;
}

function around(boxes: readonly Box[]): Box {
  let [west, north, east, south] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const box of boxes) {
    west = Math.min(west, box.west);
    north = Math.min(north, box.north);
    east = Math.max(east, box.east);
    south = Math.max(south, box.south);
  }
  return { west, north, east, south };
}
