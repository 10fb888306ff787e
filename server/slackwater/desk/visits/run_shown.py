"""A planned run as plain values: days and stops, what each day buys, what is next, what is left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visits.asked import how_to_measure
from slackwater.desk.visits.reasons import Reasons
from slackwater.desk.visits.site_worth import SiteWorth
from slackwater.visits.plan import Plan
from slackwater.visits.problem import Problem
from slackwater.visits.routes import OneMore, Order, Route, one_more, routes_of
from slackwater.visits.travel import Travel

Positions = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class RunShown:
    """Turns a run into values.

    Attributes
    ----------
    rows : offtake row of each site of the problem.
    never : codes that are not to be seen.
    placed : (offtakes,) whether anything says where a site is.
    start : where days start and end: ``name``, ``lon``, ``lat``.
    """

    evaluation: Evaluation
    worth: SiteWorth
    reasons: Reasons
    problem: Problem
    rows: Positions
    travel: Travel
    never: frozenset[str]
    placed: Flags
    start: Mapping[str, Any]

    def plan(self, orders: Sequence[Order], plans: Sequence[Plan | None]) -> dict[str, Any]:
        """Give a run; without plans of fewer days, nothing of what each day buys."""
        seen = {site for order in orders for site in order}
        left = [site for site in range(self.problem.sites) if site not in seen]
        more = {site: one_more(self.problem, orders, site) for site in left}
        routes = routes_of(self.problem, orders)
        return {
            "start": self.start,
            "days": [self._day(route) for route in routes],
            "buys": [
                None if each is None else self.worth.share_millionths(each.worth) for each in plans
            ],
            "next": self._next(more),
            "skipped": self._skipped(seen, more),
            "changes": None,
            "cannot_change": None,
            "gap": None,
            "used_roads": bool(self.travel.by_road.all()),
        }

    def _day(self, route: Route) -> dict[str, Any]:
        return {
            "stops": [
                {
                    "code": self._code(stop.site),
                    "arrive_min": stop.arrive_s / 60,
                    "leave_min": stop.leave_s / 60,
                    "drive_min": stop.drive_s / 60,
                    "drive_km": stop.drive_m / 1000,
                    "worth_share": int(self.worth.shares_millionths[self.rows[stop.site]]),
                    "measure": measure_values(self.worth, int(self.rows[stop.site])),
                    "must": bool(self.problem.must[stop.site]),
                    "contact_first": contact_first(self.evaluation, int(self.rows[stop.site])),
                }
                for stop in route.stops
            ],
            "back_min": route.back_s / 60,
            "back_km": route.back_m / 1000,
            "drive_km": route.drive_m / 1000,
            "drive_min": route.drive_s / 60,
            "minutes": route.seconds / 60,
            "over_min": route.over_s / 60,
            "worth_share": self.worth.share_millionths(route.worth),
        }

    def _next(self, more: dict[int, OneMore]) -> dict[str, Any] | None:
        """Give the site whose worth asks for least beyond what the days have left."""
        worth = self.problem.worth
        asked = [each for site, each in more.items() if worth[site] > 0]
        if not asked:
            return None
        best = max(asked, key=lambda each: (worth[each.site] / max(each.short_s, 1), -each.site))
        return {
            "code": self._code(best.site),
            "day": best.day + 1,
            "extra_min": best.short_s / 60,
            "takes_min": best.more_s / 60,
            "worth_share": int(self.worth.shares_millionths[self.rows[best.site]]),
        }

    def _skipped(self, seen: set[int], more: dict[int, OneMore]) -> list[dict[str, Any]]:
        """Give every site left out with the reason, those worth most first."""
        keys = self.evaluation.catchment.table("offtakes").keys
        at = {int(row): site for site, row in enumerate(self.rows)}
        days = range(len(self.problem.days))
        over = np.min(
            [self.problem.alone_s(d) - self.problem.days[d].length_s for d in days], axis=0
        )
        told = []
        for row in np.argsort(-self.worth.worth_adults, kind="stable").tolist():
            site = at.get(row)
            if site in seen:
                continue
            if keys[row] in self.never:
                why = "asked not to be seen"
            elif self.worth.worth_adults[row] == 0:
                why = self.reasons.nothing_to_learn(row)
            elif not self.placed[row] or site is None:
                why = "nothing says where it is"
            else:
                why = self.reasons.skipped(row, more[site], too_far_s=int(over[site]))
            could = bool(self.worth.worth_adults[row] > 0)
            told.append({"code": keys[row], "could_change": could, "why": why})
        return told

    def _code(self, site: int) -> str:
        return self.evaluation.catchment.table("offtakes").keys[self.rows[site]]


def candidate_values(evaluation: Evaluation, worth: SiteWorth) -> list[dict[str, Any]]:
    """Give every offtake with what a visit is worth, in the table's order."""
    offtakes = evaluation.catchment.table("offtakes")
    shares = worth.shares_millionths
    return [
        {
            "code": code,
            "worth_share": int(shares[row]),
            "could_change": bool(worth.worth_adults[row] > 0),
            "measure": measure_values(worth, row),
            "access": str(offtakes.text("access")[row]),
            "contact_first": contact_first(evaluation, row),
        }
        for row, code in enumerate(offtakes.keys)
    ]


def measure_values(worth: SiteWorth, row: int) -> list[dict[str, str]]:
    """Give what to measure at a site and how, what is worth most first."""
    return [{"input": name, "words": how_to_measure(name)} for name in worth.inputs[row]]


def contact_first(evaluation: Evaluation, row: int) -> bool:
    """Whether to ring before one goes: nobody has said yes yet."""
    return str(evaluation.catchment.table("offtakes").text("willing")[row]) != "yes"
