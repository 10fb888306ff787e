// Where on the square world of web Mercator a place lies, 0..1 from the north-west corner.

const STEPS_PER_DEGREE = 100_000;

export function worldX(lon: number): number {
  return (lon + 180) / 360;
}

export function worldY(lat: number): number {
  const angle = (lat * Math.PI) / 180;
  return 0.5 - Math.log(Math.tan(Math.PI / 4 + angle / 2)) / (2 * Math.PI);
}

/** Whole 1e-5 degrees to degrees. */
export function degrees(whole: number): number {
  return whole / STEPS_PER_DEGREE;
}
