"""How does a page of paper come about? A template filled with facts, every text escaped."""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from slackwater.reports import figures
from slackwater.reports.stamp import Stamp

ROOM = __package__
LOOKS = ("page.css", "map.css", "lists.css", "briefs.css", "narrow.css", "run.css", "minutes.css")


def page(name: str, stamp: Stamp, **facts: Any) -> str:
    """Fill a template of the folder ``templates``, as a whole HTML document."""
    return _templates().get_template(f"{name}.html").render(stamp=stamp, **facts)


def look() -> str:
    """Give the style sheet of every page."""
    folder = resources.files(ROOM).joinpath("look")
    return "\n".join(folder.joinpath(name).read_text(encoding="utf-8") for name in LOOKS)


def sign_svg(sign: str, radius: float, size: float) -> str:
    """Give one sign as a small picture, as wide and high as ``size``."""
    drawing: Any = _templates().get_template("drawing.html").module
    return str(drawing.sign_alone(sign, radius, size))


@cache
def _templates() -> Environment:
    templates = Environment(
        loader=PackageLoader(ROOM, "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    for filled in (
        figures.decimals,
        figures.figures,
        figures.percent,
        figures.money,
        figures.whole_money,
        figures.short_money,
        figures.long_date,
        figures.sentence,
        figures.inside_a_sentence,
    ):
        templates.filters[filled.__name__] = filled
    return templates
