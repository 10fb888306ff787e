"""A photo is kept as the picture it is, and as nothing else; an independent decoder looks at it."""

from __future__ import annotations

import zipfile
from io import BytesIO

import pytest

from slackwater.errors import UsageError
from slackwater.files.jpeg import MOST_SIDE_PX, only_picture
from tests.files import photos

SECRET = b"UNDISCLOSED"


@pytest.mark.parametrize(
    "sent",
    [
        photos.jpeg(),
        photos.jpeg(photos.picture(mode="L")),
        photos.jpeg(progressive=True),
        photos.jpeg(restart_marker_blocks=2),
        photos.jpeg(subsampling=0, keep_rgb=True),
        photos.jpeg(photos.picture(301, 7), optimize=True),
        photos.jpeg(exif=photos.exif(), comment=SECRET, icc_profile=SECRET * 40),
    ],
    ids=["plain", "grey", "progressive", "restarts", "rgb", "narrow", "dressed"],
)
def test_the_picture_stays_point_for_point(sent: bytes) -> None:
    """Pillow decodes the same points from what is kept as from what was sent."""
    kept = only_picture(sent)
    before, after = photos.opened(sent), photos.opened(kept.content)
    assert (
        (after.mode, after.size)
        == (before.mode, before.size)
        == (after.mode, (kept.width_px, kept.height_px))
    )
    assert after.tobytes() == before.tobytes()
    assert only_picture(kept.content) == kept


def test_what_a_camera_says_is_left_out() -> None:
    """Maker, comment, profile, a smaller picture and the place are gone; which way is up stays."""
    sent = photos.jpeg(exif=photos.exif(orientation=6), comment=SECRET, icc_profile=SECRET * 40)
    assert SECRET in sent
    kept = only_picture(sent)
    assert SECRET not in kept.content
    assert not kept.has_place
    said = photos.opened(kept.content).getexif()
    assert dict(said) == {photos.ORIENTATION: 6}
    assert dict(said.get_ifd(photos.GPS_IFD)) == {}


def test_the_place_stays_where_it_is_asked_for() -> None:
    """Asked to keep it, the photo says latitude and longitude, and nothing beside them."""
    kept = only_picture(photos.jpeg(exif=photos.exif()), keep_place=True)
    assert kept.has_place
    assert SECRET not in kept.content
    gps = photos.opened(kept.content).getexif().get_ifd(photos.GPS_IFD)
    assert (gps[1], gps[3], set(gps)) == ("S", "E", {1, 2, 3, 4})
    degrees = [float(d) + float(m) / 60 + float(s) / 3600 for d, m, s in (gps[2], gps[4])]
    assert degrees == pytest.approx([-photos.LAT_DEG, photos.LON_DEG], abs=1e-8)


def test_a_photo_without_a_place_has_none_to_keep() -> None:
    """Asked to keep a place that is not there, nothing is made up."""
    assert not only_picture(photos.jpeg(exif=photos.exif(place=False)), keep_place=True).has_place


def test_what_is_two_files_at_once_is_one_afterwards() -> None:
    """A JPEG with an archive, a page or a script behind it, or in a comment, keeps none of it."""
    archive = BytesIO()
    with zipfile.ZipFile(archive, "w") as file:
        file.writestr("x.html", SECRET)
    page = b"<html><script>alert('" + SECRET + b"')</script></html>"
    for sent in (
        photos.jpeg() + archive.getvalue(),
        photos.jpeg() + page,
        photos.with_segment(photos.jpeg(), 0xFE, b"*/=1;" + page),
        photos.with_segment(photos.jpeg(), 0xE7, page),
        photos.with_segment(photos.jpeg(), 0xE1, b"Exif\x00\x00" + page),
    ):
        kept = only_picture(sent).content
        assert b"script" not in kept
        assert SECRET not in kept
        assert not zipfile.is_zipfile(BytesIO(kept))
        assert photos.opened(kept).size == (64, 48)


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        (b"", "not a JPEG"),
        (b"GIF89a" + b"\x00" * 50, "not a JPEG"),
        (b"\x89PNG\r\n\x1a\n" + b"\x00" * 50, "not a JPEG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "not a JPEG"),
        (b"\xff\xd8", "not whole"),
        (b"\xff\xd8\xff\xd9", "not whole"),
        (b"\xff\xd8\xff\xe0\x00\x01", "not whole"),
        (b"\xff\xd8\xff\xe0\xff\xff", "not whole"),
        (b"\xff\xd8<script>alert(1)</script>", "not whole"),
        (photos.jpeg()[:-2], "not whole"),
        (photos.jpeg()[:300], "not whole"),
        (b"\xff\xd8" + b"\xff\xfe\x00\x02" * 2_000 + photos.jpeg()[2:], "too many parts"),
        (photos.jpeg(photos.picture(mode="CMYK")), "of a kind"),
        (photos.with_segment(photos.jpeg(), 0xDB, b"\x00" + b"x" * 80), "of a kind"),
        (photos.with_segment(photos.jpeg(), 0xC8, b"x" * 80), "of a kind"),
        (photos.with_size(photos.jpeg(), 65_500, 65_500), "pixels"),
        (photos.with_size(photos.jpeg(), MOST_SIDE_PX + 1, 10), "pixels"),
        (photos.with_size(photos.jpeg(), 7_000, 7_000), "pixels"),
        (photos.with_size(photos.jpeg(), 64, 0), "not whole"),
    ],
)  # fmt: skip
def test_what_is_no_photo_is_refused(sent: bytes, told: str) -> None:
    """Refused in plain words, without a decoder: other files, halves, bombs, odd kinds."""
    with pytest.raises(UsageError, match=told):
        only_picture(sent)


def test_a_torn_photo_is_refused_or_whole() -> None:
    """Cut anywhere or with any byte changed, it is refused, or what is kept has a sound form."""
    sent = photos.jpeg(exif=photos.exif())
    for at in range(2, len(sent), 7):
        torn = bytearray(sent)
        torn[at] ^= 0xFF
        for odd in (bytes(torn), sent[:at]):
            try:
                kept = only_picture(odd, keep_place=True)
            except UsageError:
                continue
            assert only_picture(kept.content, keep_place=True) == kept
            assert SECRET not in kept.content
