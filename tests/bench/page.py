"""How fast is the page, against a plain Leaflet page showing the same catchment, in one run?

10,000 offtakes on 5,000 reaches, served by our service to both, in one headless Chromium. The plain
page (`web/bench/plain.ts`) has an SVG marker an offtake, a polyline a reach, a row an offtake. Only
ratios judge: first draw, slider tick until the next frame is made, worst frame of a pan. The
data's size on the wire is measured too.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

import httpx
import uvicorn
from playwright.sync_api import Browser, Page, sync_playwright
from starlette.staticfiles import StaticFiles

from slackwater.api.app import create_app
from slackwater.api.listening import address_of, listen
from slackwater.desk.map_view import MapView
from slackwater.desk.showing import AsRead
from tests.bench.busy import calibrate, why_not_judged
from tests.bench.wide import wide_view
from tests.conftest import CHROMIUM, QUIET

WEB = Path(__file__).resolve().parents[2] / "web"
SIZE = {"width": 1440, "height": 900}
FLOORS = {"first draw": 4.0, "slider tick": 7.0, "worst pan frame": 3.5}
MOST_DATA_KB = 500
ANSWERS = ("catchment", "offtakes", "reaches?detail=overview", "land", "roads", "places")
ROUNDS = 3
TICKS = 12
PAN_PX = 420
OURS_DRAWN = (
    "document.querySelector('.leaflet-discs-pane canvas') !== null"
    " && document.querySelector('.list-body [role=row]') !== null"
)
PLAIN_DRAWN = "document.querySelectorAll('tbody tr').length >= 10000"
ANSWERED = """Math.max(...performance.getEntriesByType('resource')
  .filter(({ name }) => /api.(catchment|offtakes|reaches)/.test(name))
  .map(({ responseEnd }) => responseEnd))"""
WATCH = """
const made = (then) => requestAnimationFrame(() => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => then(performance.now());
  port2.postMessage(0);
});
window.bench = { drawnAt: null, ticks: [], frames: [] };
const look = () => {
  if (DRAWN) made((now) => { bench.drawnAt = now; });
  else requestAnimationFrame(look);
};
requestAnimationFrame(look);
addEventListener('keydown', ({ timeStamp }) =>
  made((now) => bench.ticks.push(now - timeStamp)), true);
