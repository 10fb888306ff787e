"""What do the settings in a sheet say? Rows of ``key`` and ``value`` as nested plain values.

Dots part the names of a table from its keys: ``weights.risk``, ``year_weights.2018``,
``columns.offtakes.capacity_m3s``. A row of ``[[criterion]]`` is ``criterion.1.column`` and so on,
counted from 1; a pair in ``[ranges]`` is ``ranges.draw.low`` and ``ranges.draw.high``.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from slackwater.errors import Finding
from slackwater.files.grid import Line
from slackwater.files.reading import Reading, finding

KEY, VALUE = "key", "value"


def settings_from_lines(
    lines: Iterable[Line], reading: Reading
) -> tuple[dict[str, Any], dict[str, int]]:
    """Read settings from the sheet's lines; faults are added to the reading.

    Returns
    -------
    settings : nested plain values, as TOML would give them; empty values are left out.
    rows : dotted key -> row.
    """
    settings: dict[str, Any] = {}
    rows: dict[str, int] = {}
    columns: tuple[int, int] | None = None
    for row, cells in lines:
        texts = ["" if cell is None else str(cell).strip() for cell in cells]
        if not any(texts):
            continue
        if columns is None:
            if KEY not in texts or VALUE not in texts:
                remedy = "the sheet's first row must be key, value"
                reading.faults.append(finding("catchment", "missing_column", remedy, row=row))
                return {}, {}
            columns = texts.index(KEY), texts.index(VALUE)
            continue
        padded = [*cells, *[None] * (max(columns) + 1)]
        key, value = texts[columns[0]] if columns[0] < len(texts) else "", padded[columns[1]]
        if value is None or value == "":
            continue
        fault = _put(settings, rows, key, value, row)
        if fault is not None:
            reading.faults.append(fault)
    return _with_lists(settings), rows


def _put(
    settings: dict[str, Any], rows: dict[str, int], key: str, value: Any, row: int
) -> Finding | None:
    """Put a value at its place in the nested settings; give the fault where it has none."""
    parts = [part.strip() for part in key.split(".")]
    if not all(parts):
        remedy = "name a setting in column key, such as weights.risk"
        return finding("catchment", "unknown_key", remedy, row=row, column=key, value=str(value))
    table = settings
    for part in parts[:-1]:
        table = table.setdefault(part, {})
        if not isinstance(table, dict):
            remedy = f"{key} cannot stand beside a value for {part}"
            return finding("catchment", "duplicate_key", remedy, row=row, column=key)
    if parts[-1] in table:
        remedy = f"row {rows.get(key, '?')} gives this setting already; keep one"
        return finding("catchment", "duplicate_key", remedy, row=row, column=key)
    table[parts[-1]] = value
    for depth in range(1, len(parts) + 1):
        rows.setdefault(".".join(parts[:depth]), row)
    return None


def _with_lists(settings: dict[str, Any]) -> dict[str, Any]:
    """Turn numbered criteria into a list and low, high of a range into a pair."""
    criteria = settings.get("criterion")
    if isinstance(criteria, dict) and all(number.isdigit() for number in criteria):
        settings["criterion"] = [criteria[number] for number in sorted(criteria, key=int)]
    ranges = settings.get("ranges")
    if isinstance(ranges, dict):
        settings["ranges"] = {name: _pair(given) for name, given in ranges.items()}
    return settings


def _pair(given: Any) -> Any:
    if isinstance(given, dict) and set(given) == {"low", "high"}:
        return [given["low"], given["high"]]
    return given
