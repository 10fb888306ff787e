"""Faults and warnings of the settings, each planted alone."""

from __future__ import annotations

from typing import Any

import pytest

from slackwater.catchment.contract import CRITERION, SETTINGS
from slackwater.catchment.contract.settings import RANGES
from slackwater.catchment.fields import Field, Kind
from tests.catchment.small import Small, only_fault, place_of, small, southern

NUMBERS = [each for each in SETTINGS if each.is_number]


def plant(dotted: str, value: Any) -> Small:
    """Give the small catchment with one setting changed, which stands on line 7."""
    of = small()
    table = of.settings
    *parts, last = dotted.split(".")
    for part in parts:
        table = table.setdefault(part, {})
    table[last] = value
    of.settings_rows[dotted] = 7
    return of


def assert_fault(dotted: str, value: Any, code: str) -> None:
    """Plant one setting: one fault, at its line and key."""
    assert place_of(only_fault(plant(dotted, value))) == ("catchment", 7, dotted, code)


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.name)
def test_numbers(field: Field) -> None:
    """Each numeric setting refuses text, a truth, what is not finite, and what is out of bounds."""
    assert_fault(field.name, "many", "not_a_number")
    assert_fault(field.name, True, "not_a_number")
    assert_fault(field.name, float("inf"), "not_finite")
    assert_fault(field.name, float("nan"), "not_finite")
    if field.least is not None:
        assert_fault(field.name, -1, "negative")
    if field.above_zero:
        assert_fault(field.name, 0, "not_above_zero")
    if field.most is not None:
        assert_fault(field.name, field.most + 1, "out_of_range")
    if field.kind is Kind.INTEGER:
        assert_fault(field.name, 1.5, "not_whole")


@pytest.mark.parametrize("field", SETTINGS, ids=lambda field: field.name)
def test_no_list(field: Field) -> None:
    """A setting of one value refuses a list."""
    assert_fault(field.name, [1, 2], "bad_setting")


@pytest.mark.parametrize("name", ["name", "currency", "time_zone", "screen_criteria.name"])
def test_texts(name: str) -> None:
    """Text settings refuse control characters and more than 10,000 characters."""
    assert_fault(name, "a\tb", "control_character")
    assert_fault(name, "x" * 10_001, "too_long")


@pytest.mark.parametrize("name", ["metered_missing", "production_basis"])
def test_words(name: str) -> None:
    """Word settings refuse other words."""
    assert_fault(name, "perhaps", "unknown_word")


@pytest.mark.parametrize(
    ("dotted", "value", "code"),
    [
        ("year_weights.2019", 0, "not_above_zero"),
        ("year_weights.2019", -1, "negative"),
        ("year_weights.2019", "x", "not_a_number"),
        ("year_weights.next", 1, "bad_year"),
        ("allocation.2019", 1.2, "out_of_range"),
        ("allocation.2019", -0.1, "negative"),
        ("allocation.19", 0.5, "bad_year"),
        ("ranges.draw", [1.1, 1.2], "low_above_value"),
        ("ranges.draw", [0.8, 0.9], "high_below_value"),
        ("ranges.depth_m", [2, 1], "low_above_value"),
        ("ranges.draw", [0.5], "bad_range"),
        ("ranges.draw", 2, "bad_range"),
        ("ranges.draw", ["a", 2], "not_a_number"),
        ("ranges.draw", [-1, 2], "negative"),
        ("ranges.rain", [0.5, 2], "unknown_key"),
        ("weights.price", 1, "unknown_key"),
        ("screen_criteria.colour", 1, "unknown_key"),
        ("columns.pumps", {}, "unknown_key"),
        ("columns.offtakes.capacity", "MAX", "unknown_key"),
        ("columns.offtakes.capacity_m3s", 3, "bad_setting"),
        ("columns.offtakes", "MAX", "bad_setting"),
        ("encoding.pumps", "cp1252", "unknown_key"),
        ("weights", 3, "bad_setting"),
        ("ranges", "wide", "bad_setting"),
        ("year_weights", 3, "bad_setting"),
        ("criterion", 3, "bad_setting"),
        ("crs", "EPSG:99999999", "unknown_crs"),
    ],
)
def test_tables(dotted: str, value: Any, code: str) -> None:
    """Each slip in a table of the settings is one fault at its key."""
    assert_fault(dotted, value, code)


@pytest.mark.parametrize("name", RANGES)
def test_ranges(name: str) -> None:
    """Every known range is taken, as a list or as the text of a sheet."""
    for pair in ([0.5, 2], "[0.5, 2]", "0.5, 2"):
        catchment = plant(f"ranges.{name}", pair).understood().catchment
        assert catchment is not None
        assert catchment.settings.ranges[name] == (0.5, 2.0)


