"""What does the map show? Read from its pixels, as an eye would: which offtakes are drawn inside.

The view is found from the signs that stand where rows are pointed at; everything else is read from
a picture of the map, names and controls left out.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal
from urllib.parse import urljoin

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Page

Mark = Literal["inside", "outside", "dash"]
ROWS = ".list-body [role=row]"
TILE_PX = 256
ZOOM_SNAP = 0.1
TONES = ("disc-hole", "disc-edge", "risk-1", "risk-2", "risk-3", "risk-4", "risk-5")
FIRST_RISK = TONES.index("risk-1")
NEAR = 30
PINS = 5
CLEAR_PX = 3.2
FEWEST = 3
OVER_THE_MAP = (
    ".leaflet-names-pane, .leaflet-pins-pane, .leaflet-control-container, .card, .partial"
)
SHOW_BARE = """([over, seen]) => document.querySelectorAll(over).forEach(
  each => { each.style.visibility = seen ? '' : 'hidden'; })"""


@dataclass(frozen=True)
class MapInView:
    """Where the offtakes lie on the map as it stands.

    Attributes
    ----------
    codes : of the offtakes in the service's order.
    xy : (offtakes, 2) middles in CSS pixels from the map's corner.
    radius : of a disc, CSS pixels.
    size : width and height of the map, CSS pixels.
    ratio : screen pixels a CSS pixel.
    tones : colours of the offtakes by name.
    """

    codes: list[str]
    xy: NDArray[np.float64]
    radius: float
    size: tuple[float, float]
    ratio: float
    tones: dict[str, tuple[int, int, int]] = field(default_factory=dict)


def find_view(page: Page) -> MapInView:
    """Find the view from the pins of a few rows; hovers them and takes the pointer away again.

    Call again after the map moved or the page changed its size; not after a repaint.
    """
    viewer = page.evaluate("new URLSearchParams(location.search).get('as')")
    codes, _ = told_places(page, viewer)
    pinned = []
    for place in range(min(PINS, page.locator(ROWS).count())):
        row = page.locator(ROWS).nth(place)
        code = row.locator(".cell-code").inner_text().split()[0]
        row.hover()
        pinned.append((codes.index(code), *pin_at(page, code)))
    page.mouse.move(0, 0)
    return view_of(page, pinned, viewer)


def told_places(page: Page, viewer: str | None = None) -> tuple[list[str], NDArray[np.float64]]:
    """Codes of the offtakes and where they lie on the world, as the service says."""
    query = f"?as={viewer}" if viewer else ""
    told = page.request.get(urljoin(page.url, f"/api/offtakes{query}")).json()
    return told["offtake_id"], world_xy(np.array(told["lon"]) / 1e5, np.array(told["lat"]) / 1e5)


def pin_at(page: Page, code: str) -> tuple[float, float, float]:
    """Middle of the pin of a code on the page, and the radius of its disc."""
    ring = page.locator(f".pin:has(.pin-code:text-is('{code}')) .pin-ring").first
    box = ring.bounding_box()
    assert box is not None
    width = ring.locator(".disc").evaluate("d => parseFloat(d.style.width)")
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, (width - 1) / 2


def view_of(
    page: Page, pinned: Sequence[tuple[int, float, float, float]], viewer: str | None = None
) -> MapInView:
    """Work the view out from rows whose pins were seen."""
    codes, world = told_places(page, viewer)
    box = page.locator(".map").bounding_box()
    assert box is not None
    rows = [row for row, *_ in pinned]
    seen = np.array([[x - box["x"], y - box["y"]] for _, x, y, _ in pinned])
    scale = scale_of(world[rows], seen)
    offsets = seen - world[rows] * scale
    offset = (offsets.min(axis=0) + offsets.max(axis=0)) / 2
    return MapInView(
        codes,
        world * scale + offset,
        pinned[0][3],
        (box["width"], box["height"]),
        page.evaluate("devicePixelRatio"),
        tones_of(page),
    )


def world_xy(lon: NDArray[np.float64], lat: NDArray[np.float64]) -> NDArray[np.float64]:
    """(n, 2) on the square world of web Mercator, 0..1 from the north-west corner."""
    y = 0.5 - np.log(np.tan(np.pi / 4 + np.radians(lat) / 2)) / (2 * np.pi)
    return np.column_stack([(lon + 180) / 360, y])


def scale_of(world: NDArray[np.float64], seen: NDArray[np.float64]) -> float:
    """CSS pixels the world is wide; the map's zooms are whole tenths."""
    spread = np.ptp(world, axis=0)
    axis = int(np.argmax(spread))
    rough = float(np.ptp(seen[:, axis]) / spread[axis])
    zoom = round(math.log2(rough / TILE_PX) / ZOOM_SNAP) * ZOOM_SNAP
    return float(TILE_PX * 2**zoom)


