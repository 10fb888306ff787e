"""Rivers that divide, hold fish up and fall dry, worked by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slackwater.river.kernel import DIED, LEFT, STRANDED
from slackwater.river.river import River, prepare
from tests.river_builder import YEAR_DAYS, river_of

# The release day is 10 October, day 101 of the season-year; nobody settles or dies of itself, and
# every reach is passed within hours, so every lag is 0 and the day met is day 101.
RELEASE_DAY = 101
BORN = 1000.0
SHORT_M = 1000.0


def forked(
    *, creek_dry: bool = False, main_dry: bool = False, weirs: list[dict[str, Any]] | None = None,
    shares: tuple[float, float] = (0.7, 0.3), guilds: tuple[dict[str, Any], ...] = ({},),
) -> River:  # fmt: skip
    """A head reach that divides 0.7 : 0.3 into a main arm and a creek, each with a pump of 0.1."""
    flows = {"G": np.full(YEAR_DAYS, 10.0), "M": np.full(YEAR_DAYS, 10.0),
             "C": np.full(YEAR_DAYS, 10.0)}  # fmt: skip
    if creek_dry:
        flows["C"][RELEASE_DAY] = 0.0
    if main_dry:
        flows["M"][RELEASE_DAY] = 0.0
    head, main, creek = (
        {"reach_id": "head", "to_reach": "main", "length_m": SHORT_M},
        {"reach_id": "main", "length_m": SHORT_M, "gauge_id": "M"},
        {"reach_id": "creek", "length_m": SHORT_M, "gauge_id": "C"},
    )
    return prepare(
        river_of(
            [head, main, creek],
            [{"reach_id": "main", "chainage_m": 500.0}, {"reach_id": "creek", "chainage_m": 500.0}],
            splits=[{"from_reach": "head", "to_reach": "main", "share": shares[0]},
                    {"from_reach": "head", "to_reach": "creek", "share": shares[1]}],
            production=[{"reach_id": "head", "guild_id": f"g{g}", "production": BORN}
                        for g in range(len(guilds))],
            guilds=guilds, weirs=weirs or [], flows=flows,
        )
    )  # fmt: skip


def taken_of(river: River) -> np.ndarray:
    """(offtakes,) heads taken of the first guild."""
    return river.measure(np.zeros(river.shape[::2])).taken[0, 0]


def test_a_fork_shares_drifters_out() -> None:
    """700 take the main arm and 300 the creek; each pump takes a tenth."""
    assert taken_of(forked()) == pytest.approx([70.0, 30.0])


def test_shares_are_divided_by_their_sum() -> None:
    """Shares that sum to 1.0000005 are taken as parts of that sum."""
    taken = taken_of(forked(shares=(0.7000005, 0.3)))
    assert taken.sum() == pytest.approx(100.0, rel=1e-12)


def test_a_dry_arm_hands_its_share_on() -> None:
    """With the creek dry that day all 1000 take the main arm, and nobody is stranded."""
    river = forked(creek_dry=True)
    assert taken_of(river) == pytest.approx([100.0, 0.0])
    assert river.measure(np.zeros((1, 2))).balance[0, 0, STRANDED] == 0.0


def test_where_every_arm_is_dry_drifters_are_stranded() -> None:
    """With both arms dry all 1000 count as died and as stranded, and are worth nothing."""
    measured = forked(creek_dry=True, main_dry=True).measure(np.zeros((1, 2)))
    assert measured.balance[0, 0, STRANDED] == pytest.approx(BORN)
    assert measured.balance[0, 0, DIED] == pytest.approx(BORN)
    assert measured.worth[0, 0] == pytest.approx(0.0, abs=1e-6)


def test_a_weir_acts_before_stranding() -> None:
    """Of 1000, 200 die at the weir of 0.8; the 800 left are stranded."""
    river = forked(creek_dry=True, main_dry=True, weirs=[{"reach_id": "head", "survival": 0.8}])
    counted = river.measure(np.zeros((1, 2))).balance[0, 0]
    assert counted[STRANDED] == pytest.approx(800.0)
    assert counted[DIED] == pytest.approx(1000.0)


def test_weirs_multiply_and_know_their_guild() -> None:
    """Two weirs of 0.8 and 0.5 on one reach pass 0.4; a guild whom only the first meets, 0.8."""
    river = forked(
        guilds=({}, {}),
        weirs=[{"reach_id": "head", "survival": 0.8},
               {"reach_id": "head", "survival": 0.5, "guild_id": "g0"}],
    )  # fmt: skip
    taken = river.measure(np.zeros((2, 2))).taken[:, 0]
    assert taken == pytest.approx(np.array([[28.0, 12.0], [56.0, 24.0]]))


def test_a_weir_at_the_outlet_acts_before_it() -> None:
    """A weir of 0.8 below the main arm's pump leaves 0.8 x 630 of it and the creek's 270."""
    counted = forked(weirs=[{"reach_id": "main", "survival": 0.8}]).measure(np.zeros((1, 2)))
    assert counted.balance[0, 0, LEFT] == pytest.approx(0.8 * 630 + 270)
    assert counted.balance[0, 0, DIED] == pytest.approx(0.2 * 630)


def test_no_spawning_on_a_dry_day() -> None:
    """Where the reach's own gauge shows no flow on the only spawning day nothing starts."""
    flow = np.full(YEAR_DAYS, 10.0)
    flow[RELEASE_DAY] = 0.0
    catchment = river_of([{"reach_id": "r"}], [{"reach_id": "r"}], flows={"G": flow},
                         production=[{"reach_id": "r", "production": BORN}])  # fmt: skip
    measured = prepare(catchment).measure(np.zeros((1, 1)))
    assert not measured.balance.any()
