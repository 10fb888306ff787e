"""The why of one offtake: its parts make the score, its months the overlap, its rows the loss."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.catchment.fields import Visibility
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.loss_of_site import range_shares, taken_of_passing
from slackwater.desk.map_view import MapView
from slackwater.desk.months_of_site import metered_offtakes, months_of
from slackwater.desk.visibility import Viewer
from slackwater.river.overlap import overlap_coefficient
from slackwater.river.passing import passing_by_day
from tests.contracts.invented_views import SEEDS, client_of, invented_view
from tests.contracts.small_view import QUOTE, small_view

QUOTED = 1


@pytest.fixture(scope="module")
def view() -> MapView:
    return small_view()


@pytest.mark.parametrize("seed", SEEDS)
def test_the_months_overlaps_sum_to_the_overlap(seed: int) -> None:
    """Each offtake's twelve overlaps add up to the overlap its score is made of, to 1e-9."""
    evaluation = invented_view(seed).evaluation
    for offtake, overlap in enumerate(evaluation.overlap):
        months = months_of(evaluation, offtake)
        assert months.overlap.sum() == pytest.approx(overlap, abs=1e-9)
        assert (months.overlap <= np.minimum(months.draw_share, months.passing_share) + 1e-9).all()
        for shares in (months.draw_share, months.passing_share):
            assert shares.sum() == pytest.approx(1.0 if shares.any() else 0.0, abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_drifters_passing_by_day_are_those_the_river_measured(seed: int) -> None:
    """Worked out again for one offtake, the days give the overlap of every guild and year."""
    evaluation = invented_view(seed).evaluation
    river, efficacy = evaluation.river, evaluation.efficacy
    kept = efficacy.of_drifters(efficacy.fitted)
    for offtake in range(river.shape[2]):
        for season, heads in zip(river.seasons, passing_by_day(river, offtake, kept), strict=True):
            draw = river.draws[season.year].draw_m3s[[offtake]]
            again = overlap_coefficient(draw, heads[None, :])[0]
            measured = evaluation.measured.overlap[season.guild, season.year, offtake]
            assert again == pytest.approx(measured, abs=1e-12, nan_ok=True)


def test_a_month_holds_its_own_days(view: MapView) -> None:
    """Pump B draws nothing in June and July; no drifter comes before the season, most in May."""
    months = {each["month"]: each for each in view.why(1, Viewer.LEAD)["months"]}
    assert list(months) == list(range(1, 13))
    assert months[6]["draw_share"] == months[7]["draw_share"] == 0
    assert months[5]["passing_share"] > months[2]["passing_share"] == 0


def test_months_stand_in_the_order_of_the_season() -> None:
    """A season-year from July begins its table with July."""
    months = invented_view(0).why(0, Viewer.LEAD)["months"]
    assert [each["month"] for each in months] == [7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_parts_sum_to_the_score(seed: int) -> None:
    """Points of all criteria are the score, every offtake, to the last place of 1e-9."""
    view = invented_view(seed)
    for row, score in enumerate(view.evaluation.ranking.score):
        parts = view.why(row, Viewer.LEAD)["parts"]
        assert round(sum(part["points"] for part in parts), 9) == round(float(score), 9)
        for part in parts:
            points = part["value"] * part["weight_thousandths"] / 1000
            assert part["points"] == pytest.approx(points, abs=1e-12)


def test_the_public_sees_of_a_hidden_part_its_name_and_weight_alone(view: MapView) -> None:
    """Cost, from which capital can be worked out, has no value in the public's why."""
    public = {part["criterion"]: part for part in view.why(0, Viewer.PUBLIC)["parts"]}
    assert public["cost"].keys() == {"criterion", "label", "weight_thousandths"}
    assert {"value", "points"} < public["risk"].keys()


@pytest.mark.parametrize("seed", SEEDS)
def test_what_it_takes_of_those_passing_is_a_mean_of_its_daily_shares(seed: int) -> None:
    """The share taken lies between the least and the largest share it takes on any day."""
    evaluation = invented_view(seed).evaluation
    river, efficacy = evaluation.river, evaluation.efficacy
    through = 1 - efficacy.of_drifters(efficacy.fitted)
    for offtake in range(river.shape[2]):
        place = int(np.flatnonzero(river.layout.offtake_of == offtake)[0])
        daily = [
            river.conditions(i).taken_share[place] * through[season.guild, offtake]
            for i, season in enumerate(river.seasons)
        ]
        share = taken_of_passing(evaluation, offtake)
        assert share == 0 or min(d.min() for d in daily) - 1e-12 <= share
        assert share <= max(d.max() for d in daily) + 1e-12


@pytest.mark.parametrize("seed", SEEDS)
def test_the_loss_by_guild_is_the_whole_loss(seed: int) -> None:
    """Adults of all guilds sum to the site's, shares of a guild over all sites to one."""
    view = invented_view(seed)
    losses = [view.why(row, Viewer.LEAD)["loss"] for row in range(len(view.evaluation.loss_adults))]
    for loss, adults in zip(losses, view.evaluation.loss_adults, strict=True):
        told = sum(guild["loss_adults"] for guild in loss["by_guild"])
        assert told == pytest.approx(adults, rel=1e-5)
        assert loss["low"] <= loss["adults"] <= loss["high"]
        assert 0 <= loss["residents_share"] <= 1
        assert all("taken_heads" not in guild for guild in loss["by_guild"])
    for guild in zip(*(loss["by_guild"] for loss in losses), strict=True):
        together = sum(each["loss_share"] for each in guild)
        assert together == pytest.approx(1.0, abs=1e-4) or together == 0


def test_a_range_is_given_or_said_to_be_assumed() -> None:
    """One range counts as it is, two together less than both in full, none half to double."""
    assert range_shares({"cost": (0.1, 9.0)}) == (0.5, 2.0)
    assert range_shares({"encounter": (0.5, 2.0)}) == pytest.approx((0.5, 2.0))
    low, high = range_shares({"encounter": (0.5, 2.0), "production": (0.5, 2.0)})
    assert (low, high) == pytest.approx((2 ** -(2**0.5), 2 ** (2**0.5)))
    assert range_shares({"production": (0.0, 1.0)}) == (0.0, 1.0)


def test_screens_carry_size_cost_and_the_landholders_side(view: MapView) -> None:
    """Pump A (0.2 m3/s at 0.1 m/s) needs 2 m2 of cone: one unit of 2 m2, slots at 0.2 m/s."""
    cone = view.why(0, Viewer.LEAD)["screens"][0]
    assert (cone["option_id"], cone["area_m2"], cone["units"]) == ("cone", 2.0, 1)
    assert cone["slot_ms"] == pytest.approx(0.2)
    # (20,000 + mount 5,000) x (1 + design 0.1); power is there; a fifth is the landholder's
    assert cone["capital"] == 27500
    assert cone["landholder"]["pays_once"] == 5500
    assert [rate for rate, _ in cone["life_cycle_at"]] == [0.03, 0.1]
    assert cone["capital_low"] < cone["capital"] < cone["capital_high"]


def test_obstacles_are_said_in_words(view: MapView) -> None:
    """A drum is not made for pump B's fixed suction; channel C has a drum already."""
    drum_at_b = view.why(1, Viewer.AGENCY)["screens"][1]
    drum_at_c = view.why(2, Viewer.AGENCY)["screens"][1]
    assert drum_at_b["feasible"] is False
    assert "not made for this kind of intake" in drum_at_b["obstacles"]
    assert "it is fitted already" in drum_at_c["obstacles"]


def test_a_quoted_option_s_money_is_for_the_lead_alone(view: MapView) -> None:
    """Nothing made from the quote reaches the agency or the public; other options keep theirs."""
    hidden = {"capital", "capital_low", "capital_high", "capital_band", "upkeep_per_year",
              "life_cycle", "life_cycle_at", "gain_per_1000", "landholder"}  # fmt: skip
    lead, agency, public = (view.why(QUOTED, viewer)["screens"] for viewer in reversed(Viewer))
    assert lead[0]["capital"] == float(QUOTE)
    assert not hidden & agency[0].keys()
    assert hidden < agency[1].keys()
    assert not hidden & public[0].keys()
    assert "capital_band" in public[1]


def test_inputs_are_every_column_the_viewer_may_see(view: MapView) -> None:
    """The lead reads all columns of the contract, the others only those marked for them."""
    fields = view.catchment.table("offtakes").spec.fields
    apart = {"basis", "observed_on", "source"}
    seen = {
        Viewer.LEAD: set(Visibility),
        Viewer.AGENCY: {Visibility.AGENCY, Visibility.PUBLIC},
        Viewer.PUBLIC: {Visibility.PUBLIC},
    }
    for viewer, visibilities in seen.items():
        told = {each["column"] for each in view.why(0, viewer)["inputs"]}
        assert told == {f.name for f in fields if f.visibility in visibilities} - apart


def test_what_stands_in_for_an_empty_cell_is_assumed(view: MapView) -> None:
    """Channel C's snapped reach is assumed, pump A's given capacity measured, with its date."""
    inputs = {each["column"]: each for each in view.why(2, Viewer.LEAD)["inputs"]}
    assert inputs["reach_id"]["value"] == "low"
    assert (inputs["reach_id"]["default_used"], inputs["reach_id"]["basis"]) == (True, "assumed")
    capacity = {each["column"]: each for each in view.why(0, Viewer.LEAD)["inputs"]}["capacity_m3s"]
    assert (capacity["value"], capacity["unit"], capacity["basis"]) == (0.2, "m3/s", "measured")
    assert (capacity["default_used"], capacity["observed_on"]) == (False, "2020-05-01")


def test_what_else_it_rests_on_is_there_with_its_source(view: MapView) -> None:
    """Reach and gauge, every guild that spawns, the best screen, what it keeps out, all prices."""
    told = view.why(0, Viewer.LEAD)["rests_on"]
    tables = [each["table"] for each in told]
    assert tables[:2] == ["reaches", "gauges"]
    assert {each["key"] for each in told if each["table"] == "guilds"} == {"perch", "bream"}
    best = [each["option_id"] for each in view.why(0, Viewer.LEAD)["screens"] if each["is_best"]]
    assert [each["key"] for each in told if each["table"] == "options"] == best
    assert tables.count("efficacy") == 2
    assert tables.count("prices") == len(view.catchment.table("prices"))
    perch = next(each for each in told if each["key"] == "perch")
    cells = {each["column"]: each for each in perch["inputs"]}
    assert (cells["drift_days"]["value"], cells["drift_days"]["unit"]) == (4.0, "days")
    assert perch["source"] == "invented"
    assert all(each["value"] is not None for row in told for each in row["inputs"])


def test_months_of_draw_are_as_private_as_the_meter(view: MapView) -> None:
    """The public sees no draw, the agency none of a metered site, the lead all."""
    assert metered_offtakes(view.evaluation).tolist() == [True, True, False]
    for row, viewer, sees_draw in (
        (0, Viewer.PUBLIC, False), (0, Viewer.AGENCY, False), (0, Viewer.LEAD, True),
        (2, Viewer.PUBLIC, False), (2, Viewer.AGENCY, True),
    ):  # fmt: skip
        for month in view.why(row, viewer)["months"]:
            assert ("draw_share" in month) is sees_draw
            assert ("overlap" in month) is sees_draw
            assert "passing_share" in month


@pytest.mark.parametrize("seed", SEEDS)
def test_routes_are_shares_of_what_is_taken_and_lost(seed: int) -> None:
    """From and to sum to the whole, but for rounding; nothing comes from below the offtake."""
    view = invented_view(seed)
    catchment = view.catchment
    reaches = len(catchment.table("reaches"))
    for row in range(len(catchment.reach_index)):
        routes = view.routes(row, Viewer.PUBLIC)
        assert len(routes["from_reach"]) == len(routes["to_reach"]) == reaches
        for whole in (sum(routes["from_reach"]), sum(routes["to_reach"]) + routes["to_outlet"]):
            assert whole == 0 or abs(whole - 1_000_000) <= reaches
        order = catchment.network.order.tolist()
        below = order[order.index(int(catchment.reach_index[row])) + 1 :]
        assert not any(routes["from_reach"][reach] for reach in below)


@pytest.mark.parametrize("what", ["why", "routes"])
def test_an_unknown_offtake_is_not_found(view: MapView, what: str) -> None:
    """The answer has the one error shape and does not repeat what was asked for."""
    answer = client_of(view).get(f"/api/offtakes/QQXX/{what}")
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_found")
    assert "QQXX" not in answer.text


def test_the_door_gives_the_desks_answer(view: MapView) -> None:
    """Why and routes leave by the web as the desk has them, for each viewer."""
    client = client_of(view)
    for viewer in Viewer:
        for row, offtake_id in enumerate(view.catchment.table("offtakes").keys):
            for what, expected in (
                ("why", view.why(row, viewer)), ("routes", view.routes(row, viewer)),
            ):  # fmt: skip
                answer = client.get(f"/api/offtakes/{offtake_id}/{what}?as={viewer.value}")
                assert answer.status_code == 200, answer.text
                assert answer.json() == expected


def test_answers_are_kept_but_never_more_than_a_few(view: MapView) -> None:
    """Asked again, the same answer comes without work; the one asked for longest ago goes first."""
    assert view.why(0, Viewer.LEAD) is view.why(0, Viewer.LEAD)
    assert view.why(0, Viewer.LEAD) is not view.why(0, Viewer.PUBLIC)
    kept = KeptAnswers(most=2)
    worked: list[int] = []
    for key in (1, 2, 1, 3, 1, 2):
        kept.give(key, lambda key=key: worked.append(key))  # type: ignore[misc]
    assert worked == [1, 2, 3, 2]
    assert len(kept) == 2