def tones_of(page: Page) -> dict[str, tuple[int, int, int]]:
    """Colours of the offtakes in the present theme."""
    told = page.evaluate(
        """names => { const pen = document.createElement('canvas')
          .getContext('2d', { willReadFrequently: true });
        const style = getComputedStyle(document.querySelector('.map'));
        return names.map(name => {
          pen.fillStyle = style.getPropertyValue('--' + name);
          pen.fillRect(0, 0, 1, 1);
          return [...pen.getImageData(0, 0, 1, 1).data].slice(0, 3); }); }""",
        list(TONES),
    )
    return {name: (r, g, b) for name, (r, g, b) in zip(TONES, told, strict=True)}


def picture_of(page: Page) -> NDArray[np.int16]:
    """(height, width, 3) of the map in screen pixels, without names and controls."""
    page.evaluate(SHOW_BARE, [OVER_THE_MAP, False])
    box = page.locator(".map").bounding_box()
    assert box is not None
    png = page.screenshot(
        clip={
            "x": round(box["x"]),
            "y": round(box["y"]),
            "width": round(box["width"]),
            "height": round(box["height"]),
        }
    )
    page.evaluate(SHOW_BARE, [OVER_THE_MAP, True])
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), np.int16)


def marks_on_map(
    page: Page, view: MapInView | None = None, by_rank: Sequence[str] | None = None
) -> dict[str, Mark]:
    """How each offtake is drawn, by code; those off the view or under others are left out.

    With the codes in order of rank, first first, what lies under another is known, so that more
    can be read; without, the middle has to be free of every other.
    """
    view = view or find_view(page)
    picture = picture_of(page)
    place = {code: i for i, code in enumerate(by_rank)} if by_rank else None
    height = np.array([-place[code] if place else 0 for code in view.codes])
    found: dict[str, Mark] = {}
    for row, code in enumerate(view.codes):
        over = height > height[row] if place else np.arange(len(height)) != row
        mark = _mark_at(picture, view, row, view.xy[over])
        if mark:
            found[code] = mark
    return found


def inside_on_map(
    page: Page, view: MapInView | None = None, by_rank: Sequence[str] | None = None
) -> set[str]:
    """Codes drawn inside the money on the map, of those an eye can see (`marks_on_map`)."""
    marks = marks_on_map(page, view, by_rank)
    return {code for code, mark in marks.items() if mark == "inside"}


def tone_at(picture: NDArray[np.int16], view: MapInView, x: float, y: float) -> str | None:
    """Name of the tone at a place of the map, None where it is none of an offtake's."""
    column, row = int(x * view.ratio), int(y * view.ratio)
    found = int(tones_seen(picture[row : row + 1, column : column + 1], view)[0, 0])
    return TONES[found] if found >= 0 else None


def tones_seen(picture: NDArray[np.int16], view: MapInView) -> NDArray[np.int8]:
    """(height, width) position in `TONES` of the tone at each screen pixel, -1 for another."""
    away = np.stack([np.abs(picture - view.tones[name]).max(axis=2) for name in TONES])
    nearest = away.argmin(axis=0).astype(np.int8)
    return np.where(away.min(axis=0) < NEAR, nearest, np.int8(-1))


def _mark_at(
    picture: NDArray[np.int16], view: MapInView, row: int, over: NDArray[np.float64]
) -> Mark | None:
    """Read from free pixels: a hole in the middle, or a fill that is high, a core, or low."""
    (x, y), radius = view.xy[row], view.radius
    if not (radius < x < view.size[0] - radius and radius < y < view.size[1] - radius):
        return None
    reach = math.ceil(radius * view.ratio)
    top, left = int(y * view.ratio) - reach, int(x * view.ratio) - reach
    window = tones_seen(
        picture[max(0, top) : top + 2 * reach + 1, max(0, left) : left + 2 * reach + 1], view
    )
    rows, columns = np.indices(window.shape)
    dx = (columns + max(0, left) + 0.5) / view.ratio - x
    dy = (rows + max(0, top) + 0.5) / view.ratio - y
    free = np.ones(window.shape, bool)
    for ox, oy in over[np.abs(over - [x, y]).max(axis=1) < 3 * radius] - [x, y]:
        free &= np.hypot(dx - ox, dy - oy) > radius + CLEAR_PX
    away = np.hypot(dx, dy)
    middle = window[free & (away <= max(0.3 * radius, 1.2))]
    middle = middle[middle >= 0]
    if not len(middle):
        return None
    if np.mean(middle == TONES.index("disc-hole")) >= 0.5:
        return "outside"
    high = window[
        free & (away > 0.6 * radius) & (away < 0.8 * radius) & (np.abs(dx) < 0.5 * radius)
    ]
    if len(high) < FEWEST:
        return None
    own = np.bincount(middle).argmax()  # what peeks out from below has mostly another tone
    if own >= FIRST_RISK and np.mean(high == own) >= 0.5:
        return "inside"
    if own == TONES.index("disc-edge"):  # the dot of a close call inside, in a full disc
        around = window[free & (away > 0.42 * radius) & (away < 0.62 * radius)]
        around = around[around >= 0]
        full = len(around) >= FEWEST and np.mean(around >= FIRST_RISK) >= 0.5
        return "inside" if full else None
    return "dash"
