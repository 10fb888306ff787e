// A canvas sheet that lies on the map: painted when the map comes to rest, moved and stretched with
// it in between. What is painted on it is the caller's affair.
import * as L from "leaflet";

const PADDING_SHARE = 0.3;
/** Share of the padding that has to be left on every side when the map comes to rest. */
const SPARE_AT_REST = 0.5;

/** Where the world lies on the sheet: sheet px = world * size + offset. */
export interface Placement {
  readonly size: number;
  readonly offsetX: number;
  readonly offsetY: number;
  readonly zoom: number;
  /** Screen pixels a CSS pixel. */
  readonly ratio: number;
  /** Box of the sheet in world coordinates. */
  readonly west: number;
  readonly north: number;
  readonly east: number;
  readonly south: number;
}

export type Paint = (pen: CanvasRenderingContext2D, at: Placement) => void;

export class Sheet extends L.Layer {
  readonly #canvas: HTMLCanvasElement;
  readonly #paint: Paint;
  readonly #paneName: string;
  #topLeft = L.point(0, 0);
  #center = L.latLng(0, 0);
  #zoom = 0;

  constructor(paneName: string, paint: Paint) {
    super();
    this.#paneName = paneName;
    this.#paint = paint;
    this.#canvas = document.createElement("canvas");
    this.#canvas.className = "sheet leaflet-zoom-animated";
    this.#canvas.setAttribute("aria-hidden", "true");
  }

  override onAdd(map: L.Map): this {
    map.getPane(this.#paneName)?.appendChild(this.#canvas);
    this.repaint();
    return this;
  }

  override onRemove(): this {
    this.#canvas.remove();
    return this;
  }

  override getEvents(): { [name: string]: L.LeafletEventHandlerFn } {
    return {
      moveend: () => this.#follow(SPARE_AT_REST),
      move: () => this.#follow(0),
      viewreset: () => this.repaint(),
      resize: () => this.repaint(),
      zoom: () => this.#stretch(this._map.getCenter(), this._map.getZoom()),
      zoomanim: (event) => {
        const { center, zoom } = event as L.ZoomAnimEvent;
        this.#stretch(center, zoom);
      },
    };
  }

  /** After a move: draws anew only where the sheet no longer covers the view, `spare` included. */
  #follow(spare: number): void {
    const map = this._map;
    if (map.getZoom() !== this.#zoom) {
      if (spare > 0) this.repaint();
      return;
    }
    const view = map.getSize();
    const spared = view.multiplyBy(PADDING_SHARE * spare);
    const corner = map.containerPointToLayerPoint([0, 0]).subtract(this.#topLeft).subtract(spared);
    const beyond = view.multiplyBy(1 + 2 * PADDING_SHARE).subtract(view).subtract(corner).subtract(spared.multiplyBy(2));
    if (Math.min(corner.x, corner.y, beyond.x, beyond.y) < -1) this.repaint();
  }

  /** Draws everything anew for the map's present view. */
  repaint(): void {
    const map = this._map;
    if (!map) return;
    const view = map.getSize();
    const margin = view.multiplyBy(PADDING_SHARE).round();
    this.#topLeft = map.containerPointToLayerPoint(margin.multiplyBy(-1)).round();
    this.#center = map.getCenter();
    this.#zoom = map.getZoom();
    const size = view.add(margin.multiplyBy(2));
    const pen = this.#fit(size);
    L.DomUtil.setPosition(this.#canvas, this.#topLeft);
    const worldSize = map.options.crs?.scale(this.#zoom) ?? 1;
    const origin = map.getPixelOrigin().add(this.#topLeft);
    pen.clearRect(0, 0, size.x, size.y);
    this.#paint(pen, {
      size: worldSize,
      offsetX: -origin.x,
      offsetY: -origin.y,
      zoom: this.#zoom,
      ratio: window.devicePixelRatio || 1,
      west: origin.x / worldSize,
      north: origin.y / worldSize,
      east: (origin.x + size.x) / worldSize,
      south: (origin.y + size.y) / worldSize,
    });
  }

  /** Sizes the canvas to the screen's own pixels and gives its pen in CSS pixels. */
  #fit(size: L.Point): CanvasRenderingContext2D {
    const ratio = window.devicePixelRatio || 1;
    const [width, height] = [Math.round(size.x * ratio), Math.round(size.y * ratio)];
    if (this.#canvas.width !== width || this.#canvas.height !== height) {
      this.#canvas.width = width;
      this.#canvas.height = height;
      this.#canvas.style.width = `${size.x}px`;
      this.#canvas.style.height = `${size.y}px`;
    }
    const pen = this.#canvas.getContext("2d");
    if (!pen) throw new Error("this browser gives no canvas to draw on");
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    return pen;
  }

  /** Follows a zoom under way: the sheet's corner goes where the new view will have it. */
  #stretch(center: L.LatLng, zoom: number): void {
    const map = this._map;
    const scale = map.getZoomScale(zoom, this.#zoom);
    const pane = map.getPane("mapPane");
    const moved = pane ? L.DomUtil.getPosition(pane) : L.point(0, 0);
    const half = map.getSize().divideBy(2);
    const newOrigin = map.project(center, zoom).subtract(half).add(moved).round();
    const oldCorner = map.getPixelOrigin().add(this.#topLeft);
    const corner = this.#zoom === map.getZoom()
      ? map.project(map.unproject(oldCorner, this.#zoom), zoom)
      : map.project(this.#center, zoom).subtract(this.#halfSheet().multiplyBy(scale));
    L.DomUtil.setTransform(this.#canvas, corner.subtract(newOrigin), scale);
  }

  #halfSheet(): L.Point {
    const view = this._map.getSize();
    return view.divideBy(2).add(view.multiplyBy(PADDING_SHARE).round());
  }
}
