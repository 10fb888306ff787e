"""Faults that lie between rows and tables: the network, flow, use, corners, ranges."""

from __future__ import annotations

import pytest

from slackwater.catchment.contract.offtakes import USE_COLUMNS
from tests.catchment.small import Small, only_fault, place_of, small

UP, CREEK, MID, LOW, SIDE = range(5)


def test_cycle() -> None:
    """A loop is one fault at its first reach, which names the loop, however many ways round."""
    of = small()
    of.set("reaches", LOW, "to_reach", "mid")
    fault = only_fault(of)
    assert place_of(fault) == ("reaches", 4, "to_reach", "cycle")
    assert "mid > low > mid" in fault.remedy


def test_reach_into_itself() -> None:
    """A reach that drains to itself is a loop of one."""
    of = small()
    of.set("reaches", CREEK, "to_reach", "creek")
    fault = only_fault(of)
    assert place_of(fault) == ("reaches", 3, "to_reach", "cycle")
    assert "creek > creek" in fault.remedy


def test_two_cycles() -> None:
    """Two loops apart from each other are two faults."""
    of = small()
    of.set("reaches", CREEK, "to_reach", "creek")
    of.set("reaches", LOW, "to_reach", "mid")
    assert [fault.row for fault in of.understood().faults] == [3, 4]


@pytest.mark.parametrize("share", ["0.6", "0.70001", "1"])
def test_share_sum(share: str) -> None:
    """Shares below one reach that do not sum to 1 are one fault at the first of them."""
    of = small()
    of.set("splits", 0, "share", share)
    assert place_of(only_fault(of)) == ("splits", 2, "share", "share_sum")


def test_share_sum_within_rounding() -> None:
    """Shares within 1e-6 of 1 are divided by their sum."""
    of = small()
    of.set("splits", 0, "share", "0.7000005")
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.network.arm_share.sum() == pytest.approx(4)


def test_to_reach_not_an_arm() -> None:
    """A next reach that is none of the arms is a fault; an empty one is none."""
    of = small()
    of.set("reaches", MID, "to_reach", "up")
    assert place_of(only_fault(of)) == ("reaches", 4, "to_reach", "not_an_arm")
    of.set("reaches", MID, "to_reach", "")
    assert of.understood().faults == ()


def test_chainage_beyond() -> None:
    """A chainage beyond the reach is a fault, also where the length is geodesic."""
    of = small()
    of.set("offtakes", 0, "chainage_m", "4000.1")
    assert place_of(only_fault(of)) == ("offtakes", 2, "chainage_m", "chainage_beyond")
    of.set("offtakes", 0, "chainage_m", "4000")
    assert of.understood().faults == ()
    of.set("reaches", UP, "length_m", "")
    assert of.understood().faults == ()
    of.set("offtakes", 0, "chainage_m", "5000")
    assert place_of(only_fault(of)) == ("offtakes", 2, "chainage_m", "chainage_beyond")


@pytest.mark.parametrize(
    ("position", "area", "row"), [(UP, "", 2), (LOW, "112", 5), (SIDE, "30", 6)]
)
def test_no_flow_scale(position: int, area: str, row: int) -> None:
    """Without flow_scale a reach needs areas, and an arm with a share below 1 needs flow_scale."""
    of = small()
    of.set("reaches", position, "flow_scale", "")
    of.set("reaches", position, "area_km2", area)
    assert place_of(only_fault(of)) == ("reaches", row, "flow_scale", "no_flow_scale")


def test_no_flow_scale_for_want_of_the_gauges_area() -> None:
    """A gauge without an area is one fault, at the reach, or at the gauge where several need it."""
    of = small()
    of.set("gauges", 1, "area_km2", "")
    assert place_of(only_fault(of)) == ("reaches", 3, "flow_scale", "no_flow_scale")
    of = small()
    of.set("reaches", UP, "flow_scale", "")
    of.set("gauges", 0, "area_km2", "")
    assert place_of(only_fault(of)) == ("gauges", 2, "area_km2", "no_flow_scale")


@pytest.mark.parametrize("emptied", ["width_m", "slope"])
def test_no_velocity(emptied: str) -> None:
    """Without velocity_coef a reach needs width and slope."""
    of = small()
    of.set("reaches", UP, emptied, "")
    assert place_of(only_fault(of)) == ("reaches", 2, "velocity_coef", "no_velocity")


def test_no_velocity_without_flow() -> None:
    """Manning needs a recorded day above 0 at the gauge."""
    of = small()
    for day in range(365):
        of.set("daily", day, "flow_m3s", "0")
    assert place_of(only_fault(of)) == ("reaches", 2, "velocity_coef", "no_velocity")


def test_no_use() -> None:
    """Where no offtake fills all twelve months, one that fills none has no way to its use."""
    of = small()
    for name in USE_COLUMNS:
        of.set("offtakes", 0, name, "")
    assert of.understood().faults == ()
    for position in (1, 2):
        of.set("offtakes", position, "use_07", "")
    assert place_of(only_fault(of)) == ("offtakes", 2, "use_01", "no_use")


def test_quote_without_option() -> None:
    """A quote must say for which option it is."""
    of = small()
    of.set("offtakes", 1, "quote_option", "")
    assert place_of(only_fault(of)) == ("offtakes", 3, "quote_option", "quote_without_option")


