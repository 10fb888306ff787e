"""Which tables are there? One for each of the contract, and those that keep what was done."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    Date,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.types import TypeEngine

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Field, Kind, Shape, TableSpec
from slackwater.store.places import Place
from slackwater.store.records import GEOMETRY

ROW = "row_no"
"""Keeps the rows in order, and is the key where the contract gives a table none."""

FURTHER = "further"
"""Further numeric columns of the offtakes that criteria name, as JSON."""

METADATA = MetaData(
    naming_convention={
        "pk": "%(table_name)s_pkey",
        "uq": "%(table_name)s_key",
        "fk": "%(table_name)s_%(column_0_name)s_fkey",
        "ck": "%(table_name)s_%(constraint_name)s",
    }
)


def _contract_table(spec: TableSpec) -> Table:
    columns: list[Column[Any]] = [Column(ROW, Integer, primary_key=True, autoincrement=False)]
    columns += [_column(described) for described in spec.fields]
    if spec.shape is not Shape.NONE:
        columns.append(Column(GEOMETRY, Place))
    if spec.name == "offtakes":
        columns.append(Column(FURTHER, Text, nullable=False, server_default="{}"))
    keys = [UniqueConstraint(*spec.key)] if spec.key else []
    return Table(spec.name, METADATA, *columns, *keys)


def _column(described: Field) -> Column[Any]:
    kind: type[TypeEngine[Any]] = Text
    if described.is_number:
        kind = Double
    elif described.kind is Kind.DATE:
        kind = Date
    # Held to at commit, so that rows may come in any order. A column whose default names no row
    # of the other table (fitted = none) is left to the contract's own checks.
    links = [ForeignKey(described.refers_to, deferrable=True, initially="DEFERRED")]
    if not described.refers_to or described.default is not None:
        links = []
    return Column(described.name, kind, *links, nullable=not described.needed)


CONTRACT: dict[str, Table] = {name: _contract_table(spec) for name, spec in TABLES.items()}

REGISTER = Table(
    "register",
    METADATA,
    Column("one", Integer, CheckConstraint("one = 1", name="one"), primary_key=True,
           autoincrement=False),
    Column("revision", Integer, nullable=False),
    Column("data_version", Text, nullable=False),
    Column("changed_at", Text, nullable=False),
    Column("default_name", Text, nullable=False),
    Column("settings", Text, nullable=False),
)  # fmt: skip
"""One row: where the database stands, and the settings. Whoever writes locks it."""

RELIEF = Table(
    "relief",
    METADATA,
    Column("one", Integer, CheckConstraint("one = 1", name="one"), primary_key=True,
           autoincrement=False),
    Column("png", LargeBinary, nullable=False),
    *(Column(side, Double, nullable=False) for side in ("west", "south", "east", "north")),
)  # fmt: skip

EDITS = Table(
    "edits",
    METADATA,
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    Column("at", Text, nullable=False),
    *(Column(name, Text, nullable=False)
      for name in ("by", "why", "basis", "source", "observed_on", "kind", "content")),
    Column("undoes", Text, ForeignKey("edits.id")),
    Column("revision", Integer, nullable=False),
    Column("data_version", Text, nullable=False),
    Column("change_count", Integer, nullable=False),
    UniqueConstraint("id", name="edits_id_key"),
    UniqueConstraint("undoes", name="edits_undoes_key"),
)  # fmt: skip
"""Every edit; rows are only ever added."""

CHANGES = Table(
    "changes",
    METADATA,
    Column("edit_seq", Integer, ForeignKey("edits.seq"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    *(Column(name, Text, nullable=False) for name in ("table_name", "row_key", "column_name")),
    Column("old", Text, nullable=False),
    Column("new", Text, nullable=False),
)
Index("changes_of_row", CHANGES.c.table_name, CHANGES.c.row_key)

EDITIONS = Table(
    "editions",
    METADATA,
    Column("data_version", Text, primary_key=True),
    Column("kept_at", Text, nullable=False),
    Column("content", LargeBinary, nullable=False),
)
"""The data as it stood, kept for cases and from before an import."""

CASES = Table(
    "cases",
    METADATA,
    Column("id", Text, primary_key=True),
    *(Column(name, Text, nullable=False) for name in ("name", "note", "made_at", "by")),
    Column("data_version", Text, ForeignKey("editions.data_version"), nullable=False),
    *(Column(name, Text, nullable=False)
      for name in ("model_version", "shared_at", "copied_from", "trial", "result",
                   "result_values")),
)  # fmt: skip

OFFER_STEPS = Table(
    "offer_steps",
    METADATA,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False),
    *(Column(name, Text, nullable=False) for name in ("code", "step", "on")),
    Column("committed", Double),
    Column("spent", Double),
    *(Column(name, Text, nullable=False)
      for name in ("works_approval", "heritage", "words", "by", "at")),
    UniqueConstraint("id", name="offer_steps_id_key"),
)  # fmt: skip
"""Every step of every offer; rows are only ever added."""
Index("offer_steps_of_code", OFFER_STEPS.c.code)
