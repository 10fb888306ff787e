"""Is the demo catchment true to itself: a river system that could be, and plainly invented?"""

import sys
import tomllib
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import pytest
from numpy.typing import NDArray
from PIL import Image
from pyproj import Geod, Transformer
from shapely import STRtree
from shapely.geometry import MultiPoint, Point, box

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_data"
sys.path.insert(0, str(ROOT / "scripts"))

from demo_maker.catchment import Landscape, make_landscape  # noqa: E402
from demo_maker.frame import to_plane_km  # noqa: E402

GEOD = Geod(ellps="WGS84")
Floats = NDArray[np.float64]
CONTRACT_COLUMNS = {
    "reaches": "reach_id to_reach name length_m gauge_id flow_scale area_km2 velocity_coef "
    "velocity_exp width_m slope manning_n depth_m nursery geometry",
    "splits": "from_reach to_reach share",
    "weirs": "reach_id name guild_id survival source",
    "gauges": "gauge_id name area_km2 geometry",
    "daily": "gauge_id date flow_m3s water_temp_c",
    "guilds": "guild_id name weight window_start window_full window_easing window_end temp_min "
    "temp_full temp_easing temp_max flow_trigger trigger_days flow_floor full_season_days "
    "drift_days drift_stages mortality_per_day drift_speed_ratio encounter night_drift_share "
    "outlet_value adult_per_settler resident_per_ml adult_per_resident egg_mm larva_mm species "
    "source",
    "production": "reach_id guild_id production nursery basis source",
    "offtakes": "offtake_id label landholder licence contact reach_id chainage_m kind "
    "capacity_m3s use_01 use_02 use_03 use_04 use_05 use_06 use_07 use_08 use_09 use_10 use_11 "
    "use_12 cease_flow_m3s night_use_share position intake_depth_m opening_mm fitted power access "
    "district willing quote quote_option status flushes_per_day flush_minutes flush_litres "
    "filter_cleaning_hours_month pumping_months pump_head_m pump_efficiency wear_cost_year basis "
    "observed_on source geometry",
    "metered": "offtake_id date draw_m3s",
    "options": "option_id name approach_velocity_ms opening_mm open_share cleaning needs_power "
    "min_depth_m unit_area_m2 unit_price unit_price_low unit_price_high upkeep_share_year "
    "life_years head_loss_m filter_cut_share kinds source",
    "efficacy": "option_id guild_id drifter resident low high at_approach_ms source",
    "prices": "item kind amount low high source",
    "places": "name size geometry",
    "roads": "road_id name class speed_kmh geometry",
    "depots": "name geometry",
    "land": "name kind geometry",
}


@pytest.fixture(scope="module")
def layers() -> dict[str, pd.DataFrame]:
    path = DEMO / "lantern.gpkg"
    return {str(name): gpd.read_file(path, layer=name) for name, _ in pyogrio.list_layers(path)}


@pytest.fixture(scope="module")
def rebuilt() -> Landscape:
    return make_landscape()


@pytest.fixture(scope="module")
def season_flows(layers: dict[str, pd.DataFrame]) -> pd.DataFrame:
    """Daily flow by gauge, with the season-year each day belongs to."""
    table = layers["daily"].assign(date=pd.to_datetime(layers["daily"]["date"]))
    flows = table.pivot(index="date", columns="gauge_id", values="flow_m3s").interpolate()
    days = pd.DatetimeIndex(flows.index)
    flows["season_year"] = days.year - (days.month < 7)
    return flows.loc["2009-07-01":"2022-06-30"]


def _lines(layers: dict[str, pd.DataFrame]) -> list[Floats]:
    return [np.array(line.coords) for line in layers["reaches"].geometry]


def test_files_are_there_and_small() -> None:
    """The demo is four data files and a note, under 15 MB together."""
    names = {"lantern.gpkg", "lantern.toml", "relief.png", "relief.toml", "README.md"}
    assert names <= {path.name for path in DEMO.iterdir()}
    assert sum(path.stat().st_size for path in DEMO.iterdir()) < 15e6


def test_columns_are_the_contracts(layers: dict[str, pd.DataFrame]) -> None:
    """Every layer of the contract is there, with the contract's columns and no other."""
    assert {name: set(table.columns) for name, table in layers.items()} == {
        name: set(columns.split()) for name, columns in CONTRACT_COLUMNS.items()
    }


