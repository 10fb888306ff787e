"""Do the demo's offtakes stand where they could, reached by roads, and plainly invented?"""

from itertools import combinations
from pathlib import Path

import geopandas as gpd
import pandas as pd
import pyogrio
import pytest
from pyproj import Geod

ROOT = Path(__file__).resolve().parents[2]

DEMO = ROOT / "demo_data"

GEOD = Geod(ellps="WGS84")


@pytest.fixture(scope="module")
def layers() -> dict[str, pd.DataFrame]:
    path = DEMO / "lantern.gpkg"
    return {str(name): gpd.read_file(path, layer=name) for name, _ in pyogrio.list_layers(path)}


def test_offtakes_stand_on_their_reach(layers: dict[str, pd.DataFrame]) -> None:
    """Each offtake is within 100 m of a reach, and of its own where that is named."""
    plane = layers["reaches"].set_index("reach_id").geometry.to_crs(32746)
    spots = layers["offtakes"].geometry.to_crs(32746)
    everything = plane.union_all()
    for spot, reach in zip(spots, layers["offtakes"]["reach_id"], strict=True):
        assert (plane[reach] if isinstance(reach, str) else everything).distance(spot) < 100.0


def test_offtakes_stand_in_their_district(layers: dict[str, pd.DataFrame]) -> None:
    """The district named is the polygon the offtake stands in, and districts do not overlap."""
    land = layers["land"]
    districts = land[land["kind"] == "district"].set_index("name").geometry
    offtakes = layers["offtakes"]
    for spot, name in zip(offtakes.geometry, offtakes["district"], strict=True):
        assert districts[name].contains(spot)
    for (_, a), (_, b) in combinations(districts.items(), 2):
        assert a.intersection(b).area < 1e-6


def test_roads_join_up_and_reach_the_offtakes(layers: dict[str, pd.DataFrame]) -> None:
    """All roads hang together by their ends, and no offtake is over 3 km from one."""
    roads = layers["roads"]
    group = {end: end for line in roads.geometry for end in (line.coords[0], line.coords[-1])}

    def root(node: tuple[float, float]) -> tuple[float, float]:
        while group[node] != node:
            node = group[node]
        return node

    for line in roads.geometry:
        group[root(line.coords[0])] = root(line.coords[-1])
    assert len({root(node) for node in group}) == 1
    network = roads.geometry.to_crs(32746).union_all()
    assert layers["offtakes"].geometry.to_crs(32746).distance(network).max() < 3_000


def test_statuses_and_quotes_are_mixed(layers: dict[str, pd.DataFrame]) -> None:
    """Most offtakes are candidates, some have gone further, and every quote names its option."""
    offtakes = layers["offtakes"]
    counts = offtakes["status"].value_counts()
    assert counts["candidate"] > 150
    assert set(counts.index) == {"candidate", "offered", "accepted", "built", "declined"}
    assert offtakes["quote"].notna().sum() >= 5
    assert (offtakes["quote"].notna() == offtakes["quote_option"].notna()).all()
    options = set(layers["options"]["option_id"])
    assert set(offtakes["quote_option"].dropna()) <= options
    assert set(offtakes["fitted"].dropna()) <= options
    assert set(offtakes["willing"]) == {"yes", "no", "unknown"}


def test_everything_says_it_is_invented(layers: dict[str, pd.DataFrame]) -> None:
    """Every source of every table begins by saying that it is invented for the demo."""
    for table in layers.values():
        if "source" in table.columns:
            assert table["source"].str.startswith("invented for the demo").all()
    assert "invented" in (DEMO / "README.md").read_text(encoding="utf-8")


def test_nobody_is_named(layers: dict[str, pd.DataFrame]) -> None:
    """Landholders and contacts are numbers, and no public code gives a licence away."""
    offtakes = layers["offtakes"]
    assert offtakes["landholder"].str.fullmatch(r"Holder \d{3}").all()
    assert offtakes["contact"].str.fullmatch(r"contact \d{3}").all()
    assert offtakes["licence"].str.fullmatch(r"0\d{5}").all()
    assert not set(offtakes["offtake_id"]) & set(offtakes["licence"])
