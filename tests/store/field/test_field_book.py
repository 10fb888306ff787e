"""The field book of either store: runs kept once, records only added, all of it backed up."""

from __future__ import annotations

import inspect
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from slackwater.errors import NotHere, Settled, UsageError
from slackwater.store import Register, open_register, restore
from slackwater.store import notes as notes_kept
from slackwater.store import photos as photos_kept
from slackwater.store import settlements as settlements_kept
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Choice, Note, Photo, Settlement
from tests.store.conftest import NewUrl
from tests.store.field.at_pump import a_run
from tests.store.postgres import Server
from tests.store.said import capacity, check, edit, fresh_id

AT = "2026-03-01T08:00:00.000+10:00"


def a_note(run_id: str, **more: object) -> Note:
    """Make a note."""
    said = {"id": fresh_id(), "run_id": run_id, "code": "0012", "field": "plate_capacity",
            "typed": "27", "unit": "ML/d", "value": 0.3125, "at": AT, "phone": "p1", "after": "",
            "by": "kim"}  # fmt: skip
    return Note(**said | more)  # type: ignore[arg-type]


def a_photo(note_id: str, content: bytes = b"\xff\xd8 picture \x00\xff") -> Photo:
    """Make a photo."""
    return Photo(fresh_id(), note_id, "digest", "", 64, 48, "kim", content)


def worked_in(register: Register) -> FieldBook:
    """Leave something of every kind behind."""
    book = FieldBook(register)
    run = book.put_run(a_run("0012", "0013"))
    one, other = a_note(run.id), a_note(run.id, phone="p2", typed="ß 河", value="ß 河")
    blank = a_note(run.id, value=None, code="0013")
    book.write([one, other, blank])
    book.put_photo(a_photo(one.id))
    book.choose(
        Choice(fresh_id(), "0012", "plate_capacity", (one.id, other.id), one.id, "lee", "seen"),
        lambda *_: None,
    )
    done = edit(capacity(0.3, 0.3125), basis="measured")
    book.accept([Settlement(one.id, done.id, "accepted", 0.3125, "Ada", "seen")], done, check)
    book.refuse([Settlement(blank.id, fresh_id(), "refused", None, "Ada", "blank")])
    return book


def all_in(book: FieldBook) -> tuple[object, ...]:
    """Give everything a field book holds."""
    photos = [book.photo(each["id"]) for each in book.photo_heads()]
    return book.runs(dropped=True), book.notes(), book.choices(), photos, book.settlements()


def test_a_field_book_comes_back_from_a_backup(url: str, tmp_path: Path) -> None:
    """Runs, notes, choices, photos and settlements are as they were, whatever came since."""
    with closing(open_register(url)) as register:
        book = worked_in(register)
        before = all_in(book)
        assert all(before)
        register.backup(tmp_path / "b.sqlite")
        book.write([a_note(book.runs()[0].id)])
    restore(tmp_path / "b.sqlite", url, replace=True)
    with closing(open_register(url)) as again:
        assert all_in(FieldBook(again)) == before


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_field_book_moves_from_one_store_to_the_other(
    register: Register, postgres: Server, tmp_path: Path
) -> None:
    """A backup of a file restores into PostgreSQL and back, and nothing changes."""
    before = all_in(worked_in(register))
    register.backup(tmp_path / "of_file.sqlite")
    server = postgres.new_database()
    restore(tmp_path / "of_file.sqlite", server)
    with closing(open_register(server)) as there:
        assert all_in(FieldBook(there)) == before
        there.backup(tmp_path / "of_server.sqlite")
    restore(tmp_path / "of_server.sqlite", str(tmp_path / "again.sqlite"))
    with closing(open_register(str(tmp_path / "again.sqlite"))) as back:
        assert all_in(FieldBook(back)) == before


@pytest.mark.parametrize("kind", ["sqlite"])
def test_a_database_with_runs_alone_holds_data(
    register: Register, new_url: NewUrl, tmp_path: Path
) -> None:
    """A restore over it asks for ``--replace``: field notes are no less than edits."""
    register.backup(tmp_path / "b.sqlite")
    with closing(open_register(new_url(), create=True)) as other:
        FieldBook(other).put_run(a_run("0012"))
        where = other.connected.url.render_as_string(hide_password=False)
    with pytest.raises(UsageError, match="holds data"):
        restore(tmp_path / "b.sqlite", where)


