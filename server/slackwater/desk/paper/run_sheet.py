"""A run on paper and as GPX, for its officer and the lead alone: it says whom to ring.

What stands at each stop is what the phone's pack holds, so paper and phone say the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

import shapely

from slackwater import MODEL_VERSION
from slackwater.catchment.catchment import Catchment
from slackwater.desk.field.forms import FORMS, Holds
from slackwater.desk.field.pack import pack_of
from slackwater.desk.paper.ground_shown import rivers_shown, towns_shown
from slackwater.desk.paper.site_facts import KINDS
from slackwater.desk.visits.asked import hours
from slackwater.desk.working import Working
from slackwater.files.gpx import DayRoute, Point, gpx_bytes
from slackwater.people.roles import Caller
from slackwater.reports.figures import figures, long_date
from slackwater.reports.ground import Numbers
from slackwater.reports.run_drawing import DayGround
from slackwater.reports.run_sheet import (
    DayOnSheet,
    RunSheet,
    RunStamp,
    StopOnSheet,
    run_sheet_html,
)
from slackwater.units import flow_in

Values = Mapping[str, Any]
MEASURED = {"draw": "Draw", "position": "Position", "depth_m": "Depth at low level",
            "night_use_share": "Share by night"}  # fmt: skip
NOTED = ("hazards", "no_entry")
"""Fields whose notes of earlier visits stand on the sheet."""
BLANKS = ("plate_capacity", "depth_today", "gauge_reading", "depth_low", "position_words",
          "night_share", "power", "access", "running", "consent", "no_entry", "hazards",
          "remark")  # fmt: skip
SHORT = {"plate_capacity": "Plate", "depth_today": "Depth today", "gauge_reading": "Gauge",
         "depth_low": "Depth at low level", "position_words": "Draws from", "power": "Power",
         "access": "When wet", "running": "Was", "consent": "Consent", "no_entry": "No way in",
         "hazards": "Hazards", "night_share": "Share by night", "remark": "Remark"}  # fmt: skip
LONGEST_NAME = 60
PLACE_DIGITS = 5
"""Decimals of a degree on paper: about a metre."""
ABOUT_ENDS = "where days start and end"
RING_FIRST = "Ring before you go."
CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)


def print_run_sheet(working: Working, run_id: str, caller: Caller) -> str:
    """Give the sheet as HTML.

    Raises
    ------
    NotHere
        Where the run is not there, or another's: told alike.
    """
    pack = pack_of(working, run_id, caller)
    view, run = working.of().view, pack["run"]
    stamp = RunStamp(
        catchment=view.catchment.name,
        case_name=run["name"],
        made_by=run["by"],
        made_at=run["made_at"],
        shared_at="",
        data_version=run["data_version"],
        data_changed_at="",
        is_present=run["data_version"] == pack["data_version"],
        model_version=MODEL_VERSION,
        printed_at=datetime.now(UTC).isoformat(),
    )
    stops = len(pack["stops"])
    days = len(run["days"])
    who = f" for {run['officer']}" if run["officer"] else ""
    return run_sheet_html(RunSheet(
        stamp=stamp,
        name=run["name"],
        headline=f"{stops} stop{'s' * (stops != 1)} in {days} day{'s' * (days != 1)}{who}, from "
        f"{long_date(run['on'])}.",
        days=tuple(_day(working, pack, day) for day in range(1, days + 1)),
        fields=tuple((SHORT[form.field], _choices(form)) for form in FORMS if form.field in BLANKS),
    ))  # fmt: skip


def run_gpx(working: Working, run_id: str, caller: Caller) -> tuple[bytes, str]:
    """Give the run as GPX, and a name that is safe on every disk; nobody's name is in it.

    Raises
    ------
    NotHere
        As `print_run_sheet`.
    """
    pack = pack_of(working, run_id, caller)
    run, start = pack["run"], _start(pack["run"])
    placed = [stop for stop in pack["stops"] if stop["lon"] is not None]
    points = {stop["code"]: _point(stop) for stop in placed}
    ends = [Point(start[0] or "start", start[1], start[2], ABOUT_ENDS)] if start else []
    days = [
        DayRoute(f"{run['name']}, day {day}", (*ends, *of_day, *ends))
        for day in range(1, len(run["days"]) + 1)
        if (of_day := [points[stop["code"]] for stop in placed if stop["day"] == day])
    ]
    made_at = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    safe = "-".join(re.findall(r"[a-z0-9]+", run["name"].lower()))[:LONGEST_NAME].strip("-")
    waypoints = [*ends, *points.values(), *ends]
    return gpx_bytes(run["name"], made_at, waypoints, days), f"{safe or 'run'}.gpx"


def _point(stop: Values) -> Point:
    names = [str(each["input"]) for each in _measure(stop)]
    measure = ", ".join(MEASURED.get(name, name) for name in names)
    about = f"day {stop['day']}, stop {stop['number']}" + (f": {measure}" if measure else "")
    if stop["planned"].get("contact_first"):
        about += f". {RING_FIRST}"
    return Point(stop["code"], stop["lon"], stop["lat"], about)


def _day(working: Working, pack: Values, number: int) -> DayOnSheet:
    run = pack["run"]
    planned, start, leaving = run["days"][number - 1], _start(run), _leaving(run)
    stops = [stop for stop in pack["stops"] if stop["day"] == number]
    on = date.fromisoformat(run["on"]) + timedelta(days=number - 1)
    view = working.of().view
    minutes, km = planned.get("minutes"), planned.get("drive_km")
    sums = "" if minutes is None or km is None else f"{hours(minutes)} in all, {km:,.0f} km driven."
    return DayOnSheet(
        title=f"Day {number} · {on:%A} {long_date(on.isoformat())}",
        start=_start_words(start[0] if start else "", leaving),
        sums=sums,
        stops=tuple(_stop(stop, leaving) for stop in stops),
        ground=DayGround(
            rivers=rivers_shown(view.evaluation),
            roads=roads_of(view.catchment),
            towns=towns_shown(view.evaluation),
            start=(start[1], start[2]) if start else None,
            stops=tuple((s["code"], s["lon"], s["lat"]) for s in stops if s["lon"] is not None),
        ),
    )


def roads_of(catchment: Catchment) -> tuple[Numbers, ...]:
    """Give every road's line; roads are public."""
    lines = catchment.table("roads").geometry
    drawn = () if lines is None else lines
    return tuple(shapely.get_coordinates(line) for line in drawn if line is not None)


