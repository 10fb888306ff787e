"""A map as one file that opens in any browser without a network: everything it needs is inside.

folium lays the map out; what it would fetch from foreign hosts is left out, and Leaflet is written
in. The file itself forbids the browser to fetch anything.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from dataclasses import dataclass
from html import escape
from importlib import resources
from typing import Any

import folium
import shapely
from branca.element import Element, Figure, MacroElement
from jinja2 import Template

from slackwater.errors import NotHere
from slackwater.reports import cautions
from slackwater.reports.figures import figures
from slackwater.reports.ground import Ground, Town
from slackwater.reports.map_drawing import river_width
from slackwater.reports.printing import sign_svg
from slackwater.reports.signs import INSIDE, WORDS, Sign, legend_of
from slackwater.reports.stamp import Stamp

POLICY = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:"
ASK_THE_BUILD = "Leaflet's files are not built; scripts/setup builds them"
LEAST_PX, MOST_PX, WIDTHS = 1.0, 6.5, 8
FINEST_SHARE = 1 / 20_000
"""Of the map's width: points of a river closer than this to its chord are left out."""
WATER = "#7f9aa6"
RADIUS = {sign: 1.2 if sign in INSIDE else 1.1 if sign is Sign.HAND_OUT else 0.95 for sign in Sign}
"""Of signs, of 1.7 that find room."""


@dataclass(frozen=True)
class MapFile:
    """All that the file shows."""

    stamp: Stamp
    title: str
    headline: str
    way: str
    ground: Ground


def map_file(facts: MapFile) -> bytes:
    """Give the file, HTML in UTF-8."""
    shown = folium.Map(
        tiles=None, zoom_control="topright", attribution_control=False, zoom_snap=0.25, max_zoom=18
    )
    shown.default_js, shown.default_css = [], []
    figure = shown.get_root()
    assert isinstance(figure, Figure)
    west, south, east, north = facts.ground.bounds
    shown.location = [(south + north) / 2, (west + east) / 2]
    _rivers(facts.ground, east - west, shown)
    _write_in(figure, facts.title)
    shown.add_child(_Shown(_told(facts), shown.get_name()))
    return _finished(figure.render()).encode("utf-8")


def _rivers(ground: Ground, width_deg: float, onto: folium.Map) -> None:
    """Draw lines of like width together, the narrow ones first."""
    largest, by_width = ground.largest_flow_m3s, defaultdict[int, list[list[list[float]]]](list)
    for river in ground.rivers:
        if len(river.points) < 2:
            continue
        line = shapely.LineString(river.points).simplify(FINEST_SHARE * width_deg)
        latlon = shapely.get_coordinates(line)[:, ::-1].round(5).tolist()
        share = river_width(river.flow_m3s, largest, 0.0, 1.0)
        by_width[round(WIDTHS * share)].append(latlon)
    for step, lines in sorted(by_width.items()):
        weight = LEAST_PX + (MOST_PX - LEAST_PX) * step / WIDTHS
        looks = {"color": WATER, "weight": weight, "opacity": 1.0, "interactive": False}
        onto.add_child(folium.PolyLine(lines, **looks))  # type: ignore[no-untyped-call]


def _told(facts: MapFile) -> dict[str, Any]:
    """Give all words and places as plain values."""
    ground, largest = facts.ground, facts.ground.largest_flow_m3s
    west, south, east, north = ground.bounds
    return {
        "bounds": [[south, west], [north, east]],
        "heads": {"title": facts.title, "headline": facts.headline, "way": facts.way},
        "legend": [
            {"sign": each.sign.value, "words": each.words, "count": each.count}
            for each in legend_of(dot.sign for dot in ground.dots)
        ],
        "flows": f"Rivers are as wide as they flow, up to {figures(largest, 2)} m³/s; + is a town."
        if largest > 0
        else "",
        "offtakes": [
            {
                "code": dot.code,
                "sign": dot.sign.value,
                "words": WORDS[dot.sign],
                "lift": 2000 * (dot.sign in INSIDE) + 1000 * (dot.sign is not Sign.NOT_IN_ROUND),
                "lon": round(dot.lon, 5),
                "lat": round(dot.lat, 5),
                "facts": dot.facts,
            }
            for dot in ground.dots
        ],
        "towns": [_town(town) for town in ground.towns],
        "notes": {
            "cautions": [cautions.RANKS, cautions.WORK, cautions.APPROVALS],
            "stamp": [facts.stamp.case_words, facts.stamp.data_words],
        },
    }


def _town(town: Town) -> dict[str, Any]:
    return {"name": town.name, "size": town.size, "lon": round(town.lon, 5),
            "lat": round(town.lat, 5)}  # fmt: skip


class _Shown(MacroElement):
    """The script that shows the facts, after the map was made."""

    _template = Template("{% macro script(this, kwargs) %}{{ this.words }}{% endmacro %}")

    def __init__(self, told: dict[str, Any], map_name: str) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        signs = {sign.value: sign_svg(sign.value, RADIUS[sign], 3.4) for sign in Sign}
        constants = (("FACTS", told), ("SIGNS", signs))
        given = "".join(f"const {name} = {script_json(value)};\n" for name, value in constants)
        self.words = _raw(f"{given}const MAP = {map_name};\n{_own('map_file.js')}")


def _write_in(figure: Figure, title: str) -> None:
    """Write Leaflet and looks into the page, and what the browser may do."""
    figure.title = escape(title)
    policy = f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
    figure.header.add_child(Element(policy), name="policy", index=1)
    looks = without_pictures(_leaflet("leaflet.css")) + _own("map_file.css")
    figure.header.add_child(Element(_raw(f"<style>{looks}</style>")), name="looks")
    script = re.sub(r"\n//# sourceMappingURL=.*", "", _leaflet("leaflet.js"))
    licensed = f"<script>\n/*\n{_leaflet('LICENSE')}*/\n{script}</script>"
    figure.header.add_child(Element(_raw(licensed)), name="leaflet")
    figure.html.add_child(Element('<aside id="facts" aria-label="About this map"></aside>'))


def script_json(value: Any) -> str:
    """Give JSON that can neither end a script nor begin a template's tag."""
    text = json.dumps(value)
    for mark in "<>&":
        text = text.replace(mark, f"\\u{ord(mark):04x}")
    return re.sub(r'"(?:[^"\\]|\\.)*"', lambda found: found[0].replace("{", "\\u007b"), text)


def without_pictures(style: str) -> str:
    """Leave out rules that would fetch a picture or a behaviour beside the file."""
    return re.sub(r"[^;{}]*url\([^)]*\)[^;{}]*;", "", style)


def _raw(text: str) -> str:
    """Keep folium, which fills what is added as a template, from filling this."""
    assert "endraw" not in text
    return f"{{% raw %}}{text}{{% endraw %}}"


def _finished(html: str) -> str:
    """Name the language, and let people zoom the page itself."""
    html = html.replace("<html>", '<html lang="en">', 1)
    return re.sub(r",\s*maximum-scale=1.0, user-scalable=no", "", html, count=1)


def _leaflet(name: str) -> str:
    """Give a file of Leaflet as the build put it beside the page, its licence on top.

    Raises
    ------
    NotHere
        Where the page has not been built.
    """
    file = resources.files("slackwater").joinpath("page", "leaflet", name)
    if not file.is_file():
        raise NotHere(ASK_THE_BUILD)
    return file.read_text(encoding="utf-8")


def _own(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")
