"""Scripts and formulas in whatever people write are text wherever it is shown, printed or saved.

Source: OWASP ASVS 4.0.3, 5.3.1, 5.3.3 (output), 5.3.10 (formulas), 14.4.3 (content policy); OWASP
Web Security Testing Guide 4.2, 4.7.2 (stored scripts); CWE-79, CWE-1236.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest

from slackwater.people.roles import Role
from tests.contracts.attacks.scripts_stored import FORMULAS, SCRIPTS, Stored, stored


class Parsed(HTMLParser):
    """What a browser would make of a page: its elements, what runs, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.running: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name.startswith("on") or (value or "").strip().lower().startswith(
                ("javascript:", "data:text", "vbscript:")
            ):
                self.running.append(f"{tag} {name}={value}")

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def at(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stored]:
    with stored(tmp_path_factory.mktemp("stored")) as made:
        yield made


@dataclass(frozen=True)
class Shown:
    """A page, and whether it has a script of its own."""

    address: str
    own_script: bool = False


def pages(at: Stored) -> list[Shown]:
    case, code = at.case, "A"
    return [
        Shown(f"/print/fund/{case}"), Shown(f"/print/board/{case}"),
        Shown(f"/print/landholder/{case}/{code}"), Shown(f"/shared/{at.link}"),
        Shown(f"/print/landholder/{case}/{code}?version=public"),
        Shown(f"/shared/{at.link}/map.html", own_script=True),
        Shown(f"/files/{case}.html?version=private", own_script=True),
        Shown(f"/print/run/{at.run}"),
    ]  # fmt: skip


def test_no_page_made_here_has_an_element_that_somebody_wrote(at: Stored) -> None:
    """Of paper, of a shared case, of the map: no script, picture, frame or event of the
    attacker's, and what was written is there as text."""
    lead = at.service.caller(Role.LEAD)
    for shown in pages(at):
        answer = lead.get(shown.address)
        assert answer.status_code == 200, shown
        page = Parsed(answer.text)
        assert page.running == [], shown
        assert not {"img", "iframe", "object", "embed", "base", "form"} & set(page.tags), shown
        if not shown.own_script:
            assert "script" not in page.tags, shown
            assert "pwned" in page.text, shown
        assert not [each for each in SCRIPTS if each in answer.text], shown


def test_what_is_sent_as_data_is_never_a_page(at: Stored) -> None:
    """JSON says that it is JSON, and no browser may guess otherwise."""
    lead = at.service.caller(Role.LEAD)
    for path in ("/api/offtakes", "/api/places", "/api/cases", "/api/edits", "/api/offtakes/A/why",
                 "/ogc/collections/offtakes/items", "/ogc", "/ogc/api", "/api/offers"):  # fmt: skip
        answer = lead.get(path)
        assert answer.headers["content-type"].partition(";")[0].endswith("json"), path
        assert answer.headers["x-content-type-options"] == "nosniff"
    for path in ("/api/<script>alert(1)</script>", "/guide/<img src=x onerror=alert(1)>",
                 "/shared/<svg onload=alert(1)>", "/print/fund/<script>"):  # fmt: skip
        answer = lead.get(path)
        kind = answer.headers["content-type"]
        assert "json" in kind or not Parsed(answer.text).running, path
        assert "<script>alert" not in answer.text or "json" in kind, path


def test_a_file_s_name_is_made_of_letters_and_digits(at: Stored) -> None:
    """Line ends, quotes and paths in the name of a case or a catchment reach no header."""
    lead = at.service.caller(Role.LEAD)
    for path in (f"/files/{at.case}.xlsx", f"/files/{at.case}.html", f"/shared/{at.link}/map.html"):
        said = lead.get(path).headers["content-disposition"]
        name = said.removeprefix('attachment; filename="').removesuffix('"')
        assert name.replace("-", "").replace(".", "").isalnum(), said
        assert name.isascii()


def test_a_workbook_has_no_formula_and_no_link_that_somebody_wrote(at: Stored) -> None:
    """Every cell that begins as a formula does is a text, in the result and in what is exported."""
    lead = at.service.caller(Role.LEAD)
    book = openpyxl.load_workbook(io.BytesIO(lead.get(f"/files/{at.case}.xlsx").content))
    assert_inert(book)
    texts = {str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row}
    assert [each for each in FORMULAS if any(each in text for text in texts)]


def test_an_export_is_as_inert(at: Stored, tmp_path: Path) -> None:
    """The workbook of the register likewise; it reads back the same, formula marks and all."""
    out = at.exported(tmp_path / "out.xlsx")
    assert_inert(openpyxl.load_workbook(out))


def assert_inert(book: openpyxl.Workbook) -> None:
    """Require that no cell is a formula or a link."""
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "f", (sheet.title, cell.coordinate, cell.value)
                assert cell.hyperlink is None, (sheet.title, cell.coordinate)
