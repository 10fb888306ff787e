// How wide is a river drawn? Channel width goes with the root of flow (hydraulic geometry), and the
// drawing follows it, so that a reach of four times the flow is twice as wide.

const LEAST_PX = 0.9;
const MOST_PX = 6.5;

export function riverWidthPx(flowM3s: number, largestM3s: number): number {
  if (!(largestM3s > 0)) return LEAST_PX;
  return LEAST_PX + (MOST_PX - LEAST_PX) * Math.sqrt(Math.max(0, flowM3s) / largestM3s);
}
