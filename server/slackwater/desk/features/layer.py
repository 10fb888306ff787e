"""What is a layer for a GIS? Rows of one kind, with ids, places and what one viewer sees."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.fields import Field, Kind
from slackwater.catchment.table import Table
from slackwater.desk.visibility import Column, Viewer, of_contract, select

Places = NDArray[np.object_]


class Value(StrEnum):
    """What a property's values are."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole number"
    DATE = "date"


@dataclass(frozen=True)
class Told:
    """One property of a layer: its name, what kind its values are, what they say, their unit."""

    name: str
    value: Value
    meaning: str
    unit: str = ""


@dataclass(frozen=True)
class Offered:
    """A property with its values and who may see them."""

    told: Told
    column: Column


@dataclass(frozen=True)
class Layer:
    """What one viewer sees of one kind of thing.

    Attributes
    ----------
    properties : what is told of each row, in order.
    columns : name of a property -> (rows,) values, None where there is none or it is not shown.
    ids : (rows,) ids of the rows, none twice.
    places : (rows,) shapely geometries in WGS84 longitude, latitude; None in a row without one.
    """

    name: str
    title: str
    description: str
    properties: tuple[Told, ...]
    columns: Mapping[str, Sequence[Any]]
    ids: tuple[str, ...]
    places: Places

    def __len__(self) -> int:
        """Count rows."""
        return len(self.ids)

    @cached_property
    def row_of(self) -> dict[str, int]:
        """Row of each id."""
        return {each: row for row, each in enumerate(self.ids)}

    @cached_property
    def by_name(self) -> dict[str, Told]:
        """Each property by its name."""
        return {each.name: each for each in self.properties}

    @cached_property
    def bounds(self) -> tuple[float, float, float, float] | None:
        """West, south, east, north of all places in degrees; None where there are none."""
        bounds = shapely.total_bounds(self.places) if len(self) else np.full(4, np.nan)
        if np.isnan(bounds).any():
            return None
        west, south, east, north = bounds.tolist()
        return west, south, east, north


def shown_layer(
    name: str,
    words: tuple[str, str],
    offered: Sequence[Offered],
    ids: Sequence[str],
    places: Places,
    viewer: Viewer,
) -> Layer:
    """Give a layer with what a viewer may see of what is offered.

    Parameters
    ----------
    words : title and description.
    places : what this viewer may see of them already.
    """
    shown = select((each.column for each in offered), viewer)
    told: dict[str, Told] = {}
    for each in offered:
        if each.told.name in shown:
            told.setdefault(each.told.name, each.told)
    return Layer(name, *words, tuple(told.values()), shown, tuple(ids), places)


def contract_offered(
    table: Table, fields: Iterable[Field], understood: Mapping[str, Any] | None = None
) -> list[Offered]:
    """Offer columns of a table, each with the audience the contract states.

    Parameters
    ----------
    understood : values that stand in a column's place, where an empty cell means something.
    """
    instead = understood or {}
    return [
        Offered(
            Told(field.name, _value_of(field), field.meaning, _unit_of(field)),
            Column(
                field.name,
                plain(instead.get(field.name, table.columns[field.name])),
                of_contract(table.name, field.name),
            ),
        )
        for field in fields
    ]


def plain(cells: Sequence[Any] | NDArray[np.generic]) -> list[Any]:
    """Give cells as JSON values, None where one is empty."""
    return [_plain(cell) for cell in cells]


def no_places(count: int) -> Places:
    """Give places of rows that stand nowhere."""
    return np.full(count, None, object)


def _plain(cell: Any) -> Any:
    if cell is None or isinstance(cell, str):
        return cell or None
    if isinstance(cell, np.datetime64):
        return None if np.isnat(cell) else str(cell)
    number = float(cell)
    return number if np.isfinite(number) else None


def _value_of(field: Field) -> Value:
    if field.is_number:
        return Value.NUMBER
    return Value.DATE if field.kind is Kind.DATE else Value.TEXT


def _unit_of(field: Field) -> str:
    return "" if field.unit == "-" else field.unit
