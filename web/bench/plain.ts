// What the bench compares with: the same catchment as a plain Leaflet page would show it, one SVG
// marker an offtake, one polyline a reach, one table row an offtake. Never part of the page.
import * as L from "leaflet";
import { decodeLines } from "../src/core/lines.ts";
import { degrees } from "../src/core/mercator.ts";
import { riskStep } from "../src/core/risk.ts";
import { riverWidthPx } from "../src/core/rivers.ts";
import type { CatchmentFacts, Offtakes, Reaches } from "../src/wire/contract.ts";

const RISK = ["#fdf1d3", "#f7c873", "#e78d3f", "#bb4a2c", "#6a1b2c"];
const HEADS = ["Rank", "Code", "Score", "Risk", "Overlap", "Cost", "Gain"];
const SHARE_INSIDE = 0.1;

const ask = async <Answer>(address: string): Promise<Answer> => (await (await fetch(address)).json()) as Answer;
const [facts, offtakes, reaches] = await Promise.all([
  ask<CatchmentFacts>("/api/catchment"),
  ask<Offtakes>("/api/offtakes"),
  ask<Reaches>("/api/reaches"),
]);

const [west, south, east, north] = facts.bounds;
const map = L.map("map", { zoomSnap: 0.1, preferCanvas: false }).fitBounds([[south, west], [north, east]]);
const largest = Math.max(...reaches.mean_flow_m3s);
for (const { row, xy } of decodeLines(reaches)) {
  const places: L.LatLngTuple[] = [];
  for (let i = 0; i < xy.length; i += 2) places.push(placeOf(xy[i] ?? 0, xy[i + 1] ?? 0));
  L.polyline(places, { color: "#3f87a6", weight: riverWidthPx(reaches.mean_flow_m3s[row] ?? 0, largest) }).addTo(map);
}
const markers = offtakes.offtake_id.map((code, row) =>
  L.circleMarker([degrees(offtakes.lat[row] ?? 0), degrees(offtakes.lon[row] ?? 0)], {
    radius: 5,
    color: "#1d1714",
    weight: 1.3,
    fillOpacity: 1,
  })
    .bindTooltip(code)
    .addTo(map),
);

const body = document.querySelector("tbody") as HTMLTableSectionElement;
const head = document.querySelector("thead") as HTMLTableSectionElement;
head.insertRow().append(...HEADS.map((words) => cell("th", words)));
const rows = offtakes.offtake_id.map((code) => {
  const row = body.insertRow();
  row.append(...HEADS.map((_, i) => cell("td", i === 1 ? code : "")));
  return row;
});
const slider = document.querySelector("input") as HTMLInputElement;
slider.addEventListener("input", () => rank(Number(slider.value)));
rank(Number(slider.value));

/** Scores, orders, recolours and lists everything for a weight of risk. */
function rank(weight: number): void {
  const rest = 1000 - weight;
  const score = offtakes.risk.map((risk, row) => weight * risk + rest * (offtakes.overlap[row] ?? 0));
  const order = score.map((_, row) => row).sort((a, b) => (score[b] ?? 0) - (score[a] ?? 0) || a - b);
  order.forEach((row, place) => {
    const inside = place < SHARE_INSIDE * order.length;
    const fillColor = RISK[riskStep(offtakes.risk[row] ?? 0)] ?? "";
    markers[row]?.setStyle({ fillColor, fillOpacity: inside ? 1 : 0.2, weight: inside ? 2 : 1.3 });
    const line = rows[row];
    if (!line) return;
    [place + 1, offtakes.offtake_id[row], (score[row] ?? 0) / 1e9, (offtakes.risk[row] ?? 0) / 1e6,
      (offtakes.overlap[row] ?? 0) / 1e4, offtakes.capital?.[row], (offtakes.gain_share[row] ?? 0) / 1e4,
    ].forEach((value, i) => {
      const into = line.cells[i];
      if (into) into.textContent = typeof value === "number" ? String(Math.round(value * 1000) / 1000) : (value ?? "");
    });
  });
  body.append(...order.map((row) => rows[row] as HTMLTableRowElement));
}

function cell(name: "td" | "th", words: string): HTMLElement {
  const made = document.createElement(name);
  made.textContent = words;
  return made;
}

function placeOf(x: number, y: number): L.LatLngTuple {
  return [(360 / Math.PI) * Math.atan(Math.exp((0.5 - y) * 2 * Math.PI)) - 90, x * 360 - 180];
}
