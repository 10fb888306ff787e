"""What each viewer gets of the layers: every column they may see, as it is, and nothing else."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.catchment.contract import TABLES
from slackwater.desk.features.offtake_results import results_offered
from slackwater.desk.map_view import MapView
from slackwater.desk.score_report import score_values
from slackwater.desk.visibility import Viewer, sees
from slackwater.guide.pages import page
from tests.catchment.small import small
from tests.contracts.invented_views import SEEDS, client_of, invented_view
from tests.contracts.seeded import view_of
from tests.contracts.small_view import small_view

OFFTAKES = "/ogc/collections/offtakes/items"


def rows(client: TestClient, layer: str, viewer: Viewer) -> dict[str, dict[str, Any]]:
    """Give the properties of every row of a layer by its id."""
    answer = client.get(f"/ogc/collections/{layer}/items", params={"as": viewer.value})
    assert answer.status_code == 200, answer.text
    return {each["id"]: each["properties"] for each in answer.json()["features"]}


@pytest.mark.parametrize("viewer", list(Viewer))
@pytest.mark.parametrize("layer", ["offtakes", "reaches", "gauges"])
def test_each_viewer_gets_every_column_of_theirs_and_no_other(layer: str, viewer: Viewer) -> None:
    """All columns of the contract that the viewer may see are in every row, and none besides."""
    for told in rows(client_of(small_view()), layer, viewer).values():
        for field in TABLES[layer].fields:
            assert (field.name in told) == sees(viewer, field.visibility), field.name


@pytest.mark.parametrize("viewer", list(Viewer))
def test_results_are_there_for_who_may_see_them(viewer: Viewer) -> None:
    """The public sees a band where the agency sees the capital, and no draw and no cost."""
    told = next(iter(rows(client_of(small_view()), "offtakes", viewer).values()))
    public = {"rank", "score", "risk", "overlap", "loss_share", "gain_share", "best_option_id",
              "capital_from_money", "capital_to_money", "stands_at"}  # fmt: skip
    agency = {"capital_money", "life_cycle_cost_money", "volume_m3_per_year"}
    assert public <= set(told)
    assert (agency & set(told)) == (agency if viewer is not Viewer.PUBLIC else set())


def counted_view() -> MapView:
    """Give the small catchment with production that was counted, so that heads may be shown."""
    of = small()
    of.settings["production_basis"] = "counted"
    return view_of(of)


@pytest.mark.parametrize("seed", [*SEEDS, None])
def test_numbers_are_those_of_the_score_in_full(seed: int | None) -> None:
    """The lead's layer says what `slackwater score --json` says, unrounded, in SI units; without a
    seed, where production was counted."""
    view = counted_view() if seed is None else invented_view(seed)
    counted = view.catchment.settings.production_basis == "counted"
    told = rows(client_of(view), "offtakes", Viewer.LEAD)
    for site in score_values(view.evaluation)["offtakes"]:
        row = told[site["offtake_id"]]
        assert row["rank"] == site["rank"]
        assert row["score"] == pytest.approx(site["score"], abs=1e-9)
        assert row["overlap"] == pytest.approx(site["overlap"], abs=5.1e-7)
        assert row["volume_m3_per_year"] == site["volume_ml"] * 1000
        assert row["best_option_id"] == site["best_option"]
        assert row["capital_money"] == site["capital"]
        assert row["life_cycle_cost_money"] == site["life_cycle_cost"]
        assert ("gain_adults_per_1000_money" in row) == counted == (seed is None)
        if counted and site["best_option"] is not None:
            assert row["gain_adults_per_year"] == site["gain_adults"]
            assert row["gain_adults_per_1000_money"] == pytest.approx(site["gain_per_1000"])
            assert row["loss_adults_per_year"] == site["loss_adults"]


@pytest.mark.parametrize("viewer", list(Viewer))
def test_the_map_and_the_layer_agree(viewer: Viewer) -> None:
    """Rank, score, shares, status and place are those the page gets, for every viewer."""
    client = client_of(small_view())
    columns = client.get("/api/offtakes", params={"as": viewer.value}).json()
    page_of = client.get(OFFTAKES, params={"as": viewer.value}).json()
    for at, feature in enumerate(page_of["features"]):
        told = feature["properties"]
        assert told["offtake_id"] == columns["offtake_id"][at]
        assert told["rank"] == columns["rank"][at]
        assert told["score"] == columns["score"][at] / 1e9
        for name in ("risk", "overlap", "loss_share", "gain_share"):
            assert told[name] == columns[name][at] / 1e6
        assert told["status"] == columns["status"][at]
        assert told["stands_at"] == columns["stands_at"][at]
        lon, lat = feature["geometry"]["coordinates"]
        assert lon == pytest.approx(columns["lon"][at] / 1e5, abs=5.1e-6)
        assert lat == pytest.approx(columns["lat"][at] / 1e5, abs=5.1e-6)


def test_reaches_and_gauges_tell_their_mean_flow() -> None:
    """The mean over the record at the gauge, and on each reach times its flow scale."""
    view = small_view()
    client = client_of(view)
    record = view.catchment.records.mean_flow_m3s().tolist()
    gauges = rows(client, "gauges", Viewer.PUBLIC)
    assert [each["mean_flow_m3s"] for each in gauges.values()] == record
    for told in rows(client, "reaches", Viewer.PUBLIC).values():
        of_gauge = gauges[told["gauge_id"]]["mean_flow_m3s"]
        assert told["mean_flow_m3s"] == pytest.approx(told["flow_scale"] * of_gauge)


def test_the_lead_alone_is_told_where_an_intake_stands() -> None:
    """The lead's point is the intake as given; for all others it is mid-reach."""
    of = small()
    client = client_of(view_of(of))
    for viewer in Viewer:
        features = client.get(OFFTAKES, params={"as": viewer.value}).json()["features"]
        for at, feature in enumerate(features):
            place = of.tables["offtakes"].geometry[at]  # type: ignore[index]
            given = [place.x, place.y]
            assert (feature["geometry"]["coordinates"] == given) == (viewer is Viewer.LEAD)
            stands = "intake" if viewer is Viewer.LEAD else "reach"
            assert feature["properties"]["stands_at"] == stands


