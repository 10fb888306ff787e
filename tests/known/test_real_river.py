"""Two real networks out of an installed package: one is served, one is refused.

Known are the networks themselves: 720 reaches, 1,190 km, one outlet in the clean one; two links
with one node number at both ends in the other. Fish, offtakes and prices are synthetic.
"""

from __future__ import annotations

from pathlib import Path

import networkx as nx
import numpy as np
import pytest
from scripts.real_river.methow import build_methow
from scripts.real_river.packages import daily_flow, methow_links, soque_links
from scripts.real_river.soque import build_soque

from slackwater.catchment.catchment import Catchment
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import check_catchment, open_catchment
from slackwater.desk.score_report import BALANCE


@pytest.fixture(scope="module")
def methow(tmp_path_factory: pytest.TempPathFactory) -> Catchment:
    folder = tmp_path_factory.mktemp("real") / "methow"
    build_methow(folder)
    return open_catchment(folder).catchment


@pytest.fixture(scope="module")
def evaluation(methow: Catchment) -> Evaluation:
    return evaluate(methow)


@pytest.fixture(scope="module")
def graph() -> nx.DiGraph:
    """The links as the Shapefile itself has them."""
    links = methow_links()
    drains = links[links["ToLink"].notna()]
    built = nx.DiGraph()
    built.add_nodes_from(links["GridID"].astype(int).astype(str))
    built.add_edges_from(
        zip(
            drains["GridID"].astype(int).astype(str),
            drains["ToLink"].astype(int).astype(str),
            strict=True,
        )
    )
    return built


def test_every_reach_is_kept(methow: Catchment) -> None:
    """The clean network comes in without a fault, 720 reaches and 1,190 km of them."""
    links = methow_links()
    assert len(methow.table("reaches")) == len(links) == 720
    assert methow.length_m.sum() == pytest.approx(links["Length_m"].sum(), rel=1e-12)
    assert round(methow.length_m.sum() / 1000) == 1190


def test_the_system_without_a_prj_is_right(methow: Catchment) -> None:
    """In ESRI:102008 the lines lie in the north of Washington State (48 to 49 N), and fit."""
    lines = methow.table("reaches").geometry
    assert lines is not None
    west, south, east, north = np.array([line.bounds for line in lines]).T
    # from memory: the Methow rises near the Canadian border (49 N), west of 119.8 W
    assert -121 < west.min() < east.max() < -119.5
    assert 47.9 < south.min() < north.max() < 49.1


def test_a_general_library_finds_the_same_order(methow: Catchment, graph: nx.DiGraph) -> None:
    """Order and outlet are those networkx finds in the Shapefile's own links."""
    ids = np.array(methow.table("reaches").keys)
    place = {reach_id: at for at, reach_id in enumerate(ids[methow.network.order])}
    assert nx.is_directed_acyclic_graph(graph)
    assert all(place[above] < place[below] for above, below in graph.edges)
    outlets = [node for node, below in graph.out_degree if below == 0]
    assert ids[methow.network.is_outlet].tolist() == outlets
    assert len(nx.ancestors(graph, outlets[0])) == 719


def test_flow_follows_area(methow: Catchment) -> None:
    """The outlet has the borrowed record times the ratio of areas, on every day."""
    outlet = int(np.flatnonzero(methow.network.is_outlet)[0])
    # 4650.8085 km2 in the Shapefile / 1600 km2 assumed for the gauge
    assert methow.flow_scale[outlet] == pytest.approx(2.9067553125, rel=1e-9)
    assert methow.records.mean_flow_m3s()[0] == pytest.approx(daily_flow().mean(), rel=1e-12)
    assert methow.records.years.tolist() == list(range(2001, 2011))


def test_every_offtake_is_ranked(evaluation: Evaluation) -> None:
    """The synthetic offtakes stand in an order from 1 to their number, and some take fish."""
    rank = evaluation.ranking.rank
    assert sorted(rank.tolist()) == list(range(1, len(rank) + 1))
    assert len(rank) == 150
    assert (evaluation.loss_adults > 0).sum() > 140


def test_the_balance_closes(evaluation: Evaluation) -> None:
    """Of each guild, drifters produced are those settled, died, taken and left."""
    heads = dict(zip(BALANCE, evaluation.balance.T, strict=True))
    parts = heads["settled"] + heads["died"] + heads["taken"] + heads["left"]
    assert (heads["produced"] > 0).all()
    assert (np.array([heads[name] for name in BALANCE]) >= 0).all()
    np.testing.assert_allclose(parts, heads["produced"], rtol=1e-9)


def test_what_is_made_up_says_so(methow: Catchment) -> None:
    """Every row of fish, offtakes, screens and prices calls itself synthetic."""
    for name in ("guilds", "production", "offtakes", "options", "efficacy", "prices"):
        assert all("synthetic" in source for source in methow.table(name).text("source")), name
    assert "another river's" in methow.table("gauges").text("name")[0]


def test_the_defective_network_is_refused(tmp_path: Path) -> None:
    """Both links that drain into themselves are named as loops, beside a link without area."""
    links = soque_links()
    ends = [links[name].astype("int64") for name in ("FromNode", "ToNode")]
    looped = links.loc[ends[0] == ends[1], "Permanent_"].tolist()
    assert len(looped) == 2
    build_soque(tmp_path / "soque")
    faults, _ = check_catchment(tmp_path / "soque")
    cycles = [fault for fault in faults if fault.code == "cycle"]
    assert [fault.key for fault in cycles] == looped
    assert [fault.row for fault in cycles] == [37, 136]  # features from 1, as the file has them
    assert all(f"{f.key} > {f.key}" in f.remedy and f.column == "to_reach" for f in cycles)
    bare = links.loc[links["TotDASqKm"] <= 0, "Permanent_"].tolist()
    others = [fault for fault in faults if fault.code != "cycle"]
    assert [(f.key, f.column, f.code) for f in others] == [
        (key, "area_km2", "not_above_zero") for key in bare
    ]


def test_the_loops_come_from_cut_numbers(tmp_path: Path) -> None:
    """Joined by the decimal node numbers as they stand, no link drains into itself."""
    build_soque(tmp_path / "soque", whole_numbers=False)
    faults, _ = check_catchment(tmp_path / "soque")
    assert [fault.code for fault in faults] == ["not_above_zero"]