def test_a_run_is_kept_once(register: Register) -> None:
    """Sent again it is the one that is kept, also once its stops were moved; another is refused."""
    book, asked = FieldBook(register), a_run("0012", "0013", plan={"budget": 5})
    kept = book.put_run(asked)
    assert (kept.codes, kept.plan, bool(kept.made_at)) == (("0012", "0013"), {"budget": 5}, True)
    assert book.put_run(asked) == kept == book.run(asked.id)
    with pytest.raises(Settled):
        book.put_run(replace(asked, days=()))
    moved = book.put_order(asked.id, [{"stops": [{"code": "0013"}]}, {"stops": [{"code": "0012"}]}])
    assert moved.codes == ("0013", "0012")
    assert book.put_run(asked) == moved == book.run(asked.id)
    with pytest.raises(Settled):
        book.put_run(replace(asked, name="Another"))
    with pytest.raises(NotHere):
        book.put_order(fresh_id(), [])
    with pytest.raises(UsageError):
        book.put_run(replace(asked, id="17"))


def test_a_run_with_notes_stays(register: Register) -> None:
    """One without can be taken off the list, and what its phone sends later is kept and listed."""
    book = FieldBook(register)
    old, new = book.put_run(a_run("0012", on="2026-02-01")), book.put_run(a_run("0013"))
    assert [run.id for run in book.runs()] == [new.id, old.id]
    book.drop_run(old.id)
    assert [run.id for run in book.runs()] == [new.id]
    assert book.write([a_note(old.id)]).kept
    assert [run.id for run in book.runs()] == [new.id, old.id]
    with pytest.raises(Settled):
        book.drop_run(old.id)
    with pytest.raises(NotHere):
        book.drop_run(fresh_id())


def test_notes_are_kept_once_and_as_sent(url: str) -> None:
    """A batch with repeats, another note under an id, and a new one: each is told, order holds."""
    with closing(open_register(url)) as register:
        book = FieldBook(register)
        run = book.put_run(a_run("0012"))
        first, second, third = (a_note(run.id, value=value) for value in (0.1 + 0.2, "ß 河", None))
        assert book.write([first, second]).kept == (first.id, second.id)
        again = book.write([second, replace(first, typed="28"), third, third])
        assert (again.kept, again.known) == ((third.id,), (second.id, third.id))
        assert again.clashing == (first.id,)
    with closing(open_register(url)) as later:
        kept = FieldBook(later).notes(run_id=run.id)
    assert [replace(each, received_at="") for each in kept] == [first, second, third]
    assert all(each.received_at for each in kept)


def test_of_a_batch_that_fails_nothing_is_kept(register: Register) -> None:
    """A note of a run that is not there: the database itself refuses, and the others go with it."""
    book = FieldBook(register)
    run = book.put_run(a_run("0012"))
    with pytest.raises(Exception, match=r"(?i)foreign key"):
        book.write([a_note(run.id), a_note(fresh_id())])
    assert book.notes() == []


def test_a_note_is_dealt_with_once(register: Register) -> None:
    """Accepted, it can be neither accepted again nor refused; the register does not move."""
    book = worked_in(register)
    note = book.notes()[0]
    before, there = register.standing(), book.settlements()
    again = edit(capacity(0.3125, 0.4))
    with pytest.raises(Settled):
        book.accept([Settlement(note.id, again.id, "accepted", 0.4, "Ada", "x")], again, check)
    with pytest.raises(Settled):
        book.refuse([Settlement(note.id, fresh_id(), "refused", None, "Ada", "x")])
    assert (register.standing(), book.settlements()) == (before, there)


def test_photos_are_kept_once(register: Register) -> None:
    """Byte for byte; the same id with another picture or note is refused."""
    book = FieldBook(register)
    run = book.put_run(a_run("0012"))
    one, other = a_note(run.id), a_note(run.id)
    book.write([one, other])
    photo = a_photo(one.id, bytes(range(256)) * 40)
    assert [book.put_photo(photo), book.put_photo(photo)] == [False, True]
    assert replace(book.photo(photo.id), received_at="") == photo
    for changed in (replace(photo, sent_digest="other"), replace(photo, note_id=other.id)):
        with pytest.raises(Settled):
            book.put_photo(changed)
    (head,) = book.photo_heads(["0012"])
    assert (head["note_id"], head["code"], head["run_id"]) == (one.id, "0012", run.id)
    assert book.photo_heads(["0013"]) == []
    with pytest.raises(NotHere):
        book.photo(fresh_id())


def test_records_are_only_ever_added() -> None:
    """What writes notes, choices, photos and settlements can neither update nor delete."""
    for module in (notes_kept, photos_kept, settlements_kept):
        source = inspect.getsource(module)
        assert "insert(" in source
        assert "update" not in source
        assert "delete" not in source