@pytest.mark.parametrize(
    ("table", "low", "high", "below", "above"),
    [
        ("efficacy", "low", "high", "0.5", "0.7"),
        ("options", "unit_price_low", "unit_price_high", "19999", "20001"),
        ("prices", "low", "high", "4999", "5001"),
    ],
)
def test_range_leaves_out_value(table: str, low: str, high: str, below: str, above: str) -> None:
    """A low above its value, or a high below it, is a fault at that bound."""
    of = small()
    of.set(table, 0, low, above)
    assert place_of(only_fault(of)) == (table, 2, low, "low_above_value")
    of = small()
    of.set(table, 0, high, below)
    assert place_of(only_fault(of)) == (table, 2, high, "high_below_value")


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("window_full", "02-20"),
        ("window_easing", "03-10"),
        ("window_end", "04-30"),
        ("window_start", "03-20"),
    ],
)
def test_window_out_of_order(column: str, value: str) -> None:
    """Corners of the spawning window follow one another."""
    of = small()
    of.set("guilds", 0, column, value)
    fault = only_fault(of)
    assert (fault.table, fault.row, fault.code) == ("guilds", 2, "corners_out_of_order")


def test_window_over_season_start() -> None:
    """A window over the start of the season-year asks to move the start, and moving it serves."""
    of = small()
    for column, value in (("window_start", "11-01"), ("window_full", "12-01")):
        of.set("guilds", 0, column, value)
    fault = only_fault(of)
    assert place_of(fault) == ("guilds", 2, "window_easing", "window_over_season_start")
    assert "season_start_month" in fault.remedy
    of.settings["season_start_month"] = 10
    assert {fault.code for fault in of.understood().faults} == {"no_complete_year"}


@pytest.mark.parametrize(
    ("column", "value"), [("temp_full", "9"), ("temp_easing", "11"), ("temp_max", "19")]
)
def test_temperatures_out_of_order(column: str, value: str) -> None:
    """Corners of warmth rise."""
    of = small()
    of.set("guilds", 0, column, value)
    assert place_of(only_fault(of)) == ("guilds", 2, column, "corners_out_of_order")


def test_temperatures_left_open() -> None:
    """A corner left empty equals its neighbour or leaves the side open: no fault."""
    of = small()
    for column in ("temp_min", "temp_max"):
        of.set("guilds", 0, column, "")
    for column in ("temp_easing", "temp_max"):
        of.set("guilds", 1, column, "")
    assert of.understood().faults == ()


def test_no_complete_year() -> None:
    """A gap longer than is filled leaves no complete season-year, one fault of the table."""
    of = small()
    for day in range(100, 111):
        of.set("daily", day, "flow_m3s", "")
    assert place_of(only_fault(of)) == ("daily", None, "flow_m3s", "no_complete_year")
    of.set("daily", 105, "flow_m3s", "3")
    assert of.understood().faults == ()


def test_no_days() -> None:
    """A record without rows is one fault."""
    of = small()
    of.delete("daily", range(730))
    assert place_of(only_fault(of)) == ("daily", None, "flow_m3s", "no_complete_year")


def test_no_offtakes() -> None:
    """No offtake at all is one fault."""
    of = small()
    of.delete("offtakes", range(3))
    del of.tables["metered"]
    assert place_of(only_fault(of)) == ("offtakes", None, "", "no_offtakes")


@pytest.mark.parametrize("table", ["reaches", "gauges", "guilds"])
def test_empty_table(table: str) -> None:
    """Reaches, gauges and guilds need a row, one fault each where they have none."""
    of = small()
    of.delete(table, range(len(of.tables[table].rows)))
    assert place_of(only_fault(of)) == (table, None, "", "empty_table")


@pytest.mark.parametrize(
    ("item", "kind"),
    [
        ("mount", "good"),
        ("mount", ""),
        ("access", "rail_suction"),
        ("power", "yes"),
        ("water_ml", "x"),
    ],
)
def test_unknown_kind_of_price(item: str, kind: str) -> None:
    """Mounts are priced by kind of offtake, access by how good it is, nothing else by kind."""
    of = small()
    of.set("prices", 3, "item", item)
    of.set("prices", 3, "kind", kind)
    assert place_of(only_fault(of)) == ("prices", 5, "kind", "unknown_word")


def test_option_called_none() -> None:
    """An option cannot be called none, which says that nothing is fitted."""
    of = small()
    of.append("options", 0, option_id="none")
    assert place_of(only_fault(of)) == ("options", 4, "option_id", "reserved_id")


def _spoil(of: Small, table: str, position: int, **cells: str) -> None:
    for column, value in cells.items():
        of.set(table, position, column, value)


@pytest.mark.parametrize(
    ("table", "position", "column", "value"),
    [
        ("gauges", 0, "area_km2", "many"),
        ("reaches", UP, "flow_scale", "x"),
        ("reaches", UP, "width_m", "x"),
        ("reaches", MID, "area_km2", "x"),
        ("reaches", MID, "gauge_id", "G7"),
        ("reaches", UP, "gauge_id", "G7"),
        ("reaches", UP, "length_m", "x"),
        ("splits", 0, "share", "x"),
        ("splits", 1, "from_reach", "up2"),
        ("splits", 0, "to_reach", "lowest"),
        ("daily", 40, "date", "x"),
        ("daily", 0, "flow_m3s", "x"),
        ("daily", 3, "gauge_id", ""),
        ("offtakes", 0, "reach_id", "x"),
        ("offtakes", 0, "use_03", "x"),
        ("offtakes", 1, "quote_option", "x"),
        ("offtakes", 1, "quote", "x"),
        ("guilds", 0, "window_full", "x"),
        ("guilds", 0, "temp_full", "x"),
        ("efficacy", 0, "drifter", "x"),
        ("options", 0, "unit_price", "x"),
        ("prices", 0, "item", "x"),
        ("prices", 0, "amount", "x"),
    ],
)
def test_no_cascade(table: str, position: int, column: str, value: str) -> None:
    """What hangs on a cell at fault is not reported as well."""
    of = small()
    _spoil(of, table, position, **{column: value})
    fault = only_fault(of)
    assert (fault.table, fault.column) == (table, column)
