// A photo is made smaller on the phone and loses all that a camera writes beside it; where it was taken is
// written into it only where that is allowed.

export const MOST_SIDE_PX = 1_600;
const MOST_BYTES = 1_400_000;
/** Tried in turn until it is small enough. */
const TRIES: readonly (readonly [side: number, quality: number])[] = [
  [MOST_SIDE_PX, 0.85],
  [MOST_SIDE_PX, 0.7],
  [1_200, 0.7],
  [900, 0.6],
];

export interface Place {
  readonly lat: number;
  readonly lon: number;
}

export async function shrink(file: Blob, place: Place | null): Promise<ArrayBuffer> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  try {
    for (const [side, quality] of TRIES) {
      const jpeg = await drawn(picture, side, quality);
      if (jpeg.size <= MOST_BYTES) return withPlace(await jpeg.arrayBuffer(), place);
    }
  } finally {
    picture.close();
  }
  throw new Error("The photo cannot be made small enough.");
}

function drawn(picture: ImageBitmap, side: number, quality: number): Promise<Blob> {
  const scale = Math.min(1, side / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("The photo cannot be read."))), "image/jpeg", quality);
  });
}

/** A small picture of a photo, drawn, since the page loads no images from memory. */
export async function thumbnail(jpeg: ArrayBuffer, side: number): Promise<HTMLCanvasElement> {
  const picture = await createImageBitmap(new Blob([jpeg], { type: "image/jpeg" }), { imageOrientation: "from-image" });
  const canvas = document.createElement("canvas");
  const scale = side / Math.max(picture.width, picture.height);
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas;
}

const START_BYTES = 2;

/** Puts an Exif segment with the place behind the picture's first marker (CIPA DC-008, 4.6.6). */
export function withPlace(jpeg: ArrayBuffer, place: Place | null): ArrayBuffer {
  if (!place) return jpeg;
  const said = exifOf(place);
  const both = new Uint8Array(jpeg.byteLength + said.length);
  both.set(new Uint8Array(jpeg, 0, START_BYTES));
  both.set(said, START_BYTES);
  both.set(new Uint8Array(jpeg, START_BYTES), START_BYTES + said.length);
  return both.buffer;
}

const [ASCII, LONG, RATIONAL] = [2, 4, 5];
const TOP_AT = 8;
const GPS_AT = TOP_AT + 2 + 12 + 4;
const BESIDE = GPS_AT + 2 + 4 * 12 + 4;
const ARC_BYTES = 24;

function exifOf({ lat, lon }: Place): Uint8Array {
  const tiff = new DataView(new ArrayBuffer(BESIDE + 2 * ARC_BYTES));
  tiff.setUint32(0, 0x4d4d002a);
  tiff.setUint32(4, TOP_AT);
  directory(tiff, TOP_AT, [[0x8825, LONG, 1, GPS_AT]]);
  const letter = (sign: string): number => sign.charCodeAt(0) << 24;
  directory(tiff, GPS_AT, [
    [1, ASCII, 2, letter(lat < 0 ? "S" : "N")],
    [2, RATIONAL, 3, BESIDE],
    [3, ASCII, 2, letter(lon < 0 ? "W" : "E")],
    [4, RATIONAL, 3, BESIDE + ARC_BYTES],
  ]);
  arc(tiff, BESIDE, Math.abs(lat));
  arc(tiff, BESIDE + ARC_BYTES, Math.abs(lon));
  const head = [0xff, 0xe1, 0, 0, ...[..."Exif"].map((each) => each.charCodeAt(0)), 0, 0];
  const all = new Uint8Array(head.length + tiff.byteLength);
  all.set(head);
  all.set(new Uint8Array(tiff.buffer), head.length);
  new DataView(all.buffer).setUint16(2, all.length - START_BYTES);
  return all;
}

function directory(tiff: DataView, at: number, entries: readonly (readonly [tag: number, kind: number, count: number, value: number])[]): void {
  tiff.setUint16(at, entries.length);
  entries.forEach(([tag, kind, count, value], i) => {
    const entry = at + 2 + 12 * i;
    tiff.setUint16(entry, tag);
    tiff.setUint16(entry + 2, kind);
    tiff.setUint32(entry + 4, count);
    tiff.setUint32(entry + 8, value);
  });
}

/** Whole degrees, whole minutes, seconds in hundredths. */
function arc(tiff: DataView, at: number, degrees: number): void {
  const hundredths = Math.round(degrees * 360_000);
  const parts = [Math.floor(hundredths / 360_000), 1, Math.floor(hundredths / 6_000) % 60, 1, hundredths % 6_000, 100];
  parts.forEach((part, i) => tiff.setUint32(at + 4 * i, part));
}
