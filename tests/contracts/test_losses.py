"""Year and guild views: they show other numbers of the same rows, never another rank."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from slackwater.desk.map_view import MapView
from slackwater.desk.visibility import Viewer
from slackwater.desk.year_views import YearView, loss_adults_of, weights_of
from slackwater.errors import UsageError
from tests.contracts.invented_views import SEEDS, client_of, invented_view
from tests.contracts.small_view import small_view


@pytest.mark.parametrize("seed", SEEDS)
def test_the_mean_of_all_guilds_is_what_the_list_shows(seed: int) -> None:
    """The view a page begins with is the list's own loss, risk and gain."""
    view = invented_view(seed)
    listed, shown = view.offtakes(Viewer.PUBLIC), view.losses(YearView.MEAN, "all", Viewer.PUBLIC)
    for name in ("loss_share", "risk", "gain_share"):
        assert shown[name] == pytest.approx(listed[name], abs=1)
    assert shown["total"] == pytest.approx(view.evaluation.loss_adults.sum(), rel=1e-5)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("year", [YearView.DRY, YearView.MEDIAN, YearView.WET])
def test_a_third_of_the_years_has_its_own_losses(seed: int, year: YearView) -> None:
    """The shares in dry, median or wet years are those of the evaluation's own thirds."""
    view = invented_view(seed)
    adults = view.evaluation.loss_adults_in[year.value]
    expected = adults / adults.sum() * 1e6 if adults.sum() > 0 else adults
    assert view.losses(year, "all", Viewer.LEAD)["loss_share"] == pytest.approx(expected, abs=0.51)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_guilds_totals_make_the_whole(seed: int) -> None:
    """Totals of the guilds one by one sum to the total of all."""
    view = invented_view(seed)
    for year in YearView:
        whole = view.losses(year, "all", Viewer.PUBLIC)["total"]
        guilds = view.catchment.table("guilds").keys
        parts = [view.losses(year, guild, Viewer.PUBLIC)["total"] for guild in guilds]
        assert sum(parts) == pytest.approx(whole, rel=1e-4)


@pytest.mark.parametrize("seed", SEEDS)
def test_weights_of_every_view_sum_to_one(seed: int) -> None:
    """Each view is a mean: the weights of its years sum to one, the others are nothing."""
    evaluation = invented_view(seed).evaluation
    for year in YearView:
        assert weights_of(evaluation, year).sum() == pytest.approx(1.0)
    together = sum(loss_adults_of(evaluation)).sum(axis=0)
    assert np.allclose(together, evaluation.loss_adults_by_year)


def test_a_view_says_nothing_of_score_or_rank() -> None:
    """The answer has the view's own numbers and no rank that could take the list's place."""
    answer = client_of(small_view()).get("/api/losses?year=wet&guild=perch&as=public").json()
    assert answer.keys() == {"year", "guild", "loss_share", "risk", "gain_share", "total"}
    assert (answer["year"], answer["guild"]) == ("wet", "perch")
    assert max(answer["risk"]) == 1_000_000


def test_adults_are_shown_only_where_production_was_counted() -> None:
    """An index gives shares alone; a count gives adult equivalents of every offtake too."""
    view: MapView = small_view()
    assert "adults" not in view.losses(YearView.MEAN, "all", Viewer.LEAD)
    settings = replace(view.catchment.settings, production_basis="counted")
    counted = replace(view.evaluation, catchment=replace(view.catchment, settings=settings))
    shown = replace(view, evaluation=counted).losses(YearView.MEAN, "all", Viewer.LEAD)
    assert sum(shown["adults"]) == pytest.approx(shown["total"], rel=1e-5)


def test_an_unknown_guild_or_year_is_refused() -> None:
    """The refusal has the one error shape, names what there is and repeats nothing."""
    client = client_of(small_view())
    for query in ("guild=QQXX", "year=QQXX"):
        answer = client.get(f"/api/losses?{query}")
        assert answer.status_code == 400
        assert answer.json()["error"]["message"]
        assert "QQXX" not in answer.text
    with pytest.raises(UsageError, match="perch, bream"):
        small_view().losses(YearView.MEAN, "none", Viewer.LEAD)
