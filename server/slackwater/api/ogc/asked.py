"""What does a query ask? Every parameter is known, said once and of its kind, or it is refused."""

from __future__ import annotations

import re
from collections.abc import Collection

from starlette.datastructures import QueryParams

from slackwater.api.ogc.addresses import AS, FORM
from slackwater.desk.features.asking import Asked
from slackwater.desk.features.box import box_of
from slackwater.desk.features.times import require_time
from slackwater.errors import UsageError

DEFAULT_LIMIT, MOST_AT_ONCE = 100, 10_000
MOST_DIGITS = 12
CRS84 = "http://www.opengis.net/def/crs/OGC/1.3/CRS84"
CRS84_WITH_HEIGHT = "http://www.opengis.net/def/crs/OGC/0/CRS84h"
OF_ITEMS = ("limit", "offset", "bbox", "bbox-crs", "crs", "datetime")
OF_ITEM = ("crs",)
EVERYWHERE = (AS, FORM)
ONE_FORM = "json"
PLAIN_NAME = re.compile(r"[A-Za-z_][\w.-]{0,39}", re.ASCII)


def require_known(query: QueryParams, known: Collection[str]) -> None:
    """Require that each parameter is one of a list, or ``as`` or ``f``, and is said once.

    Raises
    ------
    UsageError
        Where one is not, which names it and tells the list; or where another form is asked for.
    """
    names = [name for name, _ in query.multi_items()]
    allowed = {*known, *EVERYWHERE}
    wrong = [name for name in names if name not in allowed]
    if wrong:
        there = ", ".join(sorted(allowed))
        raise UsageError(f"{_named(wrong[0])} is not known here; there are: {there}")
    twice = {name for name in names if names.count(name) > 1}
    if twice:
        raise UsageError(f"{', '.join(sorted(twice))}: said more than once")
    if query.get(FORM, ONE_FORM) != ONE_FORM:
        raise UsageError(f"{FORM}: there is {ONE_FORM} alone; leave it out, or say {ONE_FORM}")


def require_crs84(query: QueryParams, name: str) -> None:
    """Require the one reference system there is, where any is named.

    Raises
    ------
    UsageError
        Where it is another.
    """
    named = query.get(name, CRS84)
    if named != CRS84 and (name, named) != ("bbox-crs", CRS84_WITH_HEIGHT):
        raise UsageError(f"{name}: there is {CRS84} alone")


def asked_of(query: QueryParams, properties: Collection[str]) -> Asked:
    """Give what is asked of a layer whose properties these are.

    A limit above the most is no error: the most is given (/req/core/fc-limit-response-1 C).

    Raises
    ------
    UsageError
        Where a parameter is not known, said twice or not of its kind.
    """
    filters = filters_of(properties)
    require_known(query, {*OF_ITEMS, *filters})
    require_crs84(query, "crs")
    require_crs84(query, "bbox-crs")
    if "datetime" in query:
        require_time(query["datetime"])
    limit = _whole(query, "limit", DEFAULT_LIMIT)
    if limit < 1:
        raise UsageError("limit: at least 1")
    return Asked(
        limit=min(limit, MOST_AT_ONCE),
        offset=_whole(query, "offset", 0),
        box=box_of(query["bbox"]) if "bbox" in query else None,
        equal={name: query[name] for name in filters if name in query},
    )


def filters_of(properties: Collection[str]) -> list[str]:
    """Give the properties that can be asked for by value: all whose name is no other parameter."""
    return [name for name in properties if name not in {*OF_ITEMS, *EVERYWHERE}]


def _named(parameter: str) -> str:
    """Name a parameter as it was sent, where it is a plain word; else it may be anything."""
    return f"the parameter {parameter}" if PLAIN_NAME.fullmatch(parameter) else "a parameter"


def _whole(query: QueryParams, name: str, default: int) -> int:
    text = query.get(name)
    if text is None:
        return default
    if not (text.isascii() and text.isdecimal() and len(text) <= MOST_DIGITS):
        raise UsageError(f"{name}: give a whole number")
    return int(text)
