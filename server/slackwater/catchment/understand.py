"""From what files say to what is known: a catchment without fault, or every fault at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.cautions import caution
from slackwater.catchment.contract import TABLES
from slackwater.catchment.draft import GEOMETRY, Draft
from slackwater.catchment.drafting import draft_table
from slackwater.catchment.findings import Findings
from slackwater.catchment.fish_checks import check_fish
from slackwater.catchment.flow_checks import Flow, check_flow
from slackwater.catchment.keys import check_keys
from slackwater.catchment.offtake_checks import Places, check_places, check_quotes, check_use
from slackwater.catchment.price_checks import check_criteria, check_prices
from slackwater.catchment.raw import RawCatchment
from slackwater.catchment.reference_systems import system_of
from slackwater.catchment.river_checks import Arms, check_arms, make_network
from slackwater.catchment.settings import Settings
from slackwater.catchment.settings_in import SettingsIn, read_settings
from slackwater.catchment.shapes import EXAMPLE, place_rows
from slackwater.catchment.version import data_version
from slackwater.errors import Finding

SOUTHERN_START, NORTHERN_START = 7, 1
OF_ONE_KEY = ("duplicate_key", "unknown_key", "two_formats")
"""Codes of a reader's faults in the settings that leave the others readable."""


@dataclass(frozen=True)
class Understood:
    """What came of reading a catchment; ``catchment`` is there only where there is no fault."""

    catchment: Catchment | None
    faults: tuple[Finding, ...]
    warnings: tuple[Finding, ...]


def understand(raw: RawCatchment) -> Understood:
    """Check a catchment as read and, where nothing is at fault, give it ready to compute with.

    Every fault is reported at once, each mistake once: what cannot be judged because a cell it
    needs is at fault is left unjudged.
    """
    findings = Findings(raw.faults)
    known = read_settings(raw.settings, raw.settings_rows, raw.default_name, findings)
    settings_read = not any(map(_hides_settings, raw.faults))
    _check_crs(known)
    drafts = _draft_tables(raw, known, findings, settings_read=settings_read)
    check_keys(drafts)
    crs = "" if "crs" in known.bad else known.settings.crs
    place_rows(drafts, raw.tables, crs, crs_known=settings_read and "crs" not in known.bad)
    settings, month_known = _with_season(known.settings, drafts["offtakes"])
    month_known &= settings_read and "season_start_month" not in known.bad
    arms = check_arms(drafts)
    flow = check_flow(
        drafts,
        season_start_month=settings.season_start_month,
        max_gap_days=settings.max_gap_days,
        area_exponent=settings.area_exponent,
        years_known=month_known and "max_gap_days" not in known.bad,
    )
    limit_known = settings_read and "snap_limit_m" not in known.bad
    places = check_places(drafts, settings.snap_limit_m, limit_known=limit_known)
    use = check_use(drafts["offtakes"])
    check_quotes(drafts["offtakes"])
    check_fish(drafts, settings.season_start_month, month_known=month_known)
    check_prices(drafts)
    check_criteria(drafts["offtakes"], settings.criteria, known.reading)
    if findings.faults:
        return Understood(None, findings.faults, findings.warnings)
    catchment = _assemble(drafts, settings, arms, flow, places, use)
    caution(catchment, drafts)
    return Understood(catchment, (), findings.warnings)


def _hides_settings(fault: Finding) -> bool:
    """Whether a reader's fault means that the settings could not be read at all."""
    of_one_key = fault.code in OF_ONE_KEY or fault.column.startswith("encoding.")
    return fault.table == "catchment" and not of_one_key


def _check_crs(known: SettingsIn) -> None:
    crs = known.settings.crs
    if crs and system_of(crs) is None:
        known.reading.fault("crs", crs, "unknown_crs", f"a reference system {EXAMPLE}")


def _draft_tables(
    raw: RawCatchment, known: SettingsIn, findings: Findings, *, settings_read: bool
) -> dict[str, Draft]:
    """Draft every table of the contract."""
    further = [criterion.column for criterion in known.settings.criteria]
    drafts = {}
    for name, spec in TABLES.items():
        table = raw.tables.get(name)
        reported = not settings_read if table is not None else _is_reported(raw, name)
        drafts[name] = draft_table(
            table,
            spec,
            known.renames.get(name, {}),
            further if name == "offtakes" else (),
            findings,
            reported=reported,
        )
    return drafts


def _is_reported(raw: RawCatchment, name: str) -> bool:
    """Whether the reader has said why a table is not there."""
    encodings = (f"encoding.{name}", "encoding.all")
    return any(fault.table == name or fault.column in encodings for fault in raw.faults)


def _with_season(settings: Settings, offtakes: Draft) -> tuple[Settings, bool]:
    """Decide the season's start: July where the offtakes' mean latitude is below 0.

    Returns
    -------
    settings : with the month.
    known : false where it hangs on offtakes of which none could be placed.
    """
    if settings.season_start_month:
        return settings, True
    latitudes_deg = np.zeros(0)
    if offtakes.geometry is not None:
        placed = offtakes.geometry[offtakes.sound(GEOMETRY)]
        latitudes_deg = shapely.get_y(placed[~shapely.is_missing(placed)])
    southern = len(latitudes_deg) > 0 and latitudes_deg.mean() < 0
    month = SOUTHERN_START if southern else NORTHERN_START
    return replace(settings, season_start_month=month), len(latitudes_deg) > 0


def _assemble(
    drafts: Mapping[str, Draft],
    settings: Settings,
    arms: Arms,
    flow: Flow,
    places: Places,
    use: tuple[NDArray[np.float64], NDArray[np.bool_]],
) -> Catchment:
    """Put together drafts without fault."""
    tables = {name: draft.table() for name, draft in drafts.items()}
    assert flow.records is not None
    assert tables["offtakes"].geometry is not None
    return Catchment(
        settings=settings,
        tables=tables,
        network=make_network(drafts, arms),
        records=flow.records,
        length_m=places.length_m,
        flow_scale=flow.flow_scale,
        velocity_coef=flow.velocity_coef,
        reach_index=places.reach_index,
        chainage_m=places.chainage_m,
        latitude_deg=shapely.get_y(tables["offtakes"].geometry),
        use_share=use[0],
        use_assumed=use[1],
        data_version=data_version(tables, settings),
    )
