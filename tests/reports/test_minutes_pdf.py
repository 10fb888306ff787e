"""The minutes as a PDF: the page's own words and numbers on A4, made here of nothing but them."""

from __future__ import annotations

import re
import socket
import sys
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from slackwater.desk.meeting.minutes_printed import can_print, minutes_file
from slackwater.reports import minutes_pdf as made_here
from slackwater.reports.minutes_pdf import LOOK, NoPdf, minutes_pdf
from tests.reports.met import Met
from tests.reports.printed import plain
from tests.reports.test_minutes import agreed, read, river

NUMBER = re.compile(r"\d[\d,.]*\d|\d")
INK = re.compile(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)\b")


def opened(pdf: bytes) -> PdfReader:
    """The PDF, to be read."""
    return PdfReader(BytesIO(pdf))


def words_of(reader: PdfReader) -> str:
    """All of its words, without spaces: a PDF has none of its own."""
    return re.sub(r"\s", "", " ".join(page.extract_text() for page in reader.pages))


def test_the_pdf_says_what_the_page_says() -> None:
    """A4, three pages, each numbered; every number and every long word of the page is in it."""
    reader = opened(minutes_file(agreed().kept))
    assert {tuple(round(float(side)) for side in page.mediabox[2:]) for page in reader.pages} == {
        (595, 842)
    }
    texts = [plain(page.extract_text()) for page in reader.pages]
    assert [f"page {i} of {len(texts)}" in text for i, text in enumerate(texts, 1)] == [True] * 3
    there, page = words_of(reader), read(agreed()).text.partition("Small river Minutes")[2]
    asked = {*NUMBER.findall(page), *re.findall(r"\w{4,}", page)}
    assert [word for word in asked if word not in there] == []
    for code in (row.code for row in river().rows if row.inside):
        assert there.count(code) >= 2, f"{code} is on the map and in the list"


def test_it_can_be_read_aloud_and_in_black_alone() -> None:
    """It is tagged, has title and language, and no ink in it has a hue."""
    reader = opened(minutes_file(agreed().kept))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert (root["/Lang"], reader.metadata.title) == ("en", "Minutes: Round 2027, Small river")
    inks = {ink for page in reader.pages for ink in INK.findall(page.get_contents().get_data())}
    assert inks
    assert all(len({*ink}) == 1 for ink in inks)


def test_the_same_facts_give_the_same_pdf() -> None:
    """What was kept is printed alike each time; the second time from what was made before."""
    kept = agreed().kept
    assert minutes_file(kept) is minutes_file(dict(kept))


def test_words_in_other_scripts_are_there() -> None:
    """What the facilitator typed in another script, or like markup, is read back as typed."""
    words = "Ελλάδα, Україна & <script>x</script>"
    told = words_of(opened(minutes_file(Met(river(), (), (), 0, ("case", words, "")).kept)))
    assert re.sub(r"\s", "", words) in told


def test_nothing_is_fetched(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A page that asked for files or other machines would get no picture, style or attachment."""
    asked: list[object] = []
    monkeypatch.setattr(socket.socket, "connect", lambda _, to: asked.append(to))
    secret = tmp_path / "secret.css"
    secret.write_text("p::after { content: 'SECRET' }", encoding="utf-8")
    pdf = minutes_pdf(
        f'<link rel="stylesheet" href="{LOOK}"><link rel="stylesheet" href="{secret.as_uri()}">'
        f'<link rel="attachment" href="{secret.as_uri()}"><link rel="stylesheet" href="{secret}">'
        f'<link rel="stylesheet" href="http://127.0.0.1:9/x.css"><img src="{secret.as_uri()}">'
        f'<svg viewBox="0 0 9 9"><image href="{secret.as_uri()}"/></svg><p>words</p>'
    )
    reader = opened(pdf)
    assert asked == []
    assert list(reader.attachments) == []
    assert "words" in reader.pages[0].extract_text()
    assert "SECRET" not in reader.pages[0].extract_text()


def test_without_its_libraries_it_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system lacks them the page is to be printed from the browser, in so many words."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    made_here._weasyprint.cache_clear()
    try:
        assert not can_print()
        with pytest.raises(NoPdf, match="Print the page from the browser"):
            minutes_pdf("<p>")
    finally:
        made_here._weasyprint.cache_clear()
