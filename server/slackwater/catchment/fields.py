"""What can a table hold? The vocabulary in which the data contract is written down once.

Checks, the guide's data page, the workbook template, visibility and the API schema read it here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Kind(StrEnum):
    """How a cell is understood."""

    ID = "id"  # text, at most 200 characters, leading zeros kept
    TEXT = "text"
    WORD = "word"  # one of a closed list
    WORDS = "words"  # several of a closed list, semicolons between
    NUMBER = "number"
    INTEGER = "integer"
    DATE = "date"  # YYYY-MM-DD
    DAY = "day"  # MM-DD


class Visibility(StrEnum):
    """Who may see a column."""

    PRIVATE = "private"
    AGENCY = "agency"
    PUBLIC = "public"


class Shape(StrEnum):
    """The geometry of a table's rows."""

    NONE = ""
    POINT = "point"
    LINE = "line"
    POLYGON = "polygon"


@dataclass(frozen=True)
class Field:
    """One column of one table.

    Attributes
    ----------
    name, kind, meaning, unit : what it is called, how it is read, what it says, in which unit.
    needed : the column must be there and every cell filled.
    default : what an empty cell means; None leaves it empty (NaN, "" or NaT).
    default_note : in words, where the default is derived (``length_m`` is the geodesic length).
    least, most : bounds, inclusive; ``above_zero`` excludes 0.
    words : the closed list of a WORD or WORDS column.
    refers_to : ``table.column`` that must hold the value.
    visibility : least audience.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str = ""
    needed: bool = False
    default: float | str | None = None
    default_note: str = ""
    least: float | None = 0.0
    most: float | None = None
    above_zero: bool = False
    words: tuple[str, ...] = ()
    refers_to: str = ""
    visibility: Visibility = Visibility.PUBLIC

    @property
    def is_number(self) -> bool:
        """Whether the column is held as float64."""
        return self.kind in (Kind.NUMBER, Kind.INTEGER)


@dataclass(frozen=True)
class TableSpec:
    """One table of the contract.

    Attributes
    ----------
    key : columns whose values name a row; empty where rows have no key.
    needed : whether a catchment without it is at fault.
    geometry_visibility : least audience of the row's place.
    """

    name: str
    meaning: str
    fields: tuple[Field, ...]
    key: tuple[str, ...] = ()
    shape: Shape = Shape.NONE
    needed: bool = True
    geometry_visibility: Visibility = Visibility.PUBLIC
    by_name: dict[str, Field] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the fields by name."""
        object.__setattr__(self, "by_name", {f.name: f for f in self.fields})
