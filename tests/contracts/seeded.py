"""The small catchment with an unmistakable secret in every private and agency column."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from typing import Any

from shapely import Point

from slackwater.catchment.contract import TABLES
from slackwater.catchment.contract.offtakes import USE_COLUMNS
from slackwater.catchment.fields import Kind, Visibility
from slackwater.desk.evaluation import evaluate
from slackwater.desk.map_view import MapView, Relief
from tests.catchment.small import Small, small

QUOTED, METERED, REFUSED = 1, (0, 1), 2
OFFTAKES = 3
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
POINTS = ((10.0213579, 50.0154321), (10.0812345, 50.0005432), (10.2531234, 50.0091357))
NUMBERS: dict[str, tuple[float, ...]] = {
    "capacity_m3s": (0.2136547, 0.3172934, 0.4758213),
    "chainage_m": (1987.6543, 1234.5678, 3456.7891),
    "night_use_share": (0.4137289, 0.3528617, 0.5261943),
    "quote": (61728.39, 51239.77, 71428.53),
    "flushes_per_day": (2.1934, 1.2749, 3.3857),
    "flush_minutes": (3.1729, 4.2938, 5.4167),
    "flush_litres": (517.283, 318.429, 629.174),
    "filter_cleaning_hours_month": (4.1627, 2.3849, 1.7293),
    "pumping_months": (6.1379, 7.2491, 8.3617),
    "pump_head_m": (21.4937, 15.8263, 9.7318),
    "pump_efficiency": (0.7149283, 0.6537192, 0.8261947),
    "wear_cost_year": (113.927, 217.384, 318.629),
    **{
        name: tuple(0.9731 - 0.0713 * month - 0.01237 * row for row in range(OFFTAKES))
        for month, name in enumerate(USE_COLUMNS)
    },
}
DRAWS = (0.1123581, 0.1321345, 0.1728394)
WORDS = {"willing": ("yes", "yes", "no"), "quote_option": ("cone", "cone", "drum")}
"""Closed words cannot be made unmistakable; their columns must be absent by name."""


@dataclass(frozen=True)
class Secrets:
    """Everything planted of one visibility: texts, numbers, and names of columns.

    ``flows`` are among the numbers; people see them in several units.
    """

    texts: list[str] = field(default_factory=list)
    numbers: list[float] = field(default_factory=list)
    flows: list[float] = field(default_factory=list)
    places: list[float] = field(default_factory=list)
    columns: list[str] = field(default_factory=list)

    @cached_property
    def rendered(self) -> dict[float, set[float]]:
        """Renderings -> the secrets so rendered: in full, rounded, flows in the units shown."""
        found: dict[float, set[float]] = defaultdict(set)
        for value in self.numbers:
            for kept in (3, 4, 5, 6, 17):
                found[digits(value, kept)].add(value)
            if value > 100:
                found[float(round(value))].add(value)
        for value in self.flows:
            for scale in (1000.0, 86.4, 35.3146667):
                for kept in (4, 5, 6, 17):
                    found[digits(value * scale, kept)].add(value)
        for place in self.places:
            for kept in (4, 5, 6, 7):
                found[round(place, kept)].add(place)
            found[float(round(place * 1e5))].add(place)
        return found

    def found_in(self, text: str) -> set[float]:
        """Give the closed numbers that a text tells in any rendering."""
        told = {abs(float(number)) for number in NUMBER.findall(text)}
        return set().union(*(self.rendered[each] for each in told & self.rendered.keys()))


def digits(value: float, kept: int) -> float:
    """Round to significant digits."""
    return float(f"{value:.{kept}g}")


def seeded_small() -> tuple[Small, dict[Visibility, Secrets]]:
    """Plant a secret in every private and agency column; give what was planted."""
    of = small()
    planted = {Visibility.PRIVATE: Secrets(), Visibility.AGENCY: Secrets()}
    for column in TABLES["offtakes"].fields:
        if column.visibility is Visibility.PUBLIC:
            continue
        secrets = planted[column.visibility]
        secrets.columns.append(column.name)
        for row in range(OFFTAKES):
            cell: Any
            if column.name in WORDS:
                cell = WORDS[column.name][row]
            elif column.kind in (Kind.TEXT, Kind.ID):
                cell = f"SECRET-{column.name}-{row}"
                secrets.texts.append(cell)
            else:
                cell = NUMBERS[column.name][row]
                secrets.numbers.append(cell)
                if column.unit == "m3/s":
                    secrets.flows.append(cell)
            of.set("offtakes", row, column.name, str(cell))
    for row, (lon, lat) in enumerate(POINTS):
        of.set("offtakes", row, "geometry", Point(lon, lat))
        planted[Visibility.PRIVATE].places.extend((lon, lat))
    for row, draw in enumerate(DRAWS):
        of.set("metered", row, "draw_m3s", str(draw))
        planted[Visibility.PRIVATE].numbers.append(draw)
        planted[Visibility.PRIVATE].flows.append(draw)
    of.set("offtakes", REFUSED, "status", "declined")
    return of, planted


def view_of(of: Small) -> MapView:
    """Evaluate a small catchment."""
    understood = of.understood()
    assert understood.catchment is not None, understood.faults
    relief = Relief(b"\x89PNG", (10.0, 49.9, 10.3, 50.1))
    return MapView(
        evaluate(understood.catchment),
        understood.warnings,
        relief,
        datetime(2026, 1, 2, tzinfo=UTC),
    )


def numbers_from(view: MapView) -> dict[Visibility, list[float]]:
    """Give numbers made from one site's private or agency values, which are as closed as those."""
    evaluation, share = view.evaluation, 1 - view.catchment.settings.landholder_share
    costs, sizing = evaluation.costs, evaluation.sizing
    private: list[float] = []
    agency: list[float] = [*sizing.area_m2.ravel().tolist(), *evaluation.volume_ml.tolist()]
    for row in range(OFFTAKES):
        for option, quoted in enumerate(costs.quoted[row].tolist()):
            money = [
                float(values[row, option])
                for values in (costs.capital, costs.upkeep_per_year, costs.life_cycle,
                               *costs.life_cycle_at.values())
            ]  # fmt: skip
            money += [money[0] * share, money[0] * (1 - share)]
            (private if quoted else agency).extend(money)
    private += evaluation.volume_ml[list(METERED)].tolist()
    return {Visibility.PRIVATE: private, Visibility.AGENCY: agency}


def unlike(numbers: Iterable[float], least_digits: int = 3) -> list[float]:
    """Leave out numbers so round that they stand for anything."""
    return [each for each in numbers if each and digits(each, least_digits) != each]