def test_counts(layers: dict[str, pd.DataFrame]) -> None:
    """There are about 300 reaches, some 200 offtakes of every kind, five guilds, four options."""
    offtakes = layers["offtakes"]
    assert 280 <= len(layers["reaches"]) <= 330
    assert 180 <= len(offtakes) <= 220
    kinds = offtakes["kind"].value_counts()
    assert set(kinds.index) == {
        "rail_suction",
        "fixed_suction",
        "floating_suction",
        "gravity_channel",
    }
    assert kinds["gravity_channel"] < 15
    assert (offtakes["capacity_m3s"] < 0.1).mean() > 0.5
    assert offtakes["capacity_m3s"].max() > 3.0
    assert len(layers["guilds"]) == 5
    assert len(layers["options"]) == 4
    assert len(layers["efficacy"]) == 20
    assert layers["metered"]["offtake_id"].nunique() >= 25
    assert len(layers["depots"]) == 3
    assert {"town", "forest", "wetland", "district"} == set(layers["land"]["kind"])


def test_ids_are_unique_and_known(layers: dict[str, pd.DataFrame]) -> None:
    """No key comes twice, and none points to what is not there."""
    reaches = set(layers["reaches"]["reach_id"])
    for table, key in (("reaches", "reach_id"), ("offtakes", "offtake_id"), ("guilds", "guild_id")):
        assert layers[table][key].is_unique
    assert not layers["production"].duplicated(["reach_id", "guild_id"]).any()
    assert not layers["daily"].duplicated(["gauge_id", "date"]).any()
    assert not layers["metered"].duplicated(["offtake_id", "date"]).any()
    for table, key in (
        ("reaches", "to_reach"),
        ("splits", "from_reach"),
        ("splits", "to_reach"),
        ("weirs", "reach_id"),
        ("production", "reach_id"),
        ("offtakes", "reach_id"),
    ):
        assert set(layers[table][key].dropna()) <= reaches
    assert set(layers["reaches"]["gauge_id"]) == set(layers["gauges"]["gauge_id"])


def test_reaches_meet_in_nodes(layers: dict[str, pd.DataFrame]) -> None:
    """Each reach ends in the very point where the reach below it starts."""
    reaches = layers["reaches"].set_index("reach_id").geometry
    links = [
        *layers["reaches"][["reach_id", "to_reach"]].dropna().itertuples(index=False, name=None),
        *layers["splits"][["from_reach", "to_reach"]].itertuples(index=False, name=None),
    ]
    assert all(reaches[above].coords[-1] == reaches[below].coords[0] for above, below in links)


def test_one_outlet_and_no_loop(layers: dict[str, pd.DataFrame]) -> None:
    """From every reach the way down leads to the one outlet."""
    below = dict(layers["reaches"][["reach_id", "to_reach"]].itertuples(index=False, name=None))
    ends = set()
    for reach in below:
        steps = 0
        while isinstance(below[reach], str):
            reach, steps = below[reach], steps + 1
            assert steps <= len(below)
        ends.add(reach)
    assert len(ends) == 1


def test_reaches_cross_nowhere(layers: dict[str, pd.DataFrame]) -> None:
    """Two reaches share no point but their ends, and no reach meets itself."""
    lines = layers["reaches"].geometry.to_numpy()
    assert all(line.is_simple for line in lines)
    first, second = STRtree(lines).query(lines, predicate="intersects")
    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        if a < b:
            shared = lines[a].intersection(lines[b])
            ends = {lines[a].coords[0], lines[a].coords[-1]} & {
                lines[b].coords[0],
                lines[b].coords[-1],
            }
            assert shared.within(MultiPoint(list(ends)))


def test_width_grows_with_area(layers: dict[str, pd.DataFrame]) -> None:
    """A reach with more land above it is nowhere narrower."""
    table = layers["reaches"].dropna(subset="area_km2").sort_values("area_km2")
    assert len(table) > 250
    assert np.all(np.diff(table["width_m"]) >= 0)


def test_area_grows_downstream(layers: dict[str, pd.DataFrame]) -> None:
    """Outside the two arms of the split, no reach has less land above it than the one above."""
    area = layers["reaches"].set_index("reach_id")["area_km2"]
    for reach, below in layers["reaches"][["reach_id", "to_reach"]].dropna().to_numpy():
        if np.isfinite(area[reach]) and np.isfinite(area[below]):
            assert area[below] >= area[reach]