def _stop(stop: Values, leaving: int | None) -> StopOnSheet:
    facts, planned = stop["facts"], stop["planned"]
    ring = [str(facts[name]) for name in ("landholder", "contact") if facts.get(name)]
    noted = [
        note
        for field in NOTED
        for note in stop["notes"]
        if note["field"] == field and note["typed"]
    ]
    return StopOnSheet(
        number=stop["number"],
        code=stop["code"],
        title=str(facts.get("label") or ""),
        times=_times(planned, leaving),
        place=_place(stop),
        register=tuple(_register(stop)) if stop["in_register"] else (("not in the register", ""),),
        ring=", ".join(ring),
        contact_first=bool(planned.get("contact_first")),
        must=bool(planned.get("must")),
        measure=tuple(
            (MEASURED.get(m["input"], str(m["input"])), str(m.get("words", "")))
            for m in _measure(stop)
        ),
        noted=tuple(f"{note['typed']} ({note['by']}, {long_date(note['at'])})" for note in noted),
    )


def _place(stop: Values) -> str:
    """Give latitude and longitude, with a plain minus sign as receivers have it."""
    if stop["lon"] is None:
        return ""
    return f"{stop['lat']:.{PLACE_DIGITS}f}, {stop['lon']:.{PLACE_DIGITS}f}"


def _times(planned: Values, leaving: int | None) -> str:
    arrive, leave = planned.get("arrive_min"), planned.get("leave_min")
    drive, km = planned.get("drive_min"), planned.get("drive_km")
    if arrive is None or leave is None or drive is None or km is None:
        return ""
    after = f"{hours(arrive)} to {hours(leave)} after the start; "
    at = "" if leaving is None else f"{_clock(leaving, arrive)} to {_clock(leaving, leave)}; "
    return f"{at}{after}{hours(drive)}, {km:,.0f} km to here"


def _register(stop: Values) -> Iterable[tuple[str, str]]:
    """Give what the register has, to be held against what is there."""
    facts = stop["facts"]
    value = {field: each.get("value") for field, each in stop["register"].items()}
    if value.get("plate_capacity") is not None:
        yield "capacity", f"{figures(flow_in(float(value['plate_capacity']), 'L/s'))} L/s"
    yield "kind", KINDS.get(str(facts.get("kind")), str(facts.get("kind")))
    yield "access", str(facts.get("access"))
    yield "power", str(facts.get("power"))
    depth = value.get("depth_low")
    yield "depth at low level", "not known" if depth is None else f"{figures(float(depth))} m"
    yield "fitted", str(value.get("fitted") or "none")


def _measure(stop: Values) -> list[Values]:
    given = stop["planned"].get("measure") or []
    return [each for each in given if isinstance(each, Mapping) and "input" in each]


def _start(run: Values) -> tuple[str, float, float] | None:
    """Give name and place of the start, as the plan has it; None where it does not say."""
    start = run["plan"].get("start")
    try:
        return str(start["name"]), float(start["lon"]), float(start["lat"])
    except (TypeError, KeyError, ValueError):
        return None


def _start_words(name: str, leaving: int | None) -> str:
    """Say where a day starts, and when where the plan holds that."""
    where = f"From {name} and back." if name else ""
    when = "" if leaving is None else f"Leave at {_clock(leaving, 0)}."
    return " ".join(each for each in (where, when) if each)


def _leaving(run: Values) -> int | None:
    """Give when days start, in minutes of the day; None where the plan does not say."""
    found = CLOCK.fullmatch(str(run["plan"].get("leaving", "")))
    return None if found is None else int(found[1]) * 60 + int(found[2])


def _clock(leaving: int, minutes: float) -> str:
    """Give the time of day so long after leaving: ``9:05``."""
    whole = leaving + round(minutes)
    return f"{whole // 60 % 24}:{whole % 60:02d}"


def _choices(form: Any) -> str:
    if form.holds is Holds.NUMBER:
        return " ".join(form.units)
    return " / ".join(form.words) if form.words else ""
