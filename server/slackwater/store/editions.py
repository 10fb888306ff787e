"""How is the data kept as it stood? As one packed text, apart from the tables."""

from __future__ import annotations

import json
import zlib
from datetime import date
from typing import Any

import shapely
from sqlalchemy import Connection, insert, select

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Kind
from slackwater.catchment.raw import RawTable
from slackwater.store.schema import EDITIONS
from slackwater.store.stored import StoredCatchment, raw_table, stored_catchment


def keep_edition(
    connection: Connection, data_version: str, raw: StoredCatchment, kept_at: str
) -> None:
    """Keep a version's data, once."""
    if not has_edition(connection, data_version):
        content = packed(raw)
        values = {"data_version": data_version, "kept_at": kept_at, "content": content}
        connection.execute(insert(EDITIONS), values)


def has_edition(connection: Connection, data_version: str) -> bool:
    """Whether a version's data is kept."""
    found = select(EDITIONS.c.data_version).where(EDITIONS.c.data_version == data_version)
    return connection.execute(found).first() is not None


def kept_edition(connection: Connection, data_version: str) -> StoredCatchment | None:
    """Give the data of a version, None where it was not kept."""
    found = select(EDITIONS.c.content).where(EDITIONS.c.data_version == data_version)
    content = connection.execute(found).scalar()
    return None if content is None else unpacked(content)


def packed(raw: StoredCatchment) -> bytes:
    """Write a catchment as packed JSON: cells as given, places as WKB in hex."""
    document = {
        "default_name": raw.default_name,
        "settings": raw.settings_text,
        "tables": {name: _written(table) for name, table in raw.tables.items()},
    }
    text = json.dumps(document, ensure_ascii=False, allow_nan=False, default=date.isoformat)
    return zlib.compress(text.encode())


def unpacked(content: bytes) -> StoredCatchment:
    """Read what `packed` wrote."""
    document = json.loads(zlib.decompress(content))
    tables = {name: _read(name, written) for name, written in document["tables"].items()}
    return stored_catchment(tables, document["settings"], document["default_name"])


def _written(table: RawTable) -> dict[str, Any]:
    places = table.geometry
    if places is not None:
        places = [None if place is None else shapely.to_wkb(place, hex=True) for place in places]
    cells = {name: list(column) for name, column in table.cells.items()}
    return {"rows": table.rows, "cells": cells, "places": places}


def _read(name: str, written: dict[str, Any]) -> RawTable:
    fields = TABLES[name].by_name
    cells = written["cells"]
    for column in cells:
        if column in fields and fields[column].kind is Kind.DATE:
            cells[column] = [text and date.fromisoformat(text) for text in cells[column]]
    places = written["places"]
    if places is not None:
        places = [None if place is None else shapely.from_wkb(place) for place in places]
    return raw_table(name, written["rows"], cells, places)
