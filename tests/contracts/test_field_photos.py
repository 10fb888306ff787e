"""Photos at the web door: kept once, as pictures and nothing else; what is hostile is refused."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from slackwater.desk.field.photos_kept import MOST_BYTES
from tests.contracts.at_work import new_id
from tests.contracts.small_register import small_working
from tests.files import photos
from tests.store.field.at_pump import Desk, Phone, a_run, served

SECRET = b"UNDISCLOSED"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    small_working(tmp_path / "small.sqlite").close()
    with served(f"sqlite:///{tmp_path}/small.sqlite") as made:
        yield made


@pytest.fixture
def note(desk: Desk) -> str:
    """The id of a note that has come in."""
    note = Phone(desk.book.put_run(a_run("A")).id).write("A", "photo", "the plate")
    desk.send([note])
    return note["id"]


def put(desk: Desk, note: str, content: bytes, photo: str = "", **more: Any) -> Any:
    """Send a photo."""
    headers = {"Content-Type": more.pop("kind", "image/jpeg")}
    where = f"/api/photos/{photo or new_id()}"
    return desk.client.put(where, params={"note": note, **more}, content=content, headers=headers)


def test_a_photo_comes_back_as_the_picture_it_is(desk: Desk, note: str) -> None:
    """Sent twice it is kept once; it comes back as a JPEG an independent decoder reads alike."""
    sent, photo = photos.jpeg(exif=photos.exif(orientation=6), comment=SECRET), new_id()
    assert put(desk, note, sent, photo).json() == {"id": photo, "note_id": note, "known": False}
    assert put(desk, note, sent, photo).json()["known"] is True
    told = desk.client.get(f"/api/photos/{photo}")
    assert (told.status_code, told.headers["content-type"]) == (200, "image/jpeg")
    assert told.headers["x-content-type-options"] == "nosniff"
    assert SECRET not in told.content
    picture = photos.opened(told.content)
    assert picture.tobytes() == photos.opened(sent).tobytes()
    assert dict(picture.getexif().get_ifd(photos.GPS_IFD)) == {}
    assert len(desk.book.photo_heads()) == 1


def test_the_place_is_kept_only_where_that_is_asked_for(desk: Desk, note: str) -> None:
    """Without being asked it is gone from the bytes that are stored; asked, it is there."""
    sent, kept, bare = photos.jpeg(exif=photos.exif()), new_id(), new_id()
    put(desk, note, sent, bare)
    put(desk, note, sent, kept, place="kept")
    assert b"Exif" not in desk.book.photo(bare).content
    gps = photos.opened(desk.book.photo(kept).content).getexif().get_ifd(photos.GPS_IFD)
    assert gps[1] == "S"
    places = {each["id"]: each["place"] for each in desk.book.photo_heads()}
    assert places == {bare: "", kept: "kept"}
    assert put(desk, note, sent, place="perhaps").status_code == 400


def test_an_id_stands_for_one_photo(desk: Desk, note: str) -> None:
    """Another picture under the same id is refused, and the first stays."""
    first, photo = photos.jpeg(), new_id()
    put(desk, note, first, photo)
    other = put(desk, note, photos.jpeg(photos.picture(8, 8)), photo)
    assert (other.status_code, other.json()["error"]["code"]) == (409, "settled")
    assert photos.opened(desk.book.photo(photo).content).size == (64, 48)


@pytest.mark.parametrize(
    ("content", "status"),
    [
        (b"", 400),
        (b"GIF89a" + SECRET, 400),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", 400),
        (b"\xff\xd8\xff\xe0<script>alert(1)</script>", 400),
        (photos.jpeg()[:200], 400),
        (photos.with_size(photos.jpeg(), 65_500, 65_500), 400),
        (photos.jpeg() + b"\x00" * MOST_BYTES, 413),
        (b"\xff\xd8" + b"\x00" * 5_000_000, 413),
    ],
    ids=["empty", "gif", "svg", "script", "half", "bomb", "too large", "far too large"],
)  # fmt: skip
def test_a_hostile_photo_is_refused(desk: Desk, note: str, content: bytes, status: int) -> None:
    """In the one shape of errors, and nothing of it is kept."""
    told = put(desk, note, content)
    assert told.status_code == status
    assert set(told.json()["error"]) == {"code", "message"}
    assert desk.book.photo_heads() == []


@pytest.mark.parametrize(
    "behind", [b"PK\x03\x04" + SECRET, b"<html><script>" + SECRET, b"GIF89a" + SECRET]
)
def test_what_hides_behind_a_photo_is_not_kept(desk: Desk, note: str, behind: bytes) -> None:
    """A picture that is another file as well is kept as the picture alone."""
    photo = new_id()
    assert put(desk, note, photos.jpeg() + behind, photo).status_code == 200
    assert SECRET not in desk.client.get(f"/api/photos/{photo}").content


def test_a_photo_comes_as_a_photo_of_a_note(desk: Desk, note: str) -> None:
    """Another content type, a note that is not there, no note, no id: refused."""
    assert put(desk, note, photos.jpeg(), kind="text/html").status_code == 400
    assert put(desk, new_id(), photos.jpeg()).status_code == 404
    assert put(desk, "", photos.jpeg()).status_code == 400
    assert put(desk, note, photos.jpeg(), "17").status_code == 400
    assert desk.client.get(f"/api/photos/{new_id()}").status_code == 404
    assert desk.book.photo_heads() == []


def test_a_note_has_so_many_photos(desk: Desk, note: str) -> None:
    """The thirteenth is refused in plain words; another note takes it."""
    sent = photos.jpeg()
    assert {put(desk, note, sent).status_code for _ in range(12)} == {200}
    told = put(desk, note, sent)
    assert (told.status_code, "write another" in told.text) == (409, True)
