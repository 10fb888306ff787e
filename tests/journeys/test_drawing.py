"""What the map draws, read from its pixels: shape, colour, order, rivers, light and contrast."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Browser, Page

from tests.journeys.pixels import (
    MapInView,
    marks_on_map,
    picture_of,
    pin_at,
    told_places,
    tone_at,
    view_of,
    world_xy,
)
from tests.web.test_page_source import WEB

SIZE = {"width": 1400, "height": 900}
MARKS = ("outside", "inside", "dash")
THEMES = ("light", "projector")
LIKE = 40


@pytest.fixture(scope="module")
def bundle(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The map alone, bundled."""
    made = tmp_path_factory.mktemp("draw") / "draw_map.js"
    esbuild = WEB / "node_modules" / "esbuild" / "bin" / "esbuild"
    subprocess.run(
        [esbuild, WEB / "test" / "draw_map.ts", "--bundle", "--format=iife",
         "--global-name=drawn", f"--outfile={made}"],
        check=True, capture_output=True,
    )  # fmt: skip
    return made


@pytest.fixture
def page(browser: Browser, address: str, bundle: Path) -> Iterator[Page]:
    """A page that shows the map alone."""
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce", bypass_csp=True)
    page = context.new_page()
    page.goto(address)
    page.locator(".list-body [role=row]").first.wait_for()
    page.add_script_tag(path=str(bundle))
    page.evaluate("drawn.mountMap()")
    page.locator(".place-name").first.wait_for(state="attached")
    page.wait_for_timeout(200)
    yield page
    context.close()


def look(page: Page) -> MapInView:
    """Find the view by pins of a few rows far apart."""
    codes, world = told_places(page)
    rows = sorted({int(f(world[:, axis])) for axis in (0, 1) for f in (np.argmin, np.argmax)})
    pinned = []
    for row in rows:
        page.evaluate(f"drawn.hover({row})")
        pinned.append((row, *pin_at(page, codes[row])))
    page.evaluate("drawn.hover(-1)")
    return view_of(page, pinned)


def paint(page: Page, marks: list[int], steps: list[int], by_rank: list[int]) -> None:
    page.evaluate(f"drawn.paint({json.dumps(marks)}, {json.dumps(steps)}, {json.dumps(by_rank)})")


def set_theme(page: Page, theme: str) -> None:
    page.evaluate("theme => { document.documentElement.dataset.theme = theme; }", theme)
    page.wait_for_timeout(150)


def bare_ground(page: Page) -> NDArray[np.int16]:
    """Land and water alone: the map without its offtakes and the dots of towns."""
    hide = """seen => document.querySelectorAll('.leaflet-discs-pane, .leaflet-towns-pane')
      .forEach(pane => { pane.style.opacity = seen; })"""
    page.evaluate(hide, "0")
    picture = picture_of(page)
    page.evaluate(hide, "1")
    return picture


@pytest.mark.parametrize("theme", THEMES)
def test_shape_says_the_mark_and_fill_the_step(page: Page, theme: str) -> None:
    """Ring, disc and dash are told apart, and each fill is its step's, in every theme."""
    set_theme(page, theme)
    view = look(page)
    count = len(view.codes)
    marks, steps = [row % 3 for row in range(count)], [row % 5 for row in range(count)]
    by_rank = list(range(count))
    paint(page, marks, steps, by_rank)
    seen = marks_on_map(page, view, [view.codes[row] for row in by_rank])
    assert len(seen) > count / 3
    expected = {code: MARKS[marks[view.codes.index(code)]] for code in seen}
    assert seen == expected
    picture = picture_of(page)
    for code in [code for code, mark in seen.items() if mark == "inside"]:
        row = view.codes.index(code)
        tone = tone_at(picture, view, *view.xy[row])
        assert tone in (f"risk-{steps[row] + 1}", None)


def test_the_higher_ranked_lies_on_top(page: Page) -> None:
    """Where two overlap, the order given decides which is seen and picked."""
    view = look(page)
    away = np.hypot(*(view.xy[:, None] - view.xy[None]).transpose(2, 0, 1))
    np.fill_diagonal(away, np.inf)
    first, second = (int(i) for i in np.unravel_index(away.argmin(), away.shape))
    middle = (view.xy[first] + view.xy[second]) / 2
    count = len(view.codes)
    for top in (first, second):
        by_rank = [top, *(row for row in range(count) if row != top)]
        paint(page, [1] * count, [4 if row == top else 0 for row in range(count)], by_rank)
        assert tone_at(picture_of(page), view, *middle) == "risk-5"
        page.mouse.move(*middle)
        assert page.evaluate("drawn.hovered()") == top
        page.mouse.move(1, 1)