let before = 0;
const frame = (now) => {
  if (before) bench.frames.push(now - before);
  before = now;
  requestAnimationFrame(frame);
};
requestAnimationFrame(frame);
"""


@dataclass(frozen=True)
class Timed:
    """Milliseconds of one page, best of the rounds."""

    first_draw: float
    from_answers: float
    tick: float
    worst_frame: float


@contextmanager
def served_apart(view: MapView, plain: Path) -> Iterator[str]:
    """Serve a view from a process of its own, as the service is, the plain page beside it."""
    app = create_app(AsRead(view))
    app.mount("/plain", StaticFiles(directory=plain))
    with listen("127.0.0.1", 0) as listener:
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
        process = get_context("fork").Process(
            target=server.run, kwargs={"sockets": [listener]}, daemon=True
        )
        process.start()
        address = address_of(listener)
    try:
        yield address
    finally:
        process.terminate()
        process.join(timeout=20)


def build_plain(folder: Path) -> None:
    """Bundle the page compared with."""
    esbuild = WEB / "node_modules" / "esbuild" / "bin" / "esbuild"
    subprocess.run(
        [esbuild, WEB / "bench" / "plain.ts", "--bundle", "--format=esm", "--minify",
         f"--outfile={folder / 'plain.js'}"],
        check=True, capture_output=True,
    )  # fmt: skip
    for name, source in (
        ("plain.html", WEB / "bench" / "plain.html"),
        ("plain.css", WEB / "node_modules" / "leaflet" / "dist" / "leaflet.css"),
    ):
        (folder / name).write_bytes(source.read_bytes())


def time_page(browser: Browser, address: str, drawn: str, slider: str) -> Timed:
    """Open, tick and pan one page."""
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce", bypass_csp=True)
    page = context.new_page()
    page.add_init_script(WATCH.replace("DRAWN", drawn))
    page.goto(address, wait_until="commit")
    page.wait_for_function("bench.drawnAt !== null", timeout=120_000)
    first_draw = page.evaluate("bench.drawnAt")
    page.wait_for_timeout(800)
    answered = page.evaluate(ANSWERED)
    timed = Timed(first_draw, first_draw - answered, time_ticks(page, slider), time_pan(page))
    context.close()
    return timed


def time_ticks(page: Page, slider: str) -> float:
    """Median milliseconds from a key on the slider to the frame made of it."""
    drawer = page.locator("[aria-controls=drawer-weights]")
    if drawer.count():
        drawer.click()
    weight = page.locator(slider).first
    weight.focus()
    page.evaluate("bench.ticks.length = 0")
    for tick in range(TICKS):
        before = weight.input_value()
        page.keyboard.press("ArrowRight" if tick % 4 < 2 else "ArrowLeft")
        page.wait_for_function(f"bench.ticks.length > {tick}", timeout=60_000)
        page.wait_for_timeout(60)
        assert weight.input_value() != before, "the slider did not move"
    return statistics.median(page.evaluate("bench.ticks"))


def time_pan(page: Page) -> float:
    """Longest milliseconds between frames while the map is dragged and let go."""
    box = page.locator(".map, #map").first.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] * 0.7, box["y"] + box["height"] * 0.5
    page.mouse.move(x, y)
    page.wait_for_timeout(300)
    page.evaluate("bench.frames.length = 0")
    page.mouse.down()
    for step in range(1, 29):
        page.mouse.move(x - PAN_PX * step / 28, y + 40 * step / 28)
        page.wait_for_timeout(12)
    page.mouse.up()
    page.wait_for_timeout(500)
    return float(max(page.evaluate("bench.frames")))


def best(time_once: Callable[[], Timed]) -> Timed:
    """Best of several rounds, each number by itself."""
    rounds = [time_once() for _ in range(ROUNDS)]
    return Timed(
        min(each.first_draw for each in rounds),
        min(each.from_answers for each in rounds),
        min(each.tick for each in rounds),
        min(each.worst_frame for each in rounds),
    )


def data_kb(address: str) -> dict[str, float]:
    """Kilobytes of each answer as it travels."""
    sizes = {}
    for name in ANSWERS:
        with httpx.stream(
            "GET", f"{address}/api/{name}", headers={"Accept-Encoding": "gzip"}
        ) as answer:
            sizes[name] = sum(len(part) for part in answer.iter_raw()) / 1000
    return sizes


def run() -> bool:
    """Run all; give whether every floor held that could be judged."""
    loads, calibrations = [os.getloadavg()[0]], calibrate()
    with (
        tempfile.TemporaryDirectory() as folder,
        served_apart(wide_view(), Path(folder)) as address,
        sync_playwright() as player,
    ):
        build_plain(Path(folder))
        sizes = data_kb(address)
        browser = player.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        ours = best(lambda: time_page(browser, address, OURS_DRAWN, ".dial [type=range]"))
        plain = best(
            lambda: time_page(browser, f"{address}/plain/plain.html", PLAIN_DRAWN, "[type=range]")
        )
        browser.close()
    loads.append(os.getloadavg()[0])
    calibrations += calibrate()
    return _tell(ours, plain, sizes, why_not_judged(loads, calibrations), loads)


def _tell(
    ours: Timed, plain: Timed, sizes: dict[str, float], reason: str | None, loads: list[float]
) -> bool:
    pairs = {
        "first draw": (ours.first_draw, plain.first_draw),
        "first draw, answers here": (ours.from_answers, plain.from_answers),
        "slider tick": (ours.tick, plain.tick),
        "worst pan frame": (ours.worst_frame, plain.worst_frame),
    }
    print("The page, 10,000 offtakes on 5,000 reaches, against a plain Leaflet page, same data:")
    held = True
    for name, (mine, theirs) in pairs.items():
        ratio, floor = theirs / mine, FLOORS[name.split(",")[0]]
        judged = "not judged" if reason else "held" if ratio >= floor else "NOT held"
        held &= judged != "NOT held"
        print(f"  {name:24s} {mine:7.0f} ms, theirs {theirs:7.0f} ms, {ratio:5.1f} times "
              f"(at least {floor:g}: {judged})")  # fmt: skip
    if reason:
        print(f"  Not judged: {reason}.")
    total = sum(sizes.values())
    told = ", ".join(f"{name} {size:.0f}" for name, size in sizes.items() if size >= 1)
    fits = total <= MOST_DATA_KB
    print(f"  Data on the wire {total:.0f} kB ({told}; at most {MOST_DATA_KB}: "
          f"{'held' if fits else 'NOT held'})")  # fmt: skip
    print(f"  Load average before {loads[0]:.2f}, after {loads[-1]:.2f}")
    return held and fits


if __name__ == "__main__":
    raise SystemExit(0 if run() else 1)
