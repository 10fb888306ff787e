"""The printed run sheet: a day's map, its stops in order, what to measure and how, and cautions."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports import cautions
from slackwater.reports.figures import long_date
from slackwater.reports.printing import page
from slackwater.reports.run_drawing import DayGround, draw_day
from slackwater.reports.stamp import Stamp

WIDTH_MM, MOST_HEIGHT_MM = 182.0, 86.0
CAUTIONS = (
    cautions.SUCTION,
    cautions.WORK,
    cautions.POWER,
    cautions.LIFTING,
    cautions.APPROVALS,
)
STAY_OUT = (
    "Measure from the bank. Do not enter the water near an intake; keep off undercut banks; "
    "never alone."
)


@dataclass(frozen=True)
class StopOnSheet:
    """One stop.

    Attributes
    ----------
    times : when it is reached and left, and the drive there; "" where not known.
    place : latitude and longitude, to be typed into a receiver; "" where nothing says where it is.
    register : term and value, as the register has it.
    ring : who to ring, "" for nobody known.
    measure : what to measure and how, what is worth most first.
    noted : what others noted before: hazards, no way in.
    """

    number: int
    code: str
    title: str
    times: str
    place: str
    register: tuple[tuple[str, str], ...]
    ring: str
    contact_first: bool
    must: bool
    measure: tuple[tuple[str, str], ...]
    noted: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class DayOnSheet:
    """One day.

    Attributes
    ----------
    sums : how long it is and how far, "" where not known.
    """

    title: str
    start: str
    sums: str
    stops: tuple[StopOnSheet, ...]
    ground: DayGround


@dataclass(frozen=True, eq=False)
class RunSheet:
    """All that stands on the sheet.

    Attributes
    ----------
    fields : of the form at the pump, as left blank to be filled in: label and choices or unit.
    """

    stamp: RunStamp
    name: str
    headline: str
    days: tuple[DayOnSheet, ...]
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class RunStamp(Stamp):
    """The freshness stamp of a run."""

    @property
    def case_words(self) -> str:
        """Say who made the run, and when."""
        by = f" by {self.made_by}" if self.made_by else ""
        return f"Run “{self.case_name}”, made {long_date(self.made_at)}{by}."

    @property
    def data_words(self) -> str:
        """Say which data it rests on."""
        since = "" if self.is_present else " The register has changed since the run was made."
        return f"Data {self.data_version}, model {self.model_version}.{since}"


def run_sheet_html(facts: RunSheet) -> str:
    """Give the sheet as HTML for A4."""
    return page(
        "run",
        facts.stamp,
        facts=facts,
        drawings=[draw_day(day.ground, WIDTH_MM, MOST_HEIGHT_MM) for day in facts.days],
        stay_out=STAY_OUT,
        cautions=CAUTIONS,
    )
