"""Laws that the reference keeps in invented catchments; a reference that broke them could catch no
mistake.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from .benefit import benefit_adults, benefits_of_all_sets
from .catchments import generate
from .drift import drift_over
from .funding import sites_of
from .network import nearest_point
from .reading import read_catchment
from .scoring import Scored, score_catchment
from .season import corner_date
from .sweep import sweep_down
from .worth import let_by_today, worth_in_river

SEEDS = range(24)


@pytest.fixture(scope="module", params=SEEDS)
def scored(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Scored:
    """An invented catchment, scored."""
    folder = tmp_path_factory.mktemp("invented") / str(request.param)
    generate(folder, request.param)
    return score_catchment(folder)


def test_nobody_is_lost(scored: Scored) -> None:
    """Produced = settled + died + taken + left, with the dead counted one by one and not as what
    remains.
    """
    for result in scored.results.values():
        for outcome in result.outcomes.values():
            ends = (
                sum(outcome.settled.values())
                + outcome.died
                + sum(outcome.taken.values())
                + outcome.left
            )
            assert ends == pytest.approx(outcome.produced, rel=1e-9, abs=1e-9)
            assert 0 <= outcome.stranded + outcome.died_at_weirs <= outcome.died * (1 + 1e-12)


def test_everyone_in_a_stretch_drifts_on_settles_or_dies(scored: Scored) -> None:
    """The chances of a stretch sum to 1 from every stage."""
    for guild in scored.river.catchment.guilds.values():
        for tau_days in (0.0, 1e-6, 0.3, 2.0, 40.0):
            stretch = drift_over(guild, tau_days)
            for a in range(guild.drift_stages):
                total = sum(stretch.drifting_on[a]) + stretch.settled[a] + stretch.died[a]
                assert total == pytest.approx(1, rel=1e-12)


def test_loss_by_the_backward_sweep_is_loss_by_the_forward_sweep(scored: Scored) -> None:
    """What an offtake costs is what the river would gain had it alone taken none."""
    for result in scored.results.values():
        for g, season in result.seasons.items():
            today = worth_in_river(season, result.outcomes[g])
            for i, found in result.losses[g].items():
                without = worth_in_river(
                    season, sweep_down(season, {**let_by_today(season), i: 0.0})
                )
                assert found.loss == pytest.approx(
                    without - today, rel=1e-7, abs=1e-9 * max(1, without)
                )


def test_a_gain_is_the_benefit_of_that_screen_alone(scored: Scored) -> None:
    """B of one screen, by forward sweep, is that option's gain."""
    scale = max(1e-12, *scored.loss_adults.values())
    for i, gains in scored.gain_adults.items():
        for option_id, gain in gains.items():
            assert benefit_adults(scored, {i: option_id}) == pytest.approx(
                gain, rel=1e-7, abs=1e-7 * scale
            )


def test_corners_give_the_benefit_of_a_set(scored: Scored) -> None:
    """The worth of every set from the swept corners is what sweeping that set gives."""
    sites = sites_of(scored)
    choices: dict[str, list[str | None]] = {i: list(o) for i, o in sites.committed.items()}
    for i, options in sites.eligible.items():
        choices[i] = [None, *options]
    found = benefits_of_all_sets(scored, choices)
    scale = max(1e-12, *scored.loss_adults.values())
    for benefit, chosen in found[:: max(1, len(found) // 8)]:
        assert benefit_adults(scored, chosen) == pytest.approx(benefit, rel=1e-7, abs=1e-7 * scale)


def test_invented_catchments_are_valid(scored: Scored) -> None:
    """Offtakes stand near and within their reach, corners are in order, shares sum to 1, a year is
    whole.
    """
    river, catchment = scored.river, scored.river.catchment
    assert river.years
    for i, offtake in catchment.offtakes.items():
        distance_m, _ = nearest_point(
            offtake.point, catchment.reaches[river.network.reach_of[i]].line
        )
        assert distance_m < 250
        assert 0 <= river.network.chainage_m[i] <= river.network.length_m[river.network.reach_of[i]]
    for guild in catchment.guilds.values():
        for year in river.years:
            corners = [corner_date(corner, year, river.start_month) for corner in guild.window]
            assert corners == sorted(corners)
        warmths = [corner for corner in guild.temperatures_c if corner is not None]
        assert warmths == sorted(warmths)
    for reach_id in catchment.reaches:
        arms = [arm for arm in catchment.splits if arm.from_reach == reach_id]
        assert not arms or abs(sum(arm.share for arm in arms) - 1) < 1e-6
        assert not arms or catchment.reaches[reach_id].to_reach in (
            "",
            *(arm.to_reach for arm in arms),
        )
        assert all(catchment.reaches[arm.to_reach].flow_scale is not None for arm in arms)


def test_the_same_seed_gives_the_same_folder(tmp_path: Path) -> None:
    """A seed stands for one catchment."""
    for place in ("a", "b"):
        generate(tmp_path / place, 5)
    names = sorted(path.name for path in (tmp_path / "a").iterdir())
    assert names == sorted(path.name for path in (tmp_path / "b").iterdir())
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()
    assert read_catchment(tmp_path / "a").settings == read_catchment(tmp_path / "b").settings


def test_the_reference_knows_nothing_of_the_product() -> None:
    """No file of the reference imports the product it checks."""
    for path in Path(__file__).parent.rglob("*.py"):
        for line in path.read_text(encoding="utf-8").splitlines():
            assert not line.strip().startswith(("import slackwater", "from slackwater")), path
