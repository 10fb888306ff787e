"""Which column of the file is which of the contract, and what do its cells say?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import numpy as np

from slackwater.catchment.cells import parse_cells
from slackwater.catchment.contract.columns import number
from slackwater.catchment.draft import Draft
from slackwater.catchment.fields import Field, TableSpec
from slackwater.catchment.findings import Findings, did_you_mean, nearest_word
from slackwater.catchment.raw import RawTable
from slackwater.catchment.table import empty_table
from slackwater.errors import Finding

ALIKE = 0.75
"""How alike a stray column's name must be to an unfilled one for a warning."""

FILLED = ("reaches", "gauges", "guilds")
"""Tables that need a row; offtakes and daily need one too, which is said elsewhere."""

NOT_STRAY = ("lon", "lat", "x", "y", "fid", "id", "geometry", "geom")


def draft_table(
    raw: RawTable | None,
    spec: TableSpec,
    renames: Mapping[str, str],
    further: Collection[str],
    findings: Findings,
    *,
    reported: bool,
) -> Draft:
    """Find the contract's columns in a file's table and understand their cells.

    Parameters
    ----------
    raw : the table as read, None where there is none.
    renames : contract name -> agency's name.
    further : names of further numeric columns to keep where the file has them.
    reported : a fault already says why the table, or the names of its columns, are not known.
    """
    if raw is None:
        draft = Draft(
            spec,
            findings,
            np.zeros(0, np.int64),
            {},
            dict(empty_table(spec.name).columns),
            readable=not spec.needed and not reported,
        )
        if spec.needed and not reported:
            names = ", ".join(field.name for field in spec.fields if field.needed)
            draft.fault_whole("missing_table", f"give {spec.name}: {spec.meaning}; with {names}")
        return draft
    draft = Draft(
        spec, findings, np.array(raw.rows, np.int64), _named(raw, spec, renames, further), {}
    )
    if not len(draft) and spec.name in FILLED:
        draft.fault_whole("empty_table", f"give at least one row: {spec.meaning}")
        draft.readable = False
    for field in spec.fields:
        _understand_column(draft, field, raw, renames, reported=reported)
    for name in draft.raw:
        if name not in spec.by_name:
            _understand_column(
                draft,
                number(name, "", f"{name}, a further number", least=None),
                raw,
                renames,
                reported=reported,
            )
    _warn_of_stray_columns(draft, raw, renames)
    return draft


def _named(
    raw: RawTable, spec: TableSpec, renames: Mapping[str, str], further: Collection[str]
) -> dict[str, Any]:
    """Give the cells the file has by contract name."""
    wanted = [*spec.by_name, *(name for name in further if name not in spec.by_name)]
    named = {name: renames.get(name, name) for name in wanted}
    return {name: raw.cells[own] for name, own in named.items() if own in raw.cells}


def _understand_column(
    draft: Draft, field: Field, raw: RawTable, renames: Mapping[str, str], *, reported: bool
) -> None:
    """Type one column; a column that is not there is all default, or at fault where needed."""
    cells = draft.raw.get(field.name)
    if cells is None:
        absent = Field(field.name, field.kind, field.meaning, field.unit, default=field.default)
        draft.columns[field.name] = parse_cells(absent, [None] * len(draft)).values
        if field.needed or field.name in renames:
            if not reported:
                _report_missing(draft, field, raw, renames)
            draft.bad[field.name] = np.ones(len(draft), bool)
            draft.readable = draft.readable and field.name not in draft.spec.key
        return
    parsed = parse_cells(field, cells, in_key=field.name in draft.spec.key)
    draft.columns[field.name] = parsed.values
    for position, (code, remedy) in parsed.troubles.items():
        draft.fault(position, field.name, code, remedy)


def _report_missing(draft: Draft, field: Field, raw: RawTable, renames: Mapping[str, str]) -> None:
    own = renames.get(field.name, field.name)
    hint = did_you_mean(own, _strays(draft, raw, renames))
    if field.name in renames:
        told = f"{raw.found_in} has no column {own!r}, which the settings name for {field.name}"
    else:
        told = f"{raw.found_in} needs a column {own}: {field.meaning}"
    draft.fault_whole("missing_column", told + hint, field.name, own if own != field.name else "")


def _strays(draft: Draft, raw: RawTable, renames: Mapping[str, str]) -> list[str]:
    """Give the file's columns that nothing is read from."""
    used = {renames.get(name, name) for name in draft.raw}
    return [name for name in raw.cells if name not in used and name.lower() not in NOT_STRAY]


def _warn_of_stray_columns(draft: Draft, raw: RawTable, renames: Mapping[str, str]) -> None:
    """Warn of a column left unread whose name is almost that of one that is not there."""
    unfilled = [
        field.name
        for field in draft.spec.fields
        if field.name not in draft.raw and not field.needed and field.name not in renames
    ]
    for stray in _strays(draft, raw, renames):
        near = nearest_word(stray, unfilled, ALIKE)
        if near:
            remedy = f"nothing is read from {stray!r}; did you mean {near!r}?"
            draft.findings.warn(
                Finding(draft.name, None, "", near, stray, "unknown_column", remedy)
            )
