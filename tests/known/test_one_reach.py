"""One reach worked by hand: travel, settling, dying, taking, worth."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from slackwater.river.kernel import DIED, LEFT, PRODUCED, SETTLED
from slackwater.river.river import Measured, River, prepare
from tests.kernel_access import settled_by_reach
from tests.river_builder import river_of

# 86.4 km at 0.5 m/s is 2 days; release at mid-length, so 1 day of drift below it; the pump
# stands at three quarters, half a day below the release; 2 of 10 m3/s drawn.
REACH = {"reach_id": "r", "length_m": 86_400.0, "velocity_coef": 0.5, "nursery": 0.8}
PUMP = {"reach_id": "r", "chainage_m": 64_800.0, "capacity_m3s": 2.0}
BORN = 1000.0


def one_reach(guild: dict[str, Any], *, kept_out: float = 0.0) -> tuple[River, Measured]:
    """Measure the reach with one guild."""
    river = prepare(river_of([REACH], [PUMP], guilds=[guild],
                             production=[{"reach_id": "r", "production": BORN}]))  # fmt: skip
    return river, river.measure(np.array([[kept_out]]))


def test_one_stage_by_hand() -> None:
    """With one stage settling at 0.25 and dying at 0.15 a day, every fate is an exponential."""
    _, measured = one_reach(
        {"drift_days": 4.0, "drift_stages": 1, "mortality_per_day": 0.15, "outlet_value": 0.5}
    )
    half_day = math.exp(-0.4 * 0.5)  # 0.818731
    arriving = BORN * half_day  # 818.731
    taken = arriving * 0.2  # 163.746
    passing = arriving - taken  # 654.985
    left = passing * half_day  # 536.256
    gone = (BORN - arriving) + (passing - left)  # 181.269 + 118.729 = 299.998
    counted = measured.balance[0, 0]
    assert counted[PRODUCED] == pytest.approx(BORN)
    assert measured.taken[0, 0, 0] == pytest.approx(taken) == pytest.approx(163.746, abs=1e-3)
    assert counted[LEFT] == pytest.approx(left) == pytest.approx(536.256, abs=1e-3)
    assert counted[SETTLED] == pytest.approx(gone * 0.25 / 0.4) == pytest.approx(187.499, abs=1e-3)
    assert counted[DIED] == pytest.approx(gone * 0.15 / 0.4)
    # worth just below the pump: 0.8 for those that settle in half a day, 0.5 for those that leave
    below = 0.8 * 0.625 * (1 - half_day) + 0.5 * half_day  # 0.090635 + 0.409365 = 0.5
    assert below == pytest.approx(0.5)  # both ends worth the same here: 0.8 x 0.625 = 0.5
    assert measured.exposed[0, 0, 0] == pytest.approx(taken * below)
    assert measured.meeting[0, 0, 0] == pytest.approx(arriving * below)
    assert measured.worth[0, 0] == pytest.approx(0.8 * gone * 0.625 + 0.5 * left)


def test_a_screen_by_hand() -> None:
    """A screen that keeps out three quarters lets a quarter of 0.2 be taken: 0.05."""
    _, measured = one_reach(
        {"drift_days": 4.0, "mortality_per_day": 0.15, "outlet_value": 0.5}, kept_out=0.75
    )
    assert measured.taken[0, 0, 0] == pytest.approx(BORN * math.exp(-0.2) * 0.05)


def test_two_stages_by_hand() -> None:
    """With two stages each left at 1 a day and no deaths, half a day leaves e^-.5 and .5 e^-.5."""
    river, measured = one_reach({"drift_days": 2.0, "drift_stages": 2, "mortality_per_day": 0.0})
    decay = math.exp(-0.5)
    first, second = BORN * decay, BORN * 0.5 * decay  # 606.531, 303.265
    assert measured.taken[0, 0, 0] == pytest.approx(0.2 * (first + second))  # 181.959
    below_first, below_second = 0.8 * first, 0.8 * second
    left_first = below_first * decay
    left_second = (below_second + 0.5 * below_first) * decay
    assert measured.balance[0, 0, LEFT] == pytest.approx(left_first + left_second)
    settled, left = settled_by_reach(river, np.zeros((1, 1)), 0)
    assert left == pytest.approx(left_first + left_second)
    assert settled[0] == pytest.approx(BORN - 0.2 * (first + second) - left)


def test_more_is_never_taken_than_passes() -> None:
    """An encounter of 7 at a fifth of the flow would be 1.4: the share taken is held at 1."""
    _, measured = one_reach({"encounter": 7.0})
    assert measured.taken[0, 0, 0] == pytest.approx(BORN)
    assert measured.balance[0, 0, LEFT] == pytest.approx(0.0, abs=1e-9)


def test_an_offtake_at_mid_length_acts_before_the_release() -> None:
    """At mid-length a pump takes none of what starts there; a metre below, its share."""
    for chainage_m, share in ((43_200.0, 0.0), (43_201.0, 0.2)):
        catchment = river_of([REACH], [{**PUMP, "chainage_m": chainage_m}],
                             production=[{"reach_id": "r", "production": BORN}])  # fmt: skip
        taken = prepare(catchment).measure(np.zeros((1, 1))).taken[0, 0, 0]
        assert taken == pytest.approx(share * BORN)


def test_offtakes_at_one_place_act_in_the_order_of_their_ids() -> None:
    """Of two pumps at one chainage the first id takes 0.2 of all, the second 0.2 of 0.8."""
    pumps = [{**PUMP, "offtake_id": "b"}, {**PUMP, "offtake_id": "a"}]
    catchment = river_of([REACH], pumps, production=[{"reach_id": "r", "production": BORN}])
    taken = prepare(catchment).measure(np.zeros((1, 2))).taken[0, 0]
    assert taken == pytest.approx([160.0, 200.0])  # in the order of the table: b, a