def test_no_stretch_shows_a_grid(layers: dict[str, pd.DataFrame]) -> None:
    """Rivers head every way alike and turn by any angle, not by multiples of 45 degrees."""
    bearings, turns = [], []
    for line in _lines(layers):
        bearing, _, _ = GEOD.inv(*line[:-1].T, *line[1:].T)
        bearings.append(np.asarray(bearing))
        turns.append((np.diff(bearing) + 180.0) % 360.0 - 180.0)
        off_axis = np.abs((np.asarray(bearing) + 22.5) % 45.0 - 22.5)
        # 2 in 22.5 are near an axis by chance; a line along one would show nearly all.
        assert (off_axis < 2.0).mean() < 0.45
    all_bearings, all_turns = np.concatenate(bearings), np.concatenate(turns)
    off_axis = np.abs((all_bearings + 22.5) % 45.0 - 22.5)
    assert abs((off_axis < 2.0).mean() - 4.0 / 45.0) < 0.02
    assert (np.abs(np.abs(all_turns) - 45.0) < 1.0).mean() < 0.01
    assert np.abs(all_turns).max() < 80.0


def test_rivers_wind_on_the_plain(layers: dict[str, pd.DataFrame]) -> None:
    """The main river's way is at least a third longer than its straight course over 40 km."""
    main = layers["reaches"][layers["reaches"]["reach_id"].str.startswith("lantern-")]
    ends = [(line.coords[0], line.coords[-1]) for line in main.geometry]
    ratios = []
    for start in range(15, len(main) - 5, 5):
        piece = main.geometry.iloc[start : start + 5]
        (lon0, lat0), (lon1, lat1) = ends[start][0], ends[start + 4][1]
        straight_m = GEOD.inv(lon0, lat0, lon1, lat1)[2]
        ratios.append(sum(GEOD.geometry_length(line) for line in piece) / straight_m)
    assert np.median(ratios) > 1.33


def test_lines_are_what_the_maker_makes(
    layers: dict[str, pd.DataFrame], rebuilt: Landscape
) -> None:
    """The maker, run again from its seed, gives the committed reaches point for point."""
    lines = _lines(layers)
    assert rebuilt.reach_ids == layers["reaches"]["reach_id"].tolist()
    for line, reach in zip(lines, rebuilt.reaches, strict=True):
        np.testing.assert_allclose(line, reach.line_degrees, atol=2e-6)


def test_ground_falls_along_every_reach(
    layers: dict[str, pd.DataFrame], rebuilt: Landscape
) -> None:
    """The ground under each reach is lower at its end, and on the way rises by no more than 0.5 m.

    Half a metre is what a grid of 250 m blurs where two bends lie side by side.
    """
    for line, slope in zip(_lines(layers), layers["reaches"]["slope"], strict=True):
        height_m = rebuilt.ground.height_at(*to_plane_km(*line.T))
        assert height_m[-1] < height_m[0]
        assert (height_m - np.minimum.accumulate(height_m)).max() < 0.5
        assert slope > 0


def test_lengths_are_geodesic(layers: dict[str, pd.DataFrame]) -> None:
    """Where a length is given, it is the line's own; reaches are 1 to 13 km long."""
    table = layers["reaches"]
    own_m = np.array([GEOD.geometry_length(line) for line in table.geometry])
    given = table["length_m"].to_numpy(dtype=float)
    known = np.isfinite(given)
    assert 0.4 < known.mean() < 0.9
    np.testing.assert_allclose(given[known], own_m[known], atol=0.1)
    assert own_m.min() > 1_000
    assert own_m.max() < 13_000


def test_split_shares_sum_to_one(layers: dict[str, pd.DataFrame]) -> None:
    """The anabranch and the river below the fork share all drifters, and name their own flow."""
    splits = layers["splits"]
    np.testing.assert_allclose(splits.groupby("from_reach")["share"].sum(), 1.0, atol=1e-6)
    fed = layers["reaches"].set_index("reach_id").loc[splits["to_reach"]]
    assert fed["flow_scale"].notna().all()


def test_a_dozen_years_dry_and_wet(season_flows: pd.DataFrame) -> None:
    """Thirteen whole season-years, the wettest with over three times the driest's water."""
    volumes = season_flows.groupby("season_year")["G-LANTERN"].sum()
    assert len(volumes) == 13
    assert season_flows["G-LANTERN"].notna().all()
    assert volumes.max() > 3.0 * volumes.min()


