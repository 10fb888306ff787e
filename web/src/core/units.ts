// Rates of flow in the unit that was chosen; what is stored stays in m³/s.

export type Unit = "ML/d" | "L/s" | "m3/s" | "cfs";

const M3S_IN_ONE: Readonly<Record<Unit, number>> = {
  "ML/d": 1000 / 86_400,
  "L/s": 0.001,
  "m3/s": 1,
  cfs: 0.3048 ** 3,
};

export const UNITS: readonly Unit[] = ["ML/d", "L/s", "m3/s", "cfs"];

export function inUnit(flowM3s: number, unit: Unit): number {
  return flowM3s / M3S_IN_ONE[unit];
}

/** A unit as it is written: "m³/s". */
export function unitSign(unit: Unit): string {
  return unit.replace("m3", "m³");
}
