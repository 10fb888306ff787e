"""What a hall has in common: laws that hold whatever its phones weigh.

Outside checks: ``numpy.median`` and ``numpy.percentile``, and a plain loop in fractions.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slackwater.desk.meeting.money_here import shared_out
from slackwater.meeting.weightings import (
    Flags,
    Turn,
    Whole,
    dividing,
    middle_and_spread,
    stays,
    turns,
)

Hall = tuple[Whole, Flags]


@st.composite
def halls(draw: st.DrawFn, least: int = 1) -> Hall:
    """Give (n, criteria) weightings as sliders of 0 to 10 make them, and (n, offtakes) sets."""
    n, criteria = draw(st.integers(least, 12)), draw(st.integers(1, 5))
    level = st.lists(st.integers(0, 10), min_size=criteria, max_size=criteria).filter(any)
    levels = draw(st.lists(level, min_size=n, max_size=n))
    offtakes = draw(st.integers(1, 9))
    row = st.lists(st.booleans(), min_size=offtakes, max_size=offtakes)
    inside = draw(st.lists(row, min_size=n, max_size=n))
    return np.array([shared_out(each) for each in levels]), np.array(inside, bool)


@given(halls(), st.randoms(use_true_random=False))
def test_the_order_of_phones_changes_nothing(hall: Hall, chance: object) -> None:
    """Whoever came first, middle, spread, what stays and what turns on opinion are the same."""
    weightings, inside = hall
    order = list(range(len(weightings)))
    chance.shuffle(order)  # type: ignore[attr-defined]
    assert middle_and_spread(weightings[order], shared_out) == middle_and_spread(
        weightings, shared_out
    )
    assert (stays(inside[order]) == stays(inside)).all()
    assert turns(inside[order], weightings[order]) == turns(inside, weightings)


@given(halls(least=2))
def test_a_further_weighting_never_adds_to_what_stays(hall: Hall) -> None:
    """With one more phone no site stays that did not stay before."""
    _, inside = hall
    assert not (stays(inside) & ~stays(inside[:-1])).any()


@given(halls())
def test_a_site_stays_or_turns_or_is_inside_nowhere(hall: Hall) -> None:
    """Every site is one of: inside under all, under some (told with its count), under none."""
    weightings, inside = hall
    turning = {each.position: each.count for each in turns(inside, weightings)}
    for site in range(inside.shape[1]):
        count = int(inside[:, site].sum())
        assert stays(inside)[site] == (count == len(inside))
        assert turning.get(site) == (count if 0 < count < len(inside) else None)


@given(halls())
def test_middle_and_spread_are_numpys(hall: Hall) -> None:
    """The ends are the next 5 % beyond `numpy.percentile`'s outer quarters, the middle
    `numpy.median`'s shared out to 100 %."""
    weightings, _ = hall
    spread = middle_and_spread(weightings, shared_out)
    lower = np.percentile(weightings, 25, axis=0, method="lower")
    higher = np.percentile(weightings, 75, axis=0, method="higher")
    for end, quarter, out in ((spread.low, lower, -1), (spread.high, higher, 1)):
        beyond = out * (np.array(end) - quarter)
        assert ((beyond > 0) | np.isin(end, (0, 1000))).all()
        assert ((beyond >= 0) & (beyond <= 50)).all()
        assert not (np.array(end) % 50).any()
    assert sum(spread.middle) == 1000
    median = np.median(weightings, axis=0)
    if median.any():
        exact = 100 * median / median.sum()
        assert np.abs(np.array(spread.middle) / 10 - exact).max() < 1
    assert not any(each % 10 for each in spread.middle)


@given(halls(least=5))
def test_half_lie_within_and_an_end_is_nobody_s_own_weight(hall: Hall) -> None:
    """At least half of the weights of each criterion lie within the spread. An end follows from
    no phone's weight to the thousandth: moved within their steps of 5 % all give the same."""
    weightings, _ = hall
    spread = middle_and_spread(weightings, shared_out)
    for own, low, high in zip(weightings.T, spread.low, spread.high, strict=True):
        assert 2 * ((own >= low) & (own <= high)).sum() >= len(own)
    up, down = -(-weightings // 50) * 50, weightings // 50 * 50
    assert middle_and_spread(up, shared_out).low == spread.low
    assert middle_and_spread(down, shared_out).high == spread.high


@given(halls(least=5))
def test_who_divides_a_hall_is_never_alone(hall: Hall) -> None:
    """Each site that is named has three phones at least on either side, and no other has."""
    weightings, inside = hall
    n, count = len(inside), inside.sum(axis=0)
    named = {each.position for each in dividing(turns(inside, weightings), n)}
    assert named == {site for site, k in enumerate(count) if min(k, n - k) >= 3}


@given(halls(least=2))
def test_what_a_site_turns_on_is_a_plain_loops(hall: Hall) -> None:
    """The criterion named is the one whose means differ most, the first of equals, by a loop."""
    weightings, inside = hall
    assert turns(inside, weightings) == tuple(turns_by_loop(inside.tolist(), weightings.tolist()))


def turns_by_loop(inside: list[list[bool]], weightings: list[list[int]]) -> list[Turn]:
    """Say the same of each site in turn, with means as fractions."""
    found = []
    for site in range(len(inside[0])):
        funds = [w for w, each in zip(weightings, inside, strict=True) if each[site]]
        passes = [w for w, each in zip(weightings, inside, strict=True) if not each[site]]
        if not funds or not passes:
            continue
        on, by = -1, Fraction(0)
        for criterion in range(len(weightings[0])):
            mean = Fraction(sum(w[criterion] for w in funds), len(funds))
            other = Fraction(sum(w[criterion] for w in passes), len(passes))
            if abs(mean - other) > abs(by):
                on, by = criterion, mean - other
        found.append(Turn(site, len(funds), on, by > 0))
    return found