def test_rivers_without_lines_have_features_without_a_place() -> None:
    """A catchment from a workbook: the geometry is null (RFC 7946 section 3.2) of reaches, and of
    offtakes for who may not know the intake; a box leaves them all in."""
    of = small()
    of.tables["reaches"].geometry = None
    for row, (reach, chainage_m) in enumerate((("up", 2000), ("mid", 500), ("low", 800))):
        of.set("offtakes", row, "reach_id", reach)
        of.set("offtakes", row, "chainage_m", str(chainage_m))
    for row in range(len(of.tables["reaches"].rows)):
        of.set("reaches", row, "length_m", "5000")
    client = client_of(view_of(of))
    for layer, count in (("offtakes", 3), ("reaches", 5)):
        address = f"/ogc/collections/{layer}"
        told = client.get(f"{address}/items?bbox=0,0,1,1&as=public").json()
        assert [each["geometry"] for each in told["features"]] == [None] * count
        assert all("stands_at" not in each["properties"] for each in told["features"])
        assert "extent" not in client.get(f"{address}?as=public").json()
    lead = client.get("/ogc/collections/offtakes/items").json()["features"]
    assert [each["properties"]["stands_at"] for each in lead] == ["intake"] * 3


def test_the_guide_names_every_result_with_its_unit_and_audience() -> None:
    """What `guide gis` tells of the results is what there is, row by row."""
    told: dict[str, tuple[str, str]] = {}
    for line in page("gis").splitlines():
        cells = [each.strip() for each in line.strip("|").split("|")]
        if len(cells) == 4 and cells[0].startswith("`"):
            told |= dict.fromkeys(re.findall(r"`(\w+)`", cells[0]), (cells[1], cells[2]))
    there = {
        each.told.name: (each.told.unit, each.column.visibility.value)
        for each in results_offered(counted_view().evaluation)
    }
    assert told == there
