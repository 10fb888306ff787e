"""W17 for the meeting: nothing private is in any byte that a phone, a wall, a facilitator or a
reader of the minutes is told, with token and key, while it is on and when it has ended.

The facilitator sees what phones wrote beside places, and nothing else that others do not.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdf
import pytest

from slackwater.people.roles import Role
from tests.contracts.private.agency import MARKED, Agency, agency, let_guess
from tests.contracts.private.searching import UNSAID, not_for, told_by
from tests.contracts.private.test_every_route import assert_nothing_logged

LEVELS = {"risk": 4, "overlap": 4, "cost": 2}
STEPS = ("river", "problem", "screens", "list", "room", "choice")


@pytest.fixture(scope="module", autouse=True)
def unhurried() -> Iterator[None]:
    """A test guesses more codes in a minute than anybody may."""
    with pytest.MonkeyPatch.context() as patch:
        let_guess(patch)
        yield


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Agency]:
    with agency(tmp_path_factory.mktemp("met")) as made:
        yield made


def heard(served: Agency) -> Iterator[tuple[str, Any]]:
    """Give every answer of the meeting that is on, to whoever has code, token or key."""
    browser, code = served.service.browser(), served.ids["meeting_code"][0]
    at, lead = f"/api/meet/{code}", {"X-Slackwater-Key": served.key}
    joined = browser.post(f"{at}/join")
    phone = {"X-Slackwater-Phone": joined.json()["phone"]}
    yield "join", joined
    body = {"levels": LEVELS, "group": "agency"}
    yield "put mine", browser.put(f"{at}/mine", json=body, headers=phone)
    yield "bad mine", browser.put(f"{at}/mine", json={"levels": {"quote": 1}}, headers=phone)
    yield "mine", browser.get(f"{at}/mine", headers=phone)
    for step in STEPS:
        told = browser.put(f"{at}/lead/step", json={"step": step}, headers=lead)
        assert told.status_code == 200
        yield f"lead {step}", told
        for path in ("", "/now", "/news", "/qr.svg"):
            yield f"{step} {path}", browser.get(f"{at}{path}")
    for what, said in (("hold", {"held": True}), ("hold", {"held": False}),
                       ("door", {"open": True}), ("trial", {"shown": False}),
                       ("trial", {"shown": True}),
                       ("agreed", {"what": "case", "words": "Yes.", "left_open": "", "seen": 0}),
                       ("agreed", {"what": "case", "words": "Yes.", "left_open": "", "seen": 1}),
                       ("agreed", {"what": "no", "words": ""})):  # fmt: skip
        yield f"lead {what}", browser.put(f"{at}/lead/{what}", json=said, headers=lead)
    for page in ("", "/wall", "/lead", "/minutes"):
        yield page, browser.get(f"/meet/{code}{page}")
    closed = browser.post(f"{at}/lead/close", headers=lead)
    assert closed.status_code == 200
    yield "close", closed


def test_nothing_private_is_told_in_a_meeting(
    served: Agency, caplog: pytest.LogCaptureFixture
) -> None:
    """To anyone in it: texts, numbers in any rendering, places; nor does the log have it."""
    caplog.set_level(logging.DEBUG)
    count, marked = 0, set()
    for what, answer in heard(served):
        assert answer.status_code < 500, (what, answer.text)
        told, count = told_by(answer), count + 1
        if MARKED in told:
            marked.add(what.split(" ", maxsplit=1)[0])
        assert not_for(served, Role.PUBLIC, told.replace(MARKED, "")) == [], what
    assert count > 40
    assert marked == {"lead"}
    assert_nothing_logged(served, caplog)


def test_nothing_private_is_in_minutes(served: Agency) -> None:
    """Neither on their page nor in their PDF, of a meeting that agreed on a trial: not the reasons
    of the case's hand choices, not a price, not who opened it, nothing written beside places."""
    browser, code = served.service.browser(), served.ids["meeting_code"][1]
    page = browser.get(f"/meet/{code}/minutes")
    assert page.status_code == 200
    assert "Start here." in page.text
    assert not_for(served, Role.PUBLIC, told_by(page)) == []
    file = browser.get(f"/meet/{code}/minutes.pdf")
    if file.status_code == 404:
        assert file.json()["error"]["code"] == "no_pdf"
        return
    text = "\n".join(
        each.extract_text() for each in pypdf.PdfReader(io.BytesIO(file.content)).pages
    )
    assert "Start here." in text
    assert not_for(served, Role.PUBLIC, UNSAID.sub(" ", text)) == []


def test_the_database_of_a_meeting_keeps_no_phone_and_no_place(
    served: Agency, tmp_path: Path
) -> None:
    """Tokens, places and single weightings live in memory alone: no file has them."""
    register, copy = served.service.working.register, tmp_path / "backup.sqlite"
    register.backup(copy)
    folder = Path(register.connected.url.database or "").parent
    files = [copy, *folder.glob("*.sqlite*")]
    assert len(files) >= 2
    for file in files:
        assert MARKED.encode() not in file.read_bytes(), file