def test_two_creeks_dry(layers: dict[str, pd.DataFrame], season_flows: pd.DataFrame) -> None:
    """The creeks' gauge stands at nothing for three weeks on end in most summers; others never."""
    by_river = layers["reaches"].assign(river=layers["reaches"]["name"].str.split(",").str[0])
    rivers = by_river.groupby("river").agg(gauge=("gauge_id", "first"), last=("to_reach", "last"))
    large = rivers[(rivers["gauge"] == "G-CREEK")]["last"].str.split("-").str[0]
    assert (large.isin(["lantern", "gloaming"])).sum() == 2
    years = 0
    for _, flows in season_flows.groupby("season_year"):
        months = pd.DatetimeIndex(flows.index).month
        dry = (flows["G-CREEK"] == 0)[(months >= 11) | (months <= 4)]
        runs = dry.groupby((~dry).cumsum()).sum()
        years += int(runs.max() >= 21)
    assert years >= 8
    assert (season_flows[["G-EAST", "G-LANTERN", "G-SOUTH"]] > 0).all(axis=None)


def _median_flow_m3s(layers: dict[str, pd.DataFrame], season_flows: pd.DataFrame) -> pd.Series:
    reaches = layers["reaches"].set_index("reach_id")
    gauges = layers["gauges"].set_index("gauge_id")["area_km2"]
    scale = reaches["flow_scale"].fillna(reaches["area_km2"] / reaches["gauge_id"].map(gauges))
    medians = {
        gauge: flow[flow > 0].median()
        for gauge, flow in season_flows.drop(columns="season_year").items()
    }
    return scale * reaches["gauge_id"].map(medians)


def test_offtakes_are_no_larger_than_their_river(
    layers: dict[str, pd.DataFrame], season_flows: pd.DataFrame
) -> None:
    """No offtake alone could take its reach's median flow; no meter shows more than capacity."""
    median_m3s = _median_flow_m3s(layers, season_flows)
    placed = layers["offtakes"].dropna(subset="reach_id")
    assert (placed["capacity_m3s"] < placed["reach_id"].map(median_m3s)).all()
    capacity = layers["offtakes"].set_index("offtake_id")["capacity_m3s"]
    metered = layers["metered"]
    assert (metered["draw_m3s"] <= metered["offtake_id"].map(capacity)).all()


def test_water_moves_at_a_river_speed(
    layers: dict[str, pd.DataFrame], season_flows: pd.DataFrame
) -> None:
    """At median flow every reach runs at 0.2 to 0.85 m/s (Manning, or the coefficient given)."""
    reaches = layers["reaches"].set_index("reach_id")
    flow = _median_flow_m3s(layers, season_flows)
    depth = (flow * reaches["manning_n"] / (reaches["width_m"] * reaches["slope"] ** 0.5)) ** 0.6
    speed = (reaches["velocity_coef"] * flow**0.34).fillna(flow / (reaches["width_m"] * depth))
    assert speed.between(0.2, 0.85).all()


def test_it_lies_in_the_open_ocean(layers: dict[str, pd.DataFrame]) -> None:
    """Everything lies in a square of the southern Indian Ocean, 1,000 km from any land."""
    square = box(91.0, -37.5, 95.0, -35.0)
    for table in layers.values():
        if isinstance(table, gpd.GeoDataFrame):
            assert table.crs.to_epsg() == 4326
            assert table.geometry.within(square).all()
            assert table.geometry.is_valid.all()


def test_relief_lies_under_the_catchment(layers: dict[str, pd.DataFrame]) -> None:
    """The picture covers every reach, is in EPSG:3857 between its bounds, and is under 2 MB."""
    bounds = tomllib.loads((DEMO / "relief.toml").read_text(encoding="utf-8"))
    frame = box(bounds["west"], bounds["south"], bounds["east"], bounds["north"])
    assert layers["reaches"].geometry.within(frame).all()
    to_mercator = Transformer.from_crs(4326, 3857, always_xy=True).transform
    left, low = to_mercator(bounds["west"], bounds["south"])
    right, high = to_mercator(bounds["east"], bounds["north"])
    with Image.open(DEMO / "relief.png") as picture:
        assert 1600 <= picture.width <= 2000
        assert picture.width / picture.height == pytest.approx(
            (right - left) / (high - low), rel=2e-3
        )
    assert (DEMO / "relief.png").stat().st_size < 2e6


def test_gauges_stand_on_their_river(layers: dict[str, pd.DataFrame]) -> None:
    """Each gauge stands on a reach that it gauges, whose area is its own."""
    reaches = layers["reaches"]
    for gauge in layers["gauges"].itertuples():
        spot = Point(gauge.geometry)
        nearest = reaches.iloc[int(np.argmin([line.distance(spot) for line in reaches.geometry]))]
        assert nearest["gauge_id"] == gauge.gauge_id
        assert nearest["area_km2"] == pytest.approx(gauge.area_km2, rel=1e-9)
