"""The result workbook, opened again by another library."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from io import BytesIO
from typing import Any
from zipfile import ZipFile

import openpyxl
import pytest

from slackwater.catchment.contract import TABLES
from slackwater.desk.paper.case_shown import CaseShown
from slackwater.desk.paper.result_workbook import result_workbook
from slackwater.reports.result_workbook import MOST_LETTERS, MOST_ROWS, Sheet, cut, json_rows
from tests.reports.cases import case_of, demo_best, small_shown

NOW = datetime(2026, 11, 29, 16, 0, tzinfo=UTC)
FORMULA = '=HYPERLINK("http://example.invalid","x")'


@pytest.fixture(scope="module")
def case() -> CaseShown:
    return demo_best()


@pytest.fixture(scope="module")
def book(case: CaseShown) -> openpyxl.Workbook:
    return openpyxl.load_workbook(BytesIO(result_workbook(case, NOW)))


def rows_of(book: openpyxl.Workbook, sheet: str) -> list[dict[str, Any]]:
    heads, *rows = book[sheet].iter_rows(values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in rows]


def test_the_list_is_the_case_in_full_precision(case: CaseShown, book: openpyxl.Workbook) -> None:
    """Every offtake in order of rank; score, cost and gain to the last bit, state and reasons."""
    rows = rows_of(book, "list")
    kept = case.result["rows"]
    assert [row["code"] for row in rows] == [row["code"] for row in kept]
    for row, of in zip(rows, kept, strict=True):
        assert row["rank"] == of["rank"]
        assert row["score (0 to 1)"] == of["score"]
        assert row["cost to the fund (CDL)"] == of["cost"]
        assert row["gain (share of the loss)"] == of["gain_share"]
        assert (row["state"].split(",")[0] == "inside the budget") == (
            of["state"] == "inside" and not of["close_call"] and not of["by_hand"]
        )
    offers = {row.code: {"offered": "Offered.", "accepted": "Accepted."}.get(row.status, "")
              for row in case.rows}  # fmt: skip
    by_hand = {**case.trial["kept_in"], **case.trial["left_out"]}
    told = {code: f"{word} {by_hand.get(code, '')}".strip() for code, word in offers.items()}
    assert {row["code"]: row["reason"] or "" for row in rows} == told


def test_the_parts_sum_to_the_score(book: openpyxl.Workbook) -> None:
    """W3 on the sheet: each row's points make its score."""
    for row in rows_of(book, "list"):
        points = [value for head, value in row.items() if head.endswith(": points")]
        assert len(points) == 3
        assert sum(points) == pytest.approx(row["score (0 to 1)"], abs=1e-9)


def test_every_table_is_there_with_its_units(case: CaseShown, book: openpyxl.Workbook) -> None:
    """As understood: each row and column of the contract, its unit in the head."""
    for name, table in case.evaluation.catchment.tables.items():
        if not len(table):
            continue
        heads, *rows = book[name].iter_rows(values_only=True)
        assert len(rows) == len(table)
        for field in TABLES[name].fields:
            unit = field.unit if field.unit != "-" else ""
            assert (f"{field.name} ({unit})" if unit else field.name) in heads
    capacity = [row["capacity_m3s (m3/s)"] for row in rows_of(book, "offtakes")]
    assert capacity == case.evaluation.catchment.table("offtakes").number("capacity_m3s").tolist()


def test_the_certificate_reads_back_whole(case: CaseShown, book: openpyxl.Workbook) -> None:
    """A line a row; joined again it is the certificate, to the last digit."""
    lines = ["".join(cell for cell in row if cell is not None)
             for row in book["certificate"].iter_rows(min_row=2, values_only=True)]  # fmt: skip
    assert json.loads("\n".join(lines)) == case.result["certificate"]


def test_a_line_longer_than_a_cell_goes_on_beside_it() -> None:
    """No letter is lost at the limit of a cell."""
    value = {"long": "x" * (2 * MOST_LETTERS + 5)}
    rows = json_rows(value)
    assert max(len(cell) for row in rows for cell in row) == MOST_LETTERS
    assert json.loads("\n".join("".join(row) for row in rows)) == value
    assert json_rows(None) == []


def test_versions_weights_and_sources_are_there(case: CaseShown, book: openpyxl.Workbook) -> None:
    """What a reader needs to know where the numbers come from."""
    about = {row["what"]: row["value"] for row in rows_of(book, "about")}
    assert about["data version"] == case.case["data_version"]
    assert about["model version"] == case.case["model_version"]
    assert about["written at"] == NOW.isoformat()
    told = {row["what"]: row["value"] for row in rows_of(book, "weights and conditions")}
    assert told["weight: Entrainment risk"] == case.trial["weights"]["risk"] / 1000
    assert told["spent"] == case.result["spent"]
    conditions = [row["value"] for row in rows_of(book, "weights and conditions")
                  if row["what"] == "condition"]  # fmt: skip
    assert "At most 40 installs." in conditions
    assert any("its owner has offered to host visits" in each for each in conditions)
    sources = {(row["table"], row["row"]) for row in rows_of(book, "sources")}
    assert ("options", "drum") in sources
    assert ("offtakes", "LN-001") in sources


def test_a_cell_that_looks_like_a_formula_is_text() -> None:
    """Nothing in the file is a formula or a link; the words stand as they were written."""
    case = case_of(small_shown({"label": FORMULA, "landholder": "+1+1", "contact": "@x"}), 9e4,
                   name=FORMULA)  # fmt: skip
    content = result_workbook(case, NOW)
    with ZipFile(BytesIO(content)) as parts:
        sheets = [parts.read(n).decode() for n in parts.namelist() if "/worksheets/" in n]
        assert not [name for name in parts.namelist() if "_rels/sheet" in name]
    assert not any("<f>" in sheet or "<hyperlink" in sheet for sheet in sheets)
    book = openpyxl.load_workbook(BytesIO(content))
    assert rows_of(book, "offtakes")[0]["label"] == FORMULA
    assert all(cell.data_type != "f" for row in book["offtakes"].iter_rows() for cell in row)


def test_by_score_has_no_certificate_and_says_no_gap() -> None:
    """The sheet stands empty under its head."""
    book = openpyxl.load_workbook(BytesIO(result_workbook(case_of(small_shown(), 9e4), NOW)))
    assert book["certificate"].max_row == 1
    told = {row["what"]: row["value"] for row in rows_of(book, "weights and conditions")}
    assert told["gap"] is None


def test_rows_past_the_end_of_a_sheet_are_counted() -> None:
    """So that the sheet about it can say how many were left out."""
    assert cut(Sheet("x", ("a",), [(1,)] * (MOST_ROWS + 3))) == 3
    assert cut(Sheet("x", ("a",), [(1,)])) == 0
