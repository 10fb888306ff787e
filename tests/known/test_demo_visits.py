"""In the demo a planned visit changes the set once it has measured, and one left out could not.

The set is found again in full: the register's cell changed, every offtake evaluated anew, and the
round funded from nothing; not by the worth that the planner went by.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from slackwater.catchment.catchment import Catchment
from slackwater.decisions.budget_line import price_at_line
from slackwater.desk.best_funding import fund, round_of
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.funding_desk import Asked
from slackwater.desk.measurements import worth_measuring
from slackwater.desk.showing import Shown
from slackwater.desk.trial_draws import ranges_of
from slackwater.desk.visits.asked import RunAsked
from slackwater.desk.visits.site_worth import site_worth
from slackwater.progress import Progress
from tests.reports.cases import demo_shown

BUDGET = 2_500_000.0
DAYS = (480.0, 480.0, 480.0)


@cache
def planned() -> dict[str, Any]:
    """Plan three days in the demo, to the end."""
    told: list[dict[str, Any]] = []
    answer = demo().visits.plan(RunAsked(Asked(BUDGET), DAYS))(Progress(), told.append)
    assert told[0]["gap"] is None  # the run comes first, the rest after it
    return answer


def demo() -> Shown:
    return demo_shown()


def chosen(evaluation: Evaluation) -> dict[int, int]:
    """Find the best set from nothing."""
    return dict(fund(evaluation, BUDGET).certificate.picks)


@cache
def chosen_now() -> dict[int, int]:
    return chosen(demo().view.evaluation)


def measured(code: str, column: str, times: float | None, value: float | None) -> Evaluation:
    """Evaluate everything anew with one cell of one offtake changed."""
    catchment: Catchment = demo().view.catchment
    offtakes = catchment.table("offtakes")
    row = offtakes.index[code]
    if column == "draw":
        use = catchment.use_share.copy()
        use[row] *= times
        return evaluate(replace(catchment, use_share=use))
    cells = offtakes.number(column).copy()
    cells[row] = value if value is not None else cells[row] * times
    table = replace(offtakes, columns={**offtakes.columns, column: cells})
    return evaluate(replace(catchment, tables={**catchment.tables, "offtakes": table}))


def test_a_planned_visit_changes_the_set_as_the_plan_says() -> None:
    """The first told has its position at the low end of its range; the set found then differs."""
    first = planned()["changes"][0]
    assert "0.6 times the drifters" in first["words"]
    stops = [stop["code"] for day in planned()["days"] for stop in day["stops"]]
    assert first["code"] in stops
    then, now = chosen(measured(first["code"], "position", 0.6, None)), chosen_now()
    assert then != now
    row = demo().view.catchment.table("offtakes").index[first["code"]]
    names = demo().view.catchment.table("options").text("name")
    assert f"“{names[then[row]]}” in place of “{names[now[row]]}”" in first["words"]


ENDS = [("position", 1.6), ("draw", 1.15),
        pytest.param("position", 0.6, marks=pytest.mark.long),
        pytest.param("draw", 0.8, marks=pytest.mark.long),
        pytest.param("night_use_share", 0.8, marks=pytest.mark.long),
        pytest.param("night_use_share", 1.2, marks=pytest.mark.long)]  # fmt: skip


@pytest.mark.parametrize(("column", "times"), ENDS)
def test_a_site_left_out_could_not_have_changed_it(column: str, times: float) -> None:
    """The first told as such is no stop; with any input at either end the set is the same."""
    left = planned()["cannot_change"][0]
    stops = [stop["code"] for day in planned()["days"] for stop in day["stops"]]
    assert left["code"] not in stops
    assert "outside the set whatever is found there" in left["words"]
    (why,) = [each for each in planned()["skipped"] if each["code"] == left["code"]]
    assert not why["could_change"]
    assert chosen(measured(left["code"], column, times, None)) == chosen_now()


def test_the_plan_of_three_days_is_whole() -> None:
    """Each offtake is a stop or left out with a reason; days fit; days buy more and more."""
    told = planned()
    catchment = demo().view.catchment
    stops = [stop for day in told["days"] for stop in day["stops"]]
    seen = [stop["code"] for stop in stops]
    assert sorted([*seen, *(each["code"] for each in told["skipped"])]) == sorted(
        catchment.table("offtakes").keys
    )
    assert all(each["why"] for each in told["skipped"])
    assert all(day["minutes"] <= 480 and day["over_min"] == 0 for day in told["days"])
    assert told["buys"] == sorted(told["buys"])
    # each is told to two figures
    assert told["buys"][-1] == pytest.approx(sum(s["worth_share"] for s in stops), rel=0.06)
    assert 0 <= told["gap"] < 0.05
    assert told["used_roads"]
    assert told["start"]["name"] == catchment.table("depots").text("name")[0]
    assert told["next"]["code"] not in seen
    assert told["next"]["extra_min"] > 0
    assert all(stop["measure"] for stop in stops)
    willing = catchment.table("offtakes").text("willing")
    for stop in stops:
        row = catchment.table("offtakes").index[stop["code"]]
        assert stop["contact_first"] is (willing[row] != "yes")


def test_a_longer_day_for_what_is_next_lets_it_in_or_more() -> None:
    """With as many minutes more on every day as the next site lacks, the run shows more."""
    extra = planned()["next"]["extra_min"] + 1
    longer: list[dict[str, Any]] = []

    class Enough(Exception):
        """The run itself is all that is asked."""

    def tell(values: dict[str, Any]) -> None:
        longer.append(values)
        raise Enough

    asked = RunAsked(Asked(BUDGET), tuple(minutes + extra for minutes in DAYS))
    with pytest.raises(Enough):
        demo().visits.plan(asked)(Progress(), tell)
    assert longer[0]["buys"][-1] > planned()["buys"][-1]


def test_worth_of_a_visit_is_never_below_that_of_one_input_nor_found_where_none_is() -> None:
    """Knowing several inputs together is worth at least the best one alone, at every offtake."""
    evaluation = demo().view.evaluation
    answer = demo().funding.answer(Asked(BUDGET), Progress())
    round_ = round_of(evaluation, BUDGET, answer.conditions)
    ranges = ranges_of(evaluation.catchment)
    price = price_at_line(round_, answer.certificate.cuts)
    whole = site_worth(evaluation, ranges, round_, price)
    one = np.zeros(len(whole.worth_adults))
    inputs: dict[int, list[str]] = {}
    for each in worth_measuring(evaluation, ranges, round_, price):
        if each.site is not None and each.input != "cost":
            one[each.site] = max(one[each.site], each.worth_adults)
            inputs.setdefault(each.site, []).append(each.input)
    assert (whole.worth_adults >= one * (1 - 1e-12)).all()
    told = {row: list(names) for row, names in enumerate(whole.inputs) if names}
    assert told == inputs  # what is worth most stands first in both
