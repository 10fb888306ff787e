"""Middle, spread and what turns on opinion, worked by hand; and what a meeting code is."""

from __future__ import annotations

import numpy as np
import pytest

from slackwater.desk.meeting.money_here import shared_out
from slackwater.errors import UsageError
from slackwater.meeting.codes import LETTERS, new_code, spaced_code, tidied_code
from slackwater.meeting.weightings import Turn, middle_and_spread, stays, turns

FOUR = np.array([[600, 100, 300], [500, 200, 300], [200, 300, 500], [700, 0, 300]])


def test_middle_and_spread_of_four() -> None:
    """Of 200 500 600 700 the outer quarters are the first and the last, of 0 100 200 300 too: the
    ends are the next steps of 50 beyond, 0 where there is none."""
    spread = middle_and_spread(FOUR, shared_out)
    assert spread.low == (150, 0, 250)
    assert spread.high == (750, 350, 550)
    assert spread.middle == (550, 150, 300)  # the medians; they sum to 1000 by themselves


def test_medians_that_do_not_sum_are_shared_out() -> None:
    """Medians 400, 300 and 0 are four and three sevenths: 57.14 % and 42.86 %, so 57 and 43."""
    three = np.array([[1000, 0, 0], [0, 1000, 0], [400, 300, 300]])
    assert middle_and_spread(three, shared_out).middle == (570, 430, 0)


def test_where_each_holds_something_else_for_all_the_middle_is_the_mean() -> None:
    """Three phones, each all on another criterion, have medians 0; the mean is a third each."""
    assert middle_and_spread(1000 * np.eye(3, dtype=np.int64), shared_out).middle == (340, 330, 330)


def test_a_site_turns_on_the_criterion_that_divides_the_hall() -> None:
    """Means of the first two and the last two: 550, 450; 150, 150; 300, 400: risk more, by 100.

    The third criterion differs by 100 too, and the first of equals is named.
    """
    inside = np.array([[1, 1, 0, 0], [1, 1, 0, 1], [1, 0, 0, 1], [1, 0, 0, 0]], bool)
    assert stays(inside).tolist() == [True, False, False, False]
    first, last = turns(inside, FOUR)
    assert first == Turn(1, 2, 0, more=True)
    # the two in the middle against the others: 350 650, 250 50, 400 300
    assert last == Turn(3, 2, 0, more=False)


def test_where_no_mean_differs_nothing_is_blamed() -> None:
    """Two who weigh alike and fund otherwise, as a list of then and now may, name no criterion."""
    same = np.array([[500, 500], [500, 500]])
    assert turns(np.array([[True], [False]]), same) == (Turn(0, 1, -1, more=False),)


@pytest.mark.parametrize("typed", ["K7RM4P", "k7r m4p", " K7R-M4P\n", "k 7 r m 4 p", "K7R–M4P"])
def test_a_code_is_taken_however_it_is_pasted(typed: str) -> None:
    """Spaces, hyphens and small letters do not matter."""
    assert tidied_code(typed) == "K7RM4P"
    assert spaced_code("K7RM4P") == "K7R M4P"


@pytest.mark.parametrize(
    "typed", ["", "K7RM4", "K7RM4PP", "K7RM4O", "K7RM4é", "K" * 4000, "../../"]
)
def test_what_is_no_code_is_refused(typed: str) -> None:
    """Too short, too long, a letter that no code has, a path."""
    with pytest.raises(UsageError, match="meeting code"):
        tidied_code(typed)


def test_new_codes_are_codes() -> None:
    """A hundred new ones: all of six letters of the alphabet, none twice."""
    codes = {new_code() for _ in range(100)}
    assert len(codes) == 100
    assert all(len(code) == 6 and set(code) <= set(LETTERS) for code in codes)
    assert not set("01OILSU") & set(LETTERS)