def test_pointing_finds_the_nearest_disc(page: Page) -> None:
    """On sampled places the offtake found is the nearest within reach, and none beyond it."""
    view = look(page)
    count = len(view.codes)
    paint(page, [1] * count, [2] * count, list(range(count)))
    rng = np.random.default_rng(5)
    checked = 0
    for _ in range(250):
        row = int(rng.integers(len(view.codes)))
        place = np.rint(view.xy[row] + rng.uniform(-24, 24, 2))
        away = np.hypot(*(view.xy - place).T)
        nearest, next_one = np.argsort(away)[:2]
        edge = view.radius + 1.5
        inside = (place > 4).all() and (place < [SIZE["width"] - 4, SIZE["height"] - 4]).all()
        over = page.evaluate(
            "([x, y]) => Boolean(document.elementFromPoint(x, y)?.closest('.leaflet-control'))",
            place.tolist(),
        )
        unclear = away[next_one] - away[nearest] < 2 or edge + 1 < away[nearest] < edge + 7
        if unclear or not inside or over or away[next_one] < edge + 1.5:
            continue
        page.mouse.move(*place)
        expected = int(nearest) if away[nearest] <= edge + 1 else -1
        assert page.evaluate("drawn.hovered()") == expected
        checked += 1
    assert checked > 60


def test_the_largest_river_is_drawn_at_three_zooms(page: Page) -> None:
    """Points of the reach with most flow have the colour of water at every zoom."""
    water = colour_of(page, "--water")
    reaches = page.request.get(urljoin(page.url, "/api/reaches")).json()
    row = int(np.argmax(reaches["mean_flow_m3s"]))
    lines = lines_of(reaches)
    for _ in range(3):
        view = look(page)
        ground = bare_ground(page)
        _, world = told_places(page)
        scale = np.ptp(view.xy[:, 0]) / np.ptp(world[:, 0])
        shift = view.xy[0] - world[0] * scale
        wet = [is_like(ground, at * scale + shift, water) for at in lines[row]]
        told = [each for each in wet if each is not None]
        assert not told or np.mean(told) > 0.8
        page.get_by_role("button", name="Zoom in").click()
        page.wait_for_timeout(300)


def lines_of(coded: dict[str, Any]) -> dict[int, NDArray[np.float64]]:
    """World places of the first line of each row."""
    lon, lat = np.cumsum(coded["lon"]) / 1e5, np.cumsum(coded["lat"]) / 1e5
    ends = np.cumsum(coded["points"])
    return {
        row: world_xy(lon[end - n : end], lat[end - n : end])
        for row, n, end in zip(np.cumsum(coded["row"]), coded["points"], ends, strict=True)
    }


def is_like(
    picture: NDArray[np.int16], at: NDArray[np.float64], colour: NDArray[np.float64]
) -> bool | None:
    """Whether some pixel at a place has a colour; None off the picture."""
    x, y = (int(each) for each in at)
    if not (2 <= x < picture.shape[1] - 2 and 2 <= y < picture.shape[0] - 2):
        return None
    near = picture[y - 1 : y + 2, x - 1 : x + 2]
    return bool((np.abs(near - colour).max(axis=2) < LIKE).any())


def test_lit_reaches_differ_from_each_other_in_black_only(page: Page) -> None:
    """Sources stand between bold lines, nurseries are dotted; both go when cleared."""
    reaches = page.request.get(urljoin(page.url, "/api/reaches")).json()
    row = int(np.argmax(reaches["mean_flow_m3s"]))
    lit = [1.0 if each == row else 0.0 for each in range(len(reaches["reach_id"]))]
    view = look(page)
    plain = bare_ground(page)
    page.evaluate(f"drawn.light({lit}, null)")
    sources = bare_ground(page)
    page.evaluate(f"drawn.light(null, {lit})")
    nurseries = bare_ground(page)
    page.evaluate("drawn.light(null, null)")
    assert (bare_ground(page) == plain).all()
    shown = (sources != plain).any(axis=2)
    grey = [picture.mean(axis=2)[shown] for picture in (sources, nurseries)]
    assert shown.sum() > 20
    assert np.abs(grey[0] - grey[1]).mean() > 25
    assert view.radius > 0


@pytest.mark.parametrize("theme", THEMES)
def test_outlines_and_words_stand_out(page: Page, theme: str) -> None:
    """Words reach 4.5:1, on the projector 7:1; outlines 3:1 on every pixel of ground and water."""
    set_theme(page, theme)
    least = 7.0 if theme == "projector" else 4.5
    for ink in ("--ink", "--ink-soft"):
        for paper in ("--paper", "--paper-deep"):
            found = contrast(colour_of(page, ink), colour_of(page, paper))
            assert found >= least, f"{ink} on {paper}: {found:.2f}"
    view = look(page)
    ground = bare_ground(page)
    edge = colour_of(page, "--disc-edge")
    for x, y in view.xy.astype(int):
        around = ground[max(0, y - 9) : y + 10, max(0, x - 9) : x + 10].reshape(-1, 3)
        assert min(contrast(edge, pixel) for pixel in np.unique(around, axis=0)) >= 3.0
    assert contrast(edge, colour_of(page, "--water")) >= 3.0


def colour_of(page: Page, name: str) -> NDArray[np.float64]:
    told = page.evaluate(
        """name => { const pen = document.createElement('canvas').getContext('2d');
        pen.fillStyle = getComputedStyle(document.querySelector('.map')).getPropertyValue(name);
        pen.fillRect(0, 0, 1, 1);
        return [...pen.getImageData(0, 0, 1, 1).data].slice(0, 3); }""",
        name,
    )
    return np.array(told, float)


def contrast(one: NDArray[Any], other: NDArray[Any]) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: NDArray[Any]) -> float:
    parts = np.asarray(colour, float) / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])
