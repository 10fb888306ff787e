"""Which rows of a layer are asked for? A box, equal values, and one page of what remains."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.features.box import Box
from slackwater.desk.features.layer import Layer, Value
from slackwater.errors import UsageError

SAME = 1e-12
"""Relative: clients write numbers to 15 or 16 digits."""


@dataclass(frozen=True)
class Asked:
    """What is asked of a layer.

    Attributes
    ----------
    limit, offset : how many rows at most, and how many before them are passed over.
    box : None for everywhere.
    equal : name of a property -> the value it must have, as text.
    """

    limit: int
    offset: int = 0
    box: Box | None = None
    equal: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Found:
    """Rows of one page, and how many there are on all pages."""

    rows: tuple[int, ...]
    matched: int


def find(layer: Layer, asked: Asked) -> Found:
    """Search what a viewer sees of a layer, and nothing else: what is hidden cannot be guessed at.

    Raises
    ------
    UsageError
        Where a property is none of the layer's, or a value none of its kind.
    """
    chosen = np.ones(len(layer), bool)
    if asked.box is not None:
        chosen &= asked.box.touches(layer.places)
    for name, text in asked.equal.items():
        chosen &= _equal(layer, name, text)
    rows = np.flatnonzero(chosen).tolist()
    return Found(tuple(rows[asked.offset : asked.offset + asked.limit]), len(rows))


def _equal(layer: Layer, name: str, text: str) -> NDArray[np.bool_]:
    """(rows,) whether a property shows this value; a row without a value never does."""
    told = layer.by_name.get(name)
    if told is None:
        raise UsageError("no such property here")
    values = layer.columns[name]
    if told.value in (Value.TEXT, Value.DATE):
        return np.array([value is not None and value == text for value in values], bool)
    number = _number(told.name, text)
    return np.array([_same(value, number) for value in values], bool)


def _same(value: Any, number: float) -> bool:
    return value is not None and math.isclose(value, number, rel_tol=SAME, abs_tol=0.0)


def _number(name: str, text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise UsageError(f"{name}: give a number")
    return number
