"""How much each offtake draws, day by day, worked by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from slackwater.catchment.use import monthly_use
from slackwater.river.river import prepare
from slackwater.river.taking import Draw, diel_factor, taken_share
from tests.river_builder import YEAR_DAYS, river_of

MONTHS = {f"use_{month:02d}": 0.0 for month in range(1, 13)}


def draw_of(offtake: dict[str, Any], **more: Any) -> Draw:
    """Draw of one offtake over the season-year of July 2018."""
    catchment = river_of([{"reach_id": "r"}], [{"offtake_id": "o", "reach_id": "r", **offtake}],
                         **more)  # fmt: skip
    return prepare(catchment).draws[0]


def test_months_and_allocation() -> None:
    """0.8 of 2 m3/s through January at an allocation of 0.6: 0.96 m3/s, 31 days, 2571.264 ML."""
    draw = draw_of({**MONTHS, "use_01": 0.8, "capacity_m3s": 2.0},
                   settings={"allocation": {"2018": 0.6}})  # fmt: skip
    assert np.unique(draw.draw_m3s).tolist() == pytest.approx([0.0, 0.96])
    assert (draw.draw_m3s > 0).sum() == 31
    assert draw.volume_ml[0] == pytest.approx(0.96 * 31 * 86.4) == pytest.approx(2571.264)


def test_below_its_cease_flow_it_stops() -> None:
    """Below 5 m3/s nothing is drawn; at 5 it is."""
    flow = np.full(YEAR_DAYS, 10.0)
    flow[:3] = 4.99, 5.0, 5.01
    draw = draw_of({"cease_flow_m3s": 5.0, "capacity_m3s": 1.0}, flows={"G": flow})
    assert draw.draw_m3s[0, :4].tolist() == [0.0, 1.0, 1.0, 1.0]


def test_never_more_than_the_river() -> None:
    """A capacity of 3 in a river of 2 draws 2, and nothing on a dry day."""
    flow = np.full(YEAR_DAYS, 10.0)
    flow[:2] = 2.0, 0.0
    draw = draw_of({"capacity_m3s": 3.0}, flows={"G": flow})
    assert draw.draw_m3s[0, :3].tolist() == [2.0, 0.0, 3.0]
    assert draw.drawn_share[0, :3].tolist() == [1.0, 0.0, 0.3]


@pytest.mark.parametrize(("missing", "between"), [("use", 1.0), ("zero", 0.0)])
def test_the_meter_goes_first(missing: str, between: float) -> None:
    """Metered days count as metered; between first and last record a day without is as set."""
    metered = [{"offtake_id": "o", "date": date, "draw_m3s": value}
               for date, value in (("2018-07-02", 0.4), ("2018-07-04", 0.7))]  # fmt: skip
    draw = draw_of({"capacity_m3s": 1.0}, metered=metered, settings={"metered_missing": missing})
    assert draw.draw_m3s[0, :5].tolist() == [1.0, 0.4, between, 0.7, 1.0]


def test_use_is_borrowed_from_its_kind() -> None:
    """A pump without months takes the mean of its kind's whole rows, else of all; some empty: 0."""
    whole_a, whole_b, other = np.full(12, 0.2), np.full(12, 0.6), np.full(12, 0.9)
    partly = np.full(12, np.nan)
    partly[0] = 0.5
    given = np.array([whole_a, whole_b, other, partly, np.full(12, np.nan), np.full(12, np.nan)])
    kind = np.array(["rail", "rail", "channel", "rail", "rail", "floating"], object)
    use, assumed = monthly_use(given, kind)
    assert use[3].tolist() == [0.5] + [0.0] * 11
    assert use[4] == pytest.approx(np.full(12, 0.4))  # (0.2 + 0.6) / 2, the partly filled left out
    assert use[5] == pytest.approx(np.full(12, 1.7 / 3))  # no whole row of its kind: of all
    assert assumed.tolist() == [False, False, False, False, True, True]


def test_diel_by_hand() -> None:
    """n .8, p .25, h .4: .8 x .25 / .4 + .2 x .75 / .6 = .75; empty n or empty p gives 1."""
    night = np.array([[0.4]])
    assert diel_factor(0.8, np.array([0.25]), night)[0, 0] == pytest.approx(0.75)
    assert diel_factor(np.nan, np.array([0.25]), night)[0, 0] == 1.0
    assert diel_factor(0.8, np.array([np.nan]), night)[0, 0] == pytest.approx(1.0)


def test_share_taken_by_hand() -> None:
    """Encounter 1.5, position 0.8, diel .75 and a fifth of the flow: 0.18."""
    draw = Draw(np.array([[2.0]]), np.array([[0.2]]), np.array([[0.4]]), np.zeros(1),
                np.zeros(1, np.int64))  # fmt: skip
    ours = taken_share(draw, 1.5, np.array([0.8]), 0.8, np.array([0.25]))
    assert ours[0, 0] == pytest.approx(0.18)
