"""What goes into the store and comes out of it: edits, cases, offers, and where things stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from slackwater.catchment.raw import RawTable

SETTINGS = "catchment"
"""Stands for the settings where a table is named."""

TOML = "toml"
"""Stands for the whole text of the settings where a column is named."""

GEOMETRY = "geometry"
"""Stands for a row's place where a column is named."""


@dataclass(frozen=True)
class Standing:
    """Where the database stands.

    Attributes
    ----------
    revision : counts every write of the catchment's data from 1; 0 while it holds none.
    changed_at : ISO, UTC.
    """

    revision: int
    data_version: str
    changed_at: str
    catchment_name: str


@dataclass(frozen=True)
class Change:
    """One cell, one row, or the settings, as it was and as it is to be.

    A cell: ``column`` is named, ``old`` and ``new`` are as given (text, number or None; dates as
    ISO text; the column ``geometry`` is ``[lon, lat]`` or a GeoJSON geometry). A whole row:
    ``column`` is "" and ``old`` is None where it is added, ``new`` where it is removed, else
    ``{column: value}``. The settings: ``Change("catchment", "", "toml", text, text)``.

    Attributes
    ----------
    key : the row's key as text, parts joined by ``/``; its number where the table has no key.
    """

    table: str
    key: str
    column: str
    old: Any
    new: Any


@dataclass(frozen=True)
class Edit:
    """What one person changes at once, and why.

    Attributes
    ----------
    id : a UUID its maker chose; sent again with the same content it is done once.
    basis, source, observed_on : how the new values came about; "" where not said.
    undoes : id of the edit it takes back, "" for none.
    kind : ``edit``, ``import``, ``undo`` or ``follow_up``.
    """

    id: str
    changes: tuple[Change, ...]
    why: str
    by: str = "lead"
    basis: str = ""
    source: str = ""
    observed_on: str = ""
    undoes: str = ""
    kind: str = "edit"


@dataclass(frozen=True)
class Past(Edit):
    """An edit that was made.

    Attributes
    ----------
    seq : its place in the history, from 1.
    undone_by : id of the edit that took it back, "" while it holds.
    revision, data_version : of the data it led to.
    change_count : of all its changes; a list of edits may hold only the first of them.
    """

    seq: int = 0
    at: str = ""
    undone_by: str = ""
    revision: int = 0
    data_version: str = ""
    change_count: int = 0


@dataclass(frozen=True)
class Done:
    """An edit is kept; ``repeated`` where it had been before and nothing was written now."""

    edit_id: str
    seq: int
    at: str
    standing: Standing
    repeated: bool = False


@dataclass(frozen=True)
class Relief:
    """The picture of the relief; ``bounds`` are west, south, east, north in degrees."""

    png: bytes
    bounds: tuple[float, float, float, float]


@dataclass(frozen=True)
class Given:
    """A whole catchment as it was given: blank cells blank, places in WGS84.

    Attributes
    ----------
    tables : contract name -> cells by contract name.
    settings_text : TOML, without what only says how a file is read.
    default_name : what it is called where the settings name it nothing.
    """

    tables: Mapping[str, RawTable]
    settings_text: str
    default_name: str
    relief: Relief | None = None


@dataclass(frozen=True)
class Difference:
    """How one table would differ; ``examples`` are a few sentences."""

    added: int
    removed: int
    changed: int
    examples: tuple[str, ...]


@dataclass(frozen=True)
class Case:
    """A named trial with its result, on the data as it stood.

    Attributes
    ----------
    shared_at : ISO, UTC; "" while it is its maker's own. From then on it never changes.
    data_version : of the data it rests on, which is kept for it.
    copied_from : id of the case it began as, "" for none.
    """

    id: str
    name: str
    note: str
    made_at: str
    by: str
    data_version: str
    model_version: str
    shared_at: str = ""
    copied_from: str = ""
    trial: Mapping[str, Any] = field(default_factory=dict)
    result: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class OfferStep:
    """One step of the follow-up of an offer.

    Attributes
    ----------
    step : ``offered``, ``accepted``, ``declined``, ``built`` or ``note``.
    on : ISO date it happened.
    committed, spent : money; None where the step says nothing of it.
    works_approval, heritage : ``not_needed``, ``to_do``, ``asked``, ``given``, ``refused``; ""
        where the step says nothing of it.
    at : when it was written down, ISO, UTC; the store fills it.
    """

    id: str
    code: str
    step: str
    on: str
    committed: float | None = None
    spent: float | None = None
    works_approval: str = ""
    heritage: str = ""
    words: str = ""
    by: str = "lead"
    at: str = ""
