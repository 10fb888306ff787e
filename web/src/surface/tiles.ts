// Pictures of the ground in square tiles, drawn once for a zoom and kept; whatever the map's zoom, a
// tile is drawn for just that zoom and the screen's own pixels, so lines are crisp and true in width.
import * as L from "leaflet";
import type { Paint } from "./sheet.ts";

const TILE_PX = 512;
const KEPT = 60;
const AHEAD_PX = 160;
/** The view comes first; what lies ahead is drawn once the map has been at rest for a moment. */
const AHEAD_AFTER_MS = 150;

export class Tiles extends L.Layer {
  readonly #box: HTMLElement;
  readonly #paint: Paint;
  readonly #paneName: string;
  /** Drawn tiles by zoom and place, the longest unused first. */
  readonly #kept = new Map<string, HTMLCanvasElement>();
  #origin = L.point(0, 0);
  #zoom = NaN;
  #ahead = 0;

  constructor(paneName: string, paint: Paint) {
    super();
    this.#paneName = paneName;
    this.#paint = paint;
    this.#box = document.createElement("div");
    this.#box.className = "tiles leaflet-zoom-animated";
    this.#box.setAttribute("aria-hidden", "true");
  }

  override onAdd(map: L.Map): this {
    map.getPane(this.#paneName)?.appendChild(this.#box);
    this.#coverView();
    return this;
  }

  override onRemove(): this {
    clearTimeout(this.#ahead);
    this.#kept.clear();
    this.#box.replaceChildren();
    this.#box.remove();
    return this;
  }

  override getEvents(): { [name: string]: L.LeafletEventHandlerFn } {
    return {
      move: () => {
        if (this._map.getZoom() === this.#zoom) this.#cover(0);
      },
      moveend: () => this.#coverView(),
      viewreset: () => this.#coverView(),
      resize: () => this.#coverView(),
      zoom: () => this.#stretch(this._map.getCenter(), this._map.getZoom()),
      zoomanim: (event) => {
        const { center, zoom } = event as L.ZoomAnimEvent;
        this.#stretch(center, zoom);
      },
    };
  }

  /** Draws everything anew, as with other colours. */
  repaint(): void {
    this.#kept.clear();
    if (this._map) this.#coverView();
  }

  #coverView(): void {
    this.#cover(0);
    clearTimeout(this.#ahead);
    this.#ahead = window.setTimeout(() => this.#cover(AHEAD_PX), AHEAD_AFTER_MS);
  }

  /** Sees to it that tiles cover the view and some pixels ahead. */
  #cover(ahead: number): void {
    const map = this._map;
    const origin = map.getPixelOrigin();
    const ratio = window.devicePixelRatio || 1;
    [this.#zoom, this.#origin] = [map.getZoom(), origin];
    L.DomUtil.setTransform(this.#box, L.point(0, 0), 1);
    const from = map.containerPointToLayerPoint([-ahead, -ahead]).add(origin).divideBy(TILE_PX).floor();
    const to = map.containerPointToLayerPoint(map.getSize().add([ahead, ahead])).add(origin).divideBy(TILE_PX).floor();
    const wanted = new Set<Node>();
    for (let y = from.y; y <= to.y; y += 1) {
      for (let x = from.x; x <= to.x; x += 1) {
        const tile = this.#tile(`${this.#zoom} ${ratio} ${x} ${y}`, L.point(x, y), ratio);
        L.DomUtil.setPosition(tile, L.point(x, y).multiplyBy(TILE_PX).subtract(origin));
        if (tile.parentNode !== this.#box) this.#box.append(tile);
        wanted.add(tile);
      }
    }
    for (const tile of [...this.#box.childNodes]) if (!wanted.has(tile)) tile.remove();
    for (const key of this.#kept.keys()) {
      if (this.#kept.size <= Math.max(KEPT, wanted.size)) break;
      this.#kept.delete(key);
    }
  }

  #tile(key: string, at: L.Point, ratio: number): HTMLCanvasElement {
    const kept = this.#kept.get(key);
    const tile = kept ?? this.#draw(at, ratio);
    this.#kept.delete(key);
    this.#kept.set(key, tile);
    return tile;
  }

  #draw(at: L.Point, ratio: number): HTMLCanvasElement {
    const tile = document.createElement("canvas");
    tile.className = "tile";
    tile.width = tile.height = Math.ceil(TILE_PX * ratio);
    tile.style.width = tile.style.height = `${tile.width / ratio}px`;
    const pen = tile.getContext("2d");
    if (!pen) throw new Error("this browser gives no canvas to draw on");
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    const size = this._map.options.crs?.scale(this.#zoom) ?? 1;
    const corner = at.multiplyBy(TILE_PX);
    this.#paint(pen, {
      size,
      offsetX: -corner.x,
      offsetY: -corner.y,
      zoom: this.#zoom,
      ratio,
      west: corner.x / size,
      north: corner.y / size,
      east: (corner.x + TILE_PX) / size,
      south: (corner.y + TILE_PX) / size,
    });
    return tile;
  }

  /** Follows a zoom under way. */
  #stretch(center: L.LatLng, zoom: number): void {
    const map = this._map;
    const scale = map.getZoomScale(zoom, this.#zoom);
    const pane = map.getPane("mapPane");
    const moved = pane ? L.DomUtil.getPosition(pane) : L.point(0, 0);
    const newOrigin = map.project(center, zoom).subtract(map.getSize().divideBy(2)).add(moved).round();
    L.DomUtil.setTransform(this.#box, this.#origin.multiplyBy(scale).subtract(newOrigin), scale);
  }
}
