"""What do the notes propose? The newest of each field, where the register says something else.

A note is proposed until a lead accepts or refuses it. Notes that contradict each other propose
nothing until somebody chooses. What is no column of the register proposes nothing either: today's
depth stands beside the depth at low level, and so does the gauge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from typing import Any

from slackwater.catchment.raw import RawTable
from slackwater.decisions.triangular import DOUBLE, HALF
from slackwater.desk.field.forms import CONSENT_MEANS, FORM_OF, Form, Holds
from slackwater.desk.field.notes_told import contested_values, note_values
from slackwater.desk.field.standing_notes import OfField, Standing, says_the_same, standings
from slackwater.desk.row_shown import cells_of, fields_of, place_of_key
from slackwater.desk.working import Newest, Working
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Note, Run

BESIDE = {"depth_low": ("depth_today", "gauge_reading"), "plate_capacity": ("running",)}
"""Fields without a column of their own that are told beside one that has."""
IN_WORDS = (
    "seen in words: give the number it stands for, encounter at this intake over the river's mean"
)
ONLY_MEASURED = "a bank usually means below 1, but only where that was measured"
ABOUT_CONSENT = "consent to enter is not yet consent to a screen: be sure which was given"
FAR_OFF = "more than 3 times off what the register says: look at the unit and the photo first"
TOO_DEEP = "deeper than 30 m: look at the unit first"
TIMES_OFF, DEEPEST_M, ROUNDING = 3.0, 30.0, 1e-9
NO_SUCH_OPTION = "the register has no option of this id: give one it has, or none"
NOT_THERE = "the register has no such offtake any more"


@dataclass(frozen=True)
class Proposal:
    """A note that would change the register.

    Attributes
    ----------
    register : what stands there, as it was given; None where the cell is empty.
    proposed : what would stand there; None where somebody has to give it.
    words : what to know before it is accepted, "" for nothing.
    ticked : nothing speaks against taking it over as it is.
    """

    note: Note
    column: str
    register: float | str | None
    proposed: float | str | None
    words: str = ""
    ticked: bool = False


def all_proposals(working: Working) -> dict[str, Any]:
    """Give every proposal, and the notes that wait for a choice."""
    book, newest = FieldBook(working.register), working.newest()
    found = standings(book.notes(), book.choices())
    settled = {each.note_id for each in book.settlements()}
    runs = {run.id: run for run in book.runs(dropped=True)}
    heads = book.photo_heads()
    photos: dict[OfField, list[str]] = {}
    for photo in heads:
        photos.setdefault((photo["run_id"], photo["code"]), []).append(photo["id"])
    lasts: dict[str, Any] = {}
    told, beside, shown = [], set(), set()
    for each in proposals_in(newest, found, settled):
        note, others = each.note, _beside(each.note, found)
        beside |= {other.id for other in others}
        shown.add((note.run_id, note.code))
        if note.code not in lasts:
            lasts[note.code] = working.register.written_last("offtakes", note.code)
        last = lasts[note.code].get(each.column) or lasts[note.code].get("")
        told.append(
            {
                "note": note_values(note),
                "label": FORM_OF[note.field].label,
                "run_name": runs[note.run_id].name,
                "column": each.column,
                "register": each.register,
                "register_at": last.at if last else "",
                "register_by": last.by if last else "",
                "proposed": each.proposed,
                "words": each.words,
                "ticked": each.ticked,
                "beside": [note_values(other) for other in others],
                "photos": photos.get((note.run_id, note.code), []),
            }
        )
    said = [
        {
            "note": note_values(note),
            "label": FORM_OF[note.field].label,
            "run_name": runs[note.run_id].name,
        }
        for note in said_in(found)
        if note.id not in beside
    ]
    return {
        "proposals": told,
        "contested": contested_values(found),
        "said": said,
        "photos": _photos_alone(photos, heads, shown, runs),
    }


def _photos_alone(
    photos: Mapping[OfField, list[str]],
    heads: Iterable[Mapping[str, Any]],
    shown: Set[tuple[str, str]],
    runs: Mapping[str, Run],
) -> list[dict[str, Any]]:
    """Give the photos of sites of which their run proposes nothing, by code and run."""
    last = {(head["run_id"], head["code"]): head for head in heads}
    return [
        {
            "code": code,
            "run_name": runs[run_id].name,
            "by": last[run_id, code]["by"],
            "at": last[run_id, code]["received_at"],
            "photos": photos[run_id, code],
        }
        for run_id, code in sorted(photos, key=lambda of: (of[1], runs[of[0]].on, of[0]))
        if (run_id, code) not in shown
    ]


def said_in(found: Mapping[OfField, Standing]) -> list[Note]:
    """Give what was said that has no column in the register, by code and in the order of the form.

    What is no way in, a hazard, a remark, today's depth; photos stand elsewhere, and notes that
    contradict each other too.
    """
    told: list[Note] = []
    for of in _in_order(found):
        form, each = FORM_OF.get(of[1]), found[of]
        if form is None or form.column or form.holds is Holds.PHOTO or each.contested:
            continue
        tips = each.tips if form.adds_up else each.tips[-1:]
        told += [note for note in tips if note.value is not None]
    return told


def proposals_in(
    newest: Newest, found: Mapping[OfField, Standing], settled: Iterable[str]
) -> list[Proposal]:
    """Give the proposals among notes, by code and in the order of the form."""
    done, told = set(settled), []
    for of in _in_order(found):
        note, form = found[of].newest, FORM_OF.get(of[1])
        if note is None or form is None or not form.column or note.id in done:
            continue
        proposal = proposal_of(newest, form, note)
        if proposal is not None:
            told.append(proposal)
    return told


def proposal_of(newest: Newest, form: Form, note: Note) -> Proposal | None:
    """Give what a note proposes; None where the register says so already, or it says nothing."""
    if note.value is None:
        return None
    cells = cells_in(newest, note.code)
    if cells is None:
        return Proposal(note, form.column, None, None, NOT_THERE)
    register = cells.get(form.column)
    stands = register if register is not None else _blank_means(newest, form)
    proposed, words = _meant(newest, form, note.value, stands)
    if proposed is not None and says_the_same(proposed, stands):
        return None
    odd = _odd(form, proposed, stands)
    ticked = proposed is not None and not odd and form.field != "consent"
    told = "; ".join(each for each in (words, odd) if each)
    return Proposal(note, form.column, register, proposed, told, ticked)


def _odd(form: Form, proposed: float | str | None, stands: Any) -> str:
    """Say why a number is not to be believed at once; "" where nothing speaks against it."""
    if not isinstance(proposed, float):
        return ""
    if form.column == "intake_depth_m" and proposed > DEEPEST_M:
        return TOO_DEEP
    if isinstance(stands, bool) or not isinstance(stands, int | float):
        return ""
    low, high = sorted((proposed, float(stands)))
    return FAR_OFF if high > TIMES_OFF * low * (1 + ROUNDING) else ""


def _meant(
    newest: Newest, form: Form, value: float | str, register: Any
) -> tuple[float | str | None, str]:
    """Give what would stand in the register, and what to know before it does."""
    if form.field == "position_words":
        return None, f"{value}: {IN_WORDS}; {_range_of_position(newest, register)}; {ONLY_MEASURED}"
    if form.field == "consent":
        return CONSENT_MEANS[str(value)], ABOUT_CONSENT
    if form.holds is Holds.OPTION and value not in _options(newest):
        return None, NO_SUCH_OPTION
    return value, ""


def _range_of_position(newest: Newest, stands: Any) -> str:
    """Say between which numbers the settings hold the position of a site to lie."""
    given = newest.opened.catchment.settings.ranges.get("position")
    value = float(stands) if isinstance(stands, int | float) else 1.0
    low, high = (end * value for end in given or (HALF, DOUBLE))
    whose = "the settings hold it" if given else "no range is set, so half to double is used: it is"
    return f"{whose} between {low:g} and {high:g} here ({value:g} stands now)"


def cells_in(newest: Newest, code: str) -> dict[str, Any] | None:
    """Give an offtake's cells as they stand, None where there is no such offtake."""
    catchment = newest.opened.catchment
    position = place_of_key(catchment, "offtakes", code)
    if position is None:
        return None
    raw: RawTable = newest.raw.tables["offtakes"]
    spec = catchment.table("offtakes").spec
    return cells_of(fields_of(spec, raw), spec, raw, position)


def _blank_means(newest: Newest, form: Form) -> Any:
    """Give what an empty cell stands for by the contract's default, None where it has none."""
    return newest.opened.catchment.table("offtakes").spec.by_name[form.column].default


def _in_order(found: Mapping[OfField, Standing]) -> list[OfField]:
    order = {field: number for number, field in enumerate(FORM_OF)}
    return sorted(found, key=lambda of: (of[0], order.get(of[1], 0)))


def _options(newest: Newest) -> tuple[str, ...]:
    return ("none", *newest.opened.catchment.table("options").keys)


def _beside(note: Note, found: Mapping[OfField, Standing]) -> list[Note]:
    """Give the notes that stand beside one: of the same offtake, in the same run."""
    return [
        other
        for field in BESIDE.get(note.field, ())
        for other in (found[note.code, field].tips if (note.code, field) in found else ())
        if other.run_id == note.run_id
    ]