def test_all_weights_zero() -> None:
    """All weights 0 is a fault, unless a further criterion has one above 0."""
    of = small()
    of.settings["weights"] = {"risk": 0}
    assert place_of(only_fault(of)) == ("catchment", None, "weights", "weights_all_zero")
    of.settings["criterion"] = [{"column": "pump_head_m", "weight": 1, "worst": 0, "best": 1}]
    assert of.understood().faults == ()


def criterion(**changed: Any) -> Small:
    """Give the small catchment with one further criterion, headed on line 9."""
    of = small()
    row = {"column": "pump_head_m", "weight": 0.2, "worst": 30, "best": 0, **changed}
    of.settings["criterion"] = [{key: value for key, value in row.items() if value is not None}]
    of.settings_rows["criterion.1"] = 9
    return of


def test_criterion_taken() -> None:
    """A further criterion over a numeric column of the offtakes is taken."""
    catchment = criterion().understood().catchment
    assert catchment is not None
    assert catchment.settings.criteria[0].column == "pump_head_m"


@pytest.mark.parametrize(
    ("changed", "key", "code"),
    [
        ({"best": 30}, "best", "best_is_worst"),
        ({"weight": -1}, "weight", "negative"),
        ({"column": "landholder"}, "column", "not_numeric"),
        ({"column": "salt"}, "column", "unknown_column"),
        ({"colour": "red"}, "colour", "unknown_key"),
        *(({field.name: None}, field.name, "empty_cell") for field in CRITERION),
    ],
)
def test_criterion_faults(changed: dict[str, Any], key: str, code: str) -> None:
    """Each slip in a further criterion is one fault at its key, on the line of its heading."""
    place = place_of(only_fault(criterion(**changed)))
    assert place == ("catchment", 9, f"criterion.1.{key}", code)


def test_criterion_over_a_further_column() -> None:
    """A column of the agency's own is kept where a criterion names it, and must hold numbers."""
    of = criterion(column="salinity")
    for position, value in enumerate(("0.5", "", "-2")):
        of.set("offtakes", position, "salinity", value)
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.table("offtakes").number("salinity")[[0, 2]].tolist() == [0.5, -2]
    of.set("offtakes", 1, "salinity", "high")
    assert place_of(only_fault(of)) == ("offtakes", 3, "salinity", "not_a_number")


def test_further_column_renamed() -> None:
    """A column of the agency's own may go by another name in the file."""
    of = criterion(column="salinity")
    of.set("offtakes", 0, "SALT", "0.5")
    of.settings["columns"] = {"offtakes": {"salinity": "SALT"}}
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.table("offtakes").number("salinity")[0] == 0.5


@pytest.mark.parametrize("table", ["offtakes", "reaches", "daily"])
def test_renamed_columns(table: str) -> None:
    """Renamed columns are understood as those of the contract."""
    of, plain = small(), small()
    cells = of.tables[table].cells
    of.tables[table].cells = {f"THEIR {name}": column for name, column in cells.items()}
    of.settings["columns"] = {table: {name: f"THEIR {name}" for name in cells}}
    renamed, stayed = of.understood().catchment, plain.understood().catchment
    assert renamed is not None
    assert stayed is not None
    assert renamed.data_version == stayed.data_version


def test_unknown_key_warned_of() -> None:
    """An unknown key beside the known ones is a warning that names the nearest."""
    of = plant("discount", 0.05)
    understood = of.understood()
    assert understood.faults == ()
    assert [place_of(each) for each in understood.warnings] == [
        ("catchment", 7, "discount", "unknown_key")
    ]
    assert "discount_rate" in understood.warnings[0].remedy


def test_season_start() -> None:
    """Without a setting the season-year starts in July in the south, in January in the north."""
    catchment = southern().understood().catchment
    assert catchment is not None
    assert catchment.settings.season_start_month == 7
    assert catchment.records.years.tolist() == [2018]
    of = small()
    del of.settings["season_start_month"]
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.settings.season_start_month == 1


def test_no_settings_at_all() -> None:
    """Every key may be absent: the defaults are those of the contract."""
    of = small()
    of.settings = {}
    catchment = of.understood().catchment
    assert catchment is not None
    settings = catchment.settings
    assert settings.name == "small"
    assert not settings.name_given
    assert settings.weights == (0.6, 0.1, 0.3)
    assert settings.screen_criteria.least_life_years == 10
    assert (settings.season_start_month, settings.max_gap_days) == (1, 10)
    assert settings.snap_limit_m == 250


def test_absent_weight_counts_zero() -> None:
    """With a table of weights an absent one counts 0."""
    of = small()
    of.settings["weights"] = {"cost": 1}
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.settings.weights == (0, 0, 1)


def test_passive_limit_is_the_other() -> None:
    """The approach for screens that nothing cleans is the other one where it is absent."""
    of = small()
    del of.settings["screen_criteria"]["approach_velocity_passive_ms"]
    catchment = of.understood().catchment
    assert catchment is not None
    assert catchment.settings.screen_criteria.approach_velocity_passive_ms == 0.1
