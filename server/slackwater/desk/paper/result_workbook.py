"""The result workbook of a case: the list, what it was made from, and what proves it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from slackwater.catchment.fields import Shape
from slackwater.catchment.table import Table
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.list_sheet import list_sheet
from slackwater.files.settings_writing import settings_rows
from slackwater.files.written_cells import plain_column, written_tables
from slackwater.reports import cautions
from slackwater.reports.result_workbook import Sheet, cut, json_rows, workbook_bytes

SOURCED = ("basis", "observed_on", "source")


def result_workbook(case: CaseShown, printed_at: datetime) -> bytes:
    """Give the workbook; for the lead alone, since it holds every column.

    Its tables are as understood: defaults filled, units as the data page states them.
    """
    tables = [_table_sheet(table) for table in written_tables(case.evaluation.catchment.tables)]
    sheets = [
        list_sheet(case),
        _weights_and_conditions(case),
        Sheet("certificate", ("JSON, a line a row",), json_rows(case.result["certificate"])),
        _sources(case),
        Sheet(
            "settings", ("key", "value"), list(settings_rows(case.evaluation.catchment.settings))
        ),
        *tables,
    ]
    return workbook_bytes([*sheets[:1], _about(case, printed_at, tables), *sheets[1:]])


def _about(case: CaseShown, printed_at: datetime, tables: list[Sheet]) -> Sheet:
    stamp, result = case.stamp(printed_at), case.result
    told: list[tuple[str, Any]] = [
        ("catchment", stamp.catchment),
        ("case", stamp.case_name),
        ("case id", case.case["id"]),
        ("note", case.case.get("note") or None),
        ("saved by", stamp.made_by or None),
        ("saved at", stamp.made_at),
        ("shared at", stamp.shared_at or None),
        ("data version", stamp.data_version),
        ("data changed at", stamp.data_changed_at or None),
        ("data is the present data", "yes" if stamp.is_present else "no"),
        ("model version", stamp.model_version),
        ("written at", stamp.printed_at),
        ("way to spend", case.way),
        ("in words", result["sentence"]),
        ("units", "SI; money in the catchment's currency; shares 0 to 1; adults are adult "
                  "equivalents a year"),
        ("currency", case.currency or None),
        ("production", "counted" if case.counted else "an index: numbers of fish are relative"),
        ("tables", "as understood: defaults filled, columns named as in the data contract"),
        ("caution", cautions.RANKS),
        ("caution", cautions.BEST),
        ("caution", cautions.APPROVALS),
        ("private", "This file holds names, quotes and metered draw; it is for the agency alone."),
    ]  # fmt: skip
    told += [(f"left out of {s.name}", f"{cut(s):,} rows: a sheet ends") for s in tables if cut(s)]
    return Sheet("about", ("what", "value"), told, wrapped=True)


def _weights_and_conditions(case: CaseShown) -> Sheet:
    result = case.result
    rows: list[tuple[str, Any, str]] = [
        *((f"weight: {label}", weight / 1000, "share of 1") for label, weight in case.weights),
        ("budget", case.trial["budget"], case.currency or "money"),
        ("spent", result["spent"], case.currency or "money"),
        ("offtakes inside", result["inside_count"], "offtakes"),
        ("benefit", result["benefit_adults"], "adult equivalents/year"),
        ("benefit", result["benefit_share"], "share of the loss to pumps, the set as a whole"),
        ("upper bound", result["upper_bound_adults"], "adult equivalents/year"),
        ("gap", result["gap"], "share of the bound"),
        ("by score: spent", result["by_score"]["spent"], case.currency or "money"),
        ("by score: benefit", result["by_score"]["benefit_adults"], "adult equivalents/year"),
        ("close calls", result["close_call_count"], "offtakes"),
        *(("condition", words, "") for words in (*case.conditions, *case.hand_choices)),
    ]
    return Sheet("weights and conditions", ("what", "value", "unit"), rows)


def _sources(case: CaseShown) -> Sheet:
    """Say of every row that has a source where it comes from."""
    rows = [
        row for table in written_tables(case.evaluation.catchment.tables) for row in _sourced(table)
    ]
    return Sheet("sources", ("table", "row", *SOURCED), rows)


def _sourced(table: Table) -> Iterator[tuple[Any, ...]]:
    if "source" not in table.columns:
        return
    keys = table.keys if table.spec.key else tuple(map(str, table.rows.tolist()))
    told = [
        plain_column(table.columns[name]) if name in table.columns else [None] * len(table)
        for name in SOURCED
    ]
    for key, basis, observed_on, source in zip(keys, *told, strict=True):
        if source or basis:
            yield table.name, key, basis, observed_on, source


def _table_sheet(table: Table) -> Sheet:
    """Give one table of the catchment, units in its head; points as lon and lat."""
    known = table.spec.by_name
    columns: dict[str, list[Any]] = {}
    for name, values in table.columns.items():
        unit = known[name].unit if name in known else ""
        columns[f"{name} ({unit})" if unit and unit != "-" else name] = plain_column(values)
    if table.spec.shape is Shape.POINT:
        points = [None] * len(table) if table.geometry is None else list(table.geometry)
        columns["lon (degrees)"] = [None if point is None else point.x for point in points]
        columns["lat (degrees)"] = [None if point is None else point.y for point in points]
    return Sheet(table.name, tuple(columns), list(zip(*columns.values(), strict=True)))
