"""What does a phone take offline? All that a run needs, and nothing of other sites.

Here alone a field officer is told private values: who to ring and where the intake is, of the sites
of the run. Licences and quotes nobody needs at a pump, so they stay at home.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

from slackwater.desk.field.forms import FORMS, Form, Holds
from slackwater.desk.field.ground_near import ground_near, place_of
from slackwater.desk.field.notes_told import note_values, standings_of, told_codes
from slackwater.desk.field.own_runs import own_codes, require_run
from slackwater.desk.field.standing_notes import OfField, Standing
from slackwater.desk.row_shown import row_values
from slackwater.desk.times import written_at
from slackwater.desk.working import Newest, Working
from slackwater.errors import NotHere
from slackwater.people.roles import Caller
from slackwater.reports.cautions import APPROVALS, LIFTING, POWER, SUCTION, WORK
from slackwater.store.field_book import FieldBook
from slackwater.store.field_records import Run

FACTS = ("label", "landholder", "contact", "district", "status", "kind", "access", "power")
"""What of a site's row is told beside the fields of the form."""
CAUTIONS = (SUCTION, WORK, POWER, LIFTING, APPROVALS)


def pack_of(working: Working, run_id: str, caller: Caller) -> dict[str, Any]:
    """Give all that a phone needs for a run.

    Raises
    ------
    NotHere
        Where the run is not there, or another's: told alike.
    """
    book = FieldBook(working.register)
    run = require_run(book, run_id, caller)
    newest = working.newest()
    found = standings_of(book, told_codes(run, (), own_codes(book, caller)))
    stops = [
        {"day": day, "number": number, **_stop(working, newest, stop, found)}
        for day, each in enumerate(run.days, 1)
        for number, stop in enumerate(each.get("stops", ()), 1)
    ]
    places = [(each["lon"], each["lat"]) for each in stops if each["lon"] is not None]
    return {
        "run": run_values(run),
        "data_version": newest.standing.data_version,
        "made_at": written_at(datetime.now(UTC)),
        "stops": stops,
        "forms": forms_told(newest.opened.catchment.table("options").keys),
        "ground": ground_near(newest.opened.catchment, places),
        "cautions": list(CAUTIONS),
    }


def run_values(run: Run) -> dict[str, Any]:
    """Give a run as plain values."""
    return {
        "id": run.id,
        "name": run.name,
        "on": run.on,
        "officer": run.officer,
        "days": [dict(day) for day in run.days],
        "plan": dict(run.plan),
        "data_version": run.data_version,
        "made_at": run.made_at,
        "by": run.by,
        "ordered_at": run.ordered_at,
    }


def forms_told(options: Iterable[str]) -> list[dict[str, Any]]:
    """Give the fields of the form, with how to measure each."""
    fitted = ["none", *options]
    return [_form_values(form, fitted) for form in FORMS]


def _form_values(form: Form, fitted: list[str]) -> dict[str, Any]:
    return {
        "field": form.field,
        "label": form.label,
        "holds": form.holds.value,
        "units": list(form.units or ()),
        "per_si": dict(form.units or {}),
        "words": fitted if form.holds is Holds.OPTION else list(form.words),
        "column": form.column,
        "above_zero": form.above_zero,
        "most": form.most,
        "adds_up": form.adds_up,
        "how": form.how,
        "caution": form.caution,
    }


def _stop(
    working: Working,
    newest: Newest,
    planned: Mapping[str, Any],
    found: Mapping[OfField, Standing],
) -> dict[str, Any]:
    """Give one stop: what was planned, what the register says, and the notes that stand."""
    code = str(planned["code"])
    mine = {field: each for (site, field), each in found.items() if site == code}
    told = {
        "code": code,
        "planned": dict(planned),
        "notes": [note_values(note) for each in mine.values() for note in each.tips],
        "contested": sorted(field for field, each in mine.items() if each.contested),
    }
    try:
        last = working.register.written_last("offtakes", code)
        row = row_values(working, "offtakes", code, last)
    except NotHere:
        return {**told, "in_register": False, "facts": {}, "register": {}, "lon": None, "lat": None}
    cells, understood = row["cells"], row["understood"]
    lon, lat = place_of(newest.opened.catchment, code) or (None, None)
    return {
        **told,
        "in_register": True,
        "facts": {name: understood.get(name) for name in FACTS},
        "register": {
            form.field: _registered(form.column, cells, understood, row["last"])
            for form in FORMS
            if form.column
        },
        "lon": lon,
        "lat": lat,
    }


def _registered(
    column: str, cells: Mapping[str, Any], understood: Mapping[str, Any], last: Mapping[str, Any]
) -> dict[str, Any]:
    """Give what the register says; ``given`` is None where an empty cell stands for ``value``."""
    given, mine = cells.get(column), last.get(column, {})
    told = {"column": column, "value": understood.get(column), "given": given}
    if given is None:  # what an empty cell means was read off nothing
        return {**told, "basis": "assumed", "source": "", "at": ""}
    return {
        **told,
        "basis": mine.get("basis") or understood.get("basis") or "",
        "source": mine.get("source") or understood.get("source") or "",
        "at": mine.get("at") or understood.get("observed_on") or "",
    }
