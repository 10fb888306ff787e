"""Every address of the service as its routes give them, filled with what there is here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any
from urllib.parse import quote, urlencode

from fastapi.dependencies.utils import get_flat_params
from fastapi.params import Query
from fastapi.routing import APIRoute
from starlette.routing import BaseRoute, Route

from tests.contracts.private.agency import Agency

PLACE = re.compile(r"\{(\w+)(?::\w+)?\}")
BAD = ("' OR 1=1 --", "SECRET guess", "-1", "\x00")
VIEWERS = ("", "public", "agency", "lead", "none")
FILTERS = (
    "landholder",
    "quote",
    "chainage_m",
    "capacity_m3s",
    "status",
    "willing",
    "capital_money",
)
LAYERS = ("offtakes", "reaches", "gauges", "cases")
MOST_A_ROUTE, SHORT = 60, 25
"""Addresses of one route, about; in the short run fewer."""


@dataclass(frozen=True)
class Call:
    """One request: a method of a route, at an address that stands for something here."""

    method: str
    address: str
    path: str

    @property
    def is_safe(self) -> bool:
        """Whether it only reads."""
        return self.method in ("GET", "HEAD")


def values(agency: Agency) -> dict[str, list[str]]:
    """Give what each parameter can be; one that nobody thought of here can be any id."""
    ids, nothing = agency.ids, "0d3f6c1e-6f1b-4c53-9a53-3a1a4d1f7c20"
    codes = ids["code"]
    return {
        **{name: [*listed, nothing] for name, listed in ids.items()},
        "offtake_id": [*codes, "none"],
        "key": [*codes, *ids["guild"]],
        "feature_id": [*codes, *ids["reach"], *ids["gauge"], *ids["case_id"]],
        "collection_id": [*LAYERS, "none"],
        "table": ["offtakes", "guilds", "metered", "none"],
        "meeting_code": ids["meeting_code"],
        "page": ["people", "methods", "hosting", "none"],
        "work_id": ["none"],
        "upload_id": [nothing],
        "run": ids["run_id"],
        "note": ids["note_id"],
        "one": ids["case_id"],
        "other": ids["case_id"],
        "case": ["", *ids["case_id"], nothing],
        "year": ["mean", "dry", "wet"],
        "guild": ["all", *ids["guild"]],
        "detail": ["overview", "full"],
        "version": ["public", "private"],
        "as": list(VIEWERS),
        "wait_s": ["0"],
        "since": ["", "none"],
        "before": ["1000"],
        "limit": ["1", "200"],
        "place": ["", "kept"],
        "by": ["SECRET person"],
        "name": ids["name"],
        "code": codes,
        "state": ["none"],
        "error": ["none"],
    }


def calls(agency: Agency, most: int = SHORT, *, unsafe: bool = False) -> Iterator[Call]:
    """Give calls of each route that reads, or of each that does not: every id in its path, every
    value of each parameter of its query alone, and values that no parameter takes."""
    known = values(agency)
    anything = sorted({each for listed in agency.ids.values() for each in listed})
    for route in agency.service.app.router.routes:
        for method in sorted(getattr(route, "methods", None) or {"GET"}):
            if (method in ("GET", "HEAD")) == unsafe or method == "HEAD":
                continue
            for address in addresses_of(route, known, anything, most):
                yield Call(method, address, getattr(route, "path", ""))


def addresses_of(
    route: BaseRoute, known: dict[str, list[str]], anything: list[str], most: int = SHORT
) -> Iterator[str]:
    """Give the addresses of one route."""
    path = getattr(route, "path", "")
    if not isinstance(route, Route):  # a folder of files
        yield f"{path}/none.js"
        return
    names = PLACE.findall(path)
    chosen = product(*(known.get(name, anything) for name in names))
    for at, given in enumerate(chosen):
        address = path
        for name, value in zip(names, given, strict=True):
            address = re.sub(rf"\{{{name}(:\w+)?\}}", quote(value, safe=""), address)
        for number, query in enumerate(queries(route, known)):
            if number and at * 10 + number > most:  # the first of each place at least
                break
            yield f"{address}?{urlencode(query)}" if query else address


def queries(route: Route, known: dict[str, list[str]]) -> Iterator[dict[str, str]]:
    """Give queries: what is needed alone, then with each value of each parameter and bad ones."""
    taken = query_parameters(route)
    needed = {name: (known.get(name) or ["none"])[0] for name, must in taken.items() if must}
    yield needed
    for name in taken:
        for value in (*known.get(name, ()), *BAD):
            yield needed | {name: value}
    if "case" in taken and "as" in taken:
        for case, viewer in product(known["case"], VIEWERS):
            yield needed | {"case": case, "as": viewer}
    if route.path.endswith("/items"):
        yield from ({name: "1"} for name in (*FILTERS, "never_was"))
        yield from ({"bbox": box} for box in ("10,50,10.05,50.1", "x"))
        yield {"limit": "1", "offset": "1"}


def query_parameters(route: Route) -> dict[str, bool]:
    """Give the names of a route's query, and whether each is needed."""
    if not isinstance(route, APIRoute):
        return {}
    found = {
        each.alias: each.field_info.is_required()
        for each in get_flat_params(route.dependant)
        if isinstance(each.field_info, Query)
    }
    return found | {"as": False}


def bodies(agency: Agency) -> dict[tuple[str, str], Any]:
    """Give a body for each method and path that takes one: its example, about what is here."""
    described = agency.service.app.openapi()
    schemas, found = described["components"]["schemas"], {}
    for path, methods in described["paths"].items():
        for method, operation in methods.items():
            content = operation.get("requestBody", {}).get("content", {}).get("application/json")
            named = (content or {}).get("schema", {}).get("$ref", "").rpartition("/")[2]
            if named:
                example = schemas[named].get("examples", [{}])[0]
                found[method.upper(), path] = about_here(example, agency)
    return found


def about_here(value: Any, agency: Agency) -> Any:
    """Give an example with the ids of what is here, another's where there are two."""
    ids = agency.ids
    here = {"code": ids["code"][-1], "key": ids["code"][-1], "run_id": ids["run_id"][-1],
            "note_id": ids["note_id"][-1], "note_ids": ids["note_id"][-2:],
            "pick": ids["note_id"][-1], "after": ""}  # fmt: skip
    if isinstance(value, dict):
        return {name: here.get(name, about_here(each, agency)) for name, each in value.items()}
    if isinstance(value, list):
        return [about_here(each, agency) for each in value]
    return value
