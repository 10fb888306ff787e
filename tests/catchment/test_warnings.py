"""Each oddity, planted alone, is one warning and no fault."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from shapely import LineString, Point

from slackwater.errors import Finding
from tests.catchment.small import Small, place_of, small

UP, CREEK, MID, LOW, SIDE = range(5)


def only_warning(of: Small) -> Finding:
    """Give the one warning of a catchment without fault."""
    understood = of.understood()
    assert understood.faults == ()
    assert len(understood.warnings) == 1, "\n".join(map(str, understood.warnings)) or "no warning"
    assert understood.warnings[0].remedy
    return understood.warnings[0]


def test_capacity_above_median_flow() -> None:
    """A pump larger than its river's median flow is warned of, once."""
    of = small()
    of.set("offtakes", 0, "capacity_m3s", "12.0")  # median 17 x flow scale 0.7 = 11.9
    assert place_of(only_warning(of)) == (
        "offtakes",
        2,
        "capacity_m3s",
        "capacity_above_median_flow",
    )


def test_capacity_above_five_percent() -> None:
    """A pump above 5 % of its river's mean annual flow is warned of."""
    of = small()
    of.set("offtakes", 0, "capacity_m3s", "0.60")  # mean 17.0 x 0.7 x 0.05 = 0.595
    assert place_of(only_warning(of)) == (
        "offtakes",
        2,
        "capacity_m3s",
        "capacity_above_mean_share",
    )


def test_draw_above_capacity() -> None:
    """Metered draw above capacity is one warning an offtake, with the days counted."""
    of = small()
    of.set("metered", 0, "draw_m3s", "0.21")
    of.set("metered", 1, "draw_m3s", "0.3")
    warning = only_warning(of)
    assert place_of(warning) == ("metered", 2, "draw_m3s", "draw_above_capacity")
    assert warning.remedy.startswith("2 days")


@pytest.mark.parametrize("area_km2", ["49", "151"])
def test_area_ratio(area_km2: str) -> None:
    """Flow by an area ratio outside 0.5 to 1.5 is warned of."""
    of = small()
    of.set("reaches", MID, "area_km2", area_km2)
    assert place_of(only_warning(of)) == ("reaches", 4, "area_km2", "area_ratio")


def test_area_ratio_not_used() -> None:
    """An area ratio does not matter where the flow scale is given."""
    of = small()
    of.set("reaches", LOW, "area_km2", "500")
    assert of.understood().warnings == ()


def test_draws_between() -> None:
    """Flow by area is warned of where offtakes towards the gauge can draw over a tenth of it."""
    of = small()
    of.set("reaches", UP, "flow_scale", "")  # area ratio 0.7: a tenth of the median is 1.19 m3/s
    of.set("offtakes", 1, "geometry", Point(10.06, 50.0))  # above the gauge, on its reach
    for position, capacity in ((1, "1.2"), (2, "0.5")):
        of.set("offtakes", position, "capacity_m3s", capacity)
    warnings = [place_of(warning) for warning in of.understood().warnings]
    assert ("reaches", 2, "flow_scale", "draws_between") in warnings
    of.set("offtakes", 1, "geometry", Point(10.08, 50.0))  # below the gauge: not between
    warnings = [place_of(warning) for warning in of.understood().warnings]
    assert ("reaches", 2, "flow_scale", "draws_between") not in warnings


def test_draws_between_downstream() -> None:
    """The same holds for a reach below its gauge, whichever way round an island is taken."""
    of = small()
    of.set("reaches", MID, "gauge_id", "G2")  # median 6.8 m3/s
    of.set("reaches", MID, "area_km2", "40")  # a tenth of the median is 0.68 m3/s
    of.set("offtakes", 1, "reach_id", "creek")
    of.set("offtakes", 1, "geometry", Point(10.045, 49.995))
    of.set("offtakes", 1, "capacity_m3s", "0.67")
    warnings = [place_of(warning) for warning in of.understood().warnings]
    assert ("reaches", 4, "flow_scale", "draws_between") not in warnings
    of.set("offtakes", 1, "capacity_m3s", "0.69")
    warnings = [place_of(warning) for warning in of.understood().warnings]
    assert ("reaches", 4, "flow_scale", "draws_between") in warnings


def test_gap_filled() -> None:
    """Days filled are one warning a gauge, with their count."""
    of = small()
    for day in (50, 51, 200):
        of.set("daily", day, "flow_m3s", "")
    warning = only_warning(of)
    assert (place_of(warning), warning.key, warning.value) == (
        ("daily", None, "flow_m3s", "gap_filled"),
        "G1",
        "3",
    )


def test_temperature_filled() -> None:
    """Days of temperature filled linearly are one warning a gauge."""
    of = small()
    of.set("daily", 50, "water_temp_c", "")
    assert place_of(only_warning(of)) == ("daily", None, "water_temp_c", "temperature_filled")


def test_temperature_missing() -> None:
    """Days without a temperature in any year are one warning a gauge."""
    of = small()
    for day in range(50, 70):
        of.set("daily", day, "water_temp_c", "")
    warning = only_warning(of)
    assert place_of(warning) == ("daily", None, "water_temp_c", "temperature_missing")
    assert warning.value == "20"


def test_temperature_borrowed() -> None:
    """Days whose temperature comes from other years are one warning a gauge."""
    of = small()
    for gauge in ("G1", "G2"):
        for day in range(1, 366):
            of.append("daily", 0, gauge_id=gauge, date=f"2018-{_month_day(day)}")
    for day in range(50, 70):
        of.set("daily", day, "water_temp_c", "")
    warning = only_warning(of)
    assert place_of(warning) == ("daily", None, "water_temp_c", "temperature_borrowed")
    assert (warning.key, warning.value) == ("G1", "20")


def _month_day(day_of_year: int) -> str:
    return (date(2018, 1, 1) + timedelta(days=day_of_year - 1)).strftime("%m-%d")


def test_no_temperature() -> None:
    """A gauge without temperature is one warning."""
    of = small()
    for day in range(365):
        of.set("daily", day, "water_temp_c", "")
    warning = only_warning(of)
    assert place_of(warning) == ("daily", None, "water_temp_c", "no_temperature")
    assert warning.key == "G1"


def test_long_reach() -> None:
    """A reach that takes the slowest guild more than a day at median flow is warned of."""
    of = small()
    of.set("reaches", LOW, "length_m", "53000")  # 0.25 x 18.7**0.34 x 0.9 x 86400 s = 52.6 km
    assert place_of(only_warning(of)) == ("reaches", 5, "length_m", "long_reach")


def test_missing_efficacy() -> None:
    """A pair of option and guild without efficacy is one warning, naming the pair."""
    of = small()
    of.delete("efficacy", [2])
    warning = only_warning(of)
    assert (place_of(warning), warning.key) == (
        ("efficacy", None, "drifter", "missing_efficacy"),
        "drum/perch",
    )


def test_approach_above_tested() -> None:
    """A screen sized for faster water than it was tested at is warned of."""
    of = small()
    of.set("efficacy", 0, "at_approach_ms", "0.09")
    assert place_of(only_warning(of)) == ("efficacy", 2, "at_approach_ms", "approach_above_tested")


def test_approach_held_by_passive_limit() -> None:
    """Where nothing cleans a screen the passive limit decides the approach used."""
    of = small()
    of.set("efficacy", 2, "at_approach_ms", "0.06")
    assert of.understood().warnings == ()
    of.set("efficacy", 2, "at_approach_ms", "0.05")
    assert place_of(only_warning(of))[3] == "approach_above_tested"


def test_unsourced_efficacy() -> None:
    """More than half kept of what fits through the openings needs a source."""
    of = small()
    of.set("efficacy", 0, "source", "")
    assert place_of(only_warning(of)) == ("efficacy", 2, "drifter", "unsourced_efficacy")
    of.set("efficacy", 0, "drifter", "0.5")
    assert of.understood().warnings == ()


def test_some_months_empty() -> None:
    """Some but not all months of use filled is a warning; the empty ones count 0."""
    of = small()
    of.set("offtakes", 0, "use_04", "")
    of.set("offtakes", 0, "use_05", "")
    assert place_of(only_warning(of)) == ("offtakes", 2, "use_04", "some_months_empty")


@pytest.mark.parametrize("position", [UP, CREEK, MID, LOW, SIDE])
def test_drawn_upstream(position: int) -> None:
    """A line drawn upstream is one warning at its reach, an outlet's too."""
    of = small()
    line = of.tables["reaches"].geometry[position]  # type: ignore[index]
    of.set("reaches", position, "geometry", LineString(line.coords[::-1]))
    assert place_of(only_warning(of)) == ("reaches", 2 + position, "geometry", "drawn_upstream")


def test_far_from_production() -> None:
    """An offtake that no drifter comes to is warned of."""
    of = small()
    for position in (0, 1, 2):
        of.set("production", position, "reach_id", "creek")
    of.set("production", 2, "guild_id", "perch")
    of.delete("production", [0])
    assert place_of(only_warning(of)) == ("offtakes", 2, "reach_id", "far_from_production")


def test_id_is_licence() -> None:
    """A public code that is the private licence number is warned of."""
    of = small()
    of.set("offtakes", 0, "licence", "A")
    assert place_of(only_warning(of)) == ("offtakes", 2, "offtake_id", "id_is_licence")


@pytest.mark.parametrize(
    ("table", "column", "stray"),
    [
        ("offtakes", "night_use_share", "night_use"),
        ("reaches", "manning_n", "Manning_n"),
        ("guilds", "encounter", "encouter"),
    ],
)
def test_unknown_column(table: str, column: str, stray: str) -> None:
    """A column left unread whose name is almost one that is not there is a warning."""
    of = small()
    cells = of.tables[table].cells
    cells[stray] = cells.pop(column)
    warning = only_warning(of)
    assert (place_of(warning), warning.value) == ((table, None, column, "unknown_column"), stray)


def test_other_columns_left_alone() -> None:
    """A column of the agency's own is no matter for a warning."""
    of = small()
    for name in ("OBJECTID", "remarks", "width", "lon", "lat"):
        of.tables["offtakes"].cells[name] = ["1", "2", "3"]
    assert of.understood().warnings == ()
