"""Plan field days for one edition: what each site is worth, the run, what it buys, what it changes.

A first answer is the run itself; how near it is to the best and what it would change come after.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.budget_line import price_at_line
from slackwater.decisions.rules import Round
from slackwater.desk.best_funding import FundingAnswer, round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding_desk import Asked, FundingDesk
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.long_work import Tell, Values, Work
from slackwater.desk.trial_draws import InputRange, ranges_of
from slackwater.desk.visits.asked import RunAsked, hours
from slackwater.desk.visits.places import Places
from slackwater.desk.visits.reasons import Reasons
from slackwater.desk.visits.run_shown import RunShown, candidate_values
from slackwater.desk.visits.site_worth import SiteWorth, site_worth
from slackwater.desk.visits.would_change import Shown, WouldChange
from slackwater.desk.within import Within
from slackwater.errors import UsageError
from slackwater.progress import Progress
from slackwater.visits.bound import most_worth
from slackwater.visits.plan import plans_by_days
from slackwater.visits.problem import Day, MustsDoNotFit, Problem, problem_of
from slackwater.visits.travel import Travel

Positions = NDArray[np.int64]
LOOKED_AT = 4
"""Of sites left out, the most that are looked at for some that cannot change the set."""
KEPT = 16


@dataclass(frozen=True, eq=False)
class _Stake:
    """What is at stake at every site, for one budget and its conditions."""

    answer: FundingAnswer
    round_: Round
    worth: SiteWorth


@dataclass(frozen=True, eq=False)
class _Laid:
    """A run laid out: sites that may be visited, by their rows, and the ways between them."""

    rows: Positions
    travel: Travel
    problem: Problem


class VisitDesk:
    """One edition's field days, for as long as its evaluation stands."""

    def __init__(self, evaluation: Evaluation, funding: FundingDesk) -> None:
        self._evaluation, self._funding = evaluation, funding
        self._places = Places(evaluation.catchment)
        self._stakes = KeptAnswers(KEPT)

    def depots(self) -> Values:
        """Give the places days can start from, and whether roads are known."""
        depots = [{"name": name, "lon": lon, "lat": lat}
                  for name, (lon, lat) in self._places.depots.items()]  # fmt: skip
        return {"depots": depots, "roads": self._places.roads is not None}

    def candidates(self, asked: Asked) -> Work:
        """Give the work of saying what a visit to each site is worth.

        Raises
        ------
        UsageError
            Where the budget is no amount of money, or a choice cannot be made.
        """
        round_of(self._evaluation, asked.budget, asked.conditions).choices()

        def work(progress: Progress, _tell: Tell) -> Values:
            stake = self._stake(asked, progress)
            return {"candidates": candidate_values(self._evaluation, stake.worth)}

        return work

    def plan(self, asked: RunAsked) -> Work:
        """Give the work of planning a run.

        Raises
        ------
        UsageError
            Where something asked for cannot be; what must be seen and does not fit fails later.
        """
        self._check(asked)

        def work(progress: Progress, tell: Tell) -> Values:
            stake = self._stake(asked.funding, progress)
            laid = self._laid(asked, stake.worth)
            try:
                plans = plans_by_days(laid.problem, progress)
            except MustsDoNotFit as refused:
                raise UsageError(self._refused(asked, laid, refused)) from refused
            last = plans[-1]
            assert last is not None  # else it was refused
            shown = self._shown(asked, stake, laid)
            values = shown.plan(last.orders, plans)
            tell(values)
            bound = most_worth(laid.problem, last.worth, progress)
            values = {**values, "gap": (bound - last.worth) / bound if bound > 0 else 0.0}
            tell(values)
            seen = [int(laid.rows[site]) for order in last.orders for site in order]
            found = self._what_changes(
                stake, seen, progress, lambda so_far: tell({**values, **so_far})
            )
            return {**values, **found}

        return work

    def order(self, asked: RunAsked, days: Sequence[Sequence[str]]) -> Work:
        """Give the work of saying what an order made by hand takes; nothing is moved in it.

        Raises
        ------
        UsageError
            Where something asked for cannot be, a code stands twice or has no known place.
        """
        codes = [code for day in days for code in day]
        self._check(asked)
        if len(days) != len(asked.minutes):
            raise UsageError("give the stops of every day")
        if len(set(codes)) != len(codes):
            raise UsageError("a site stands twice in the run")
        index = self._evaluation.catchment.table("offtakes").index
        for code in codes:
            if code not in index or not self._placed[index[code]]:
                raise UsageError(f"{code}: there is no such offtake here, or none with a place")

        def work(progress: Progress, _tell: Tell) -> Values:
            stake = self._stake(asked.funding, progress)
            laid = self._laid(asked, stake.worth, codes)
            at = {int(row): site for site, row in enumerate(laid.rows)}
            orders = [tuple(at[index[code]] for code in day) for day in days]
            return self._shown(asked, stake, laid).plan(orders, ())

        return work

    def _check(self, asked: RunAsked) -> None:
        index = self._evaluation.catchment.table("offtakes").index
        asked.check(index)
        self._places.depot(asked.depot, asked.start)
        nowhere = [code for code in asked.must if not self._placed[index[code]]]
        if nowhere:
            raise UsageError(f"{', '.join(nowhere)}: nothing says where that is")
        about = asked.funding
        round_of(self._evaluation, about.budget, about.conditions).choices()

    @cached_property
    def _placed(self) -> NDArray[np.bool_]:
        return np.asarray(np.isfinite(self._places.sites).all(axis=1))

    @cached_property
    def _ranges(self) -> dict[str, InputRange]:
        return ranges_of(self._evaluation.catchment)

    def _stake(self, asked: Asked, progress: Progress) -> _Stake:
        def work_out() -> _Stake:
            answer = self._funding.answer(asked, Within(progress))
            round_ = round_of(self._evaluation, asked.budget, asked.conditions)
            cuts = answer.certificate.cuts
            price = price_at_line(round_, cuts, lambda: progress.stopped) if cuts else 0.0
            worth = site_worth(self._evaluation, self._ranges, round_, price)
            return _Stake(answer, round_, worth)

        stake: _Stake = self._stakes.give(asked.key, work_out)
        return stake

    def _laid(self, asked: RunAsked, worth: SiteWorth, also: Sequence[str] = ()) -> _Laid:
        """Lay out the sites that are worth something, must be seen, or are asked about."""
        index = self._evaluation.catchment.table("offtakes").index
        wanted = np.zeros(len(index), bool)
        wanted[[index[code] for code in (*asked.must, *also)]] = True
        asked_never = np.zeros(len(index), bool)
        asked_never[[index[code] for code in asked.never]] = True
        rows = np.flatnonzero(wanted | ((worth.worth_adults > 0) & self._placed & ~asked_never))
        travel = self._places.travel(
            rows, self._places.depot(asked.depot, asked.start), asked.driving
        )
        must = np.isin(rows, [index[code] for code in asked.must])
        return _Laid(rows, travel, problem_of(
            travel,
            np.full(len(rows), 60 * asked.service_minutes),
            worth.worth_adults[rows],
            must,
            tuple(Day(0, int(60 * each)) for each in asked.minutes),
        ))  # fmt: skip

    def _shown(self, asked: RunAsked, stake: _Stake, laid: _Laid) -> RunShown:
        reasons = Reasons(
            self._evaluation, stake.round_, stake.worth, stake.answer.certificate.picks
        )
        return RunShown(
            self._evaluation, stake.worth, reasons, laid.problem, laid.rows, laid.travel,
            frozenset(asked.never), self._placed, self._places.start(asked.depot, asked.start),
        )  # fmt: skip

    def _refused(self, asked: RunAsked, laid: _Laid, refused: MustsDoNotFit) -> str:
        """Say what must be seen and does not fit, and what is short."""
        short = hours(np.ceil(refused.short_s / 60))
        if refused.site is None:
            return (
                f"{', '.join(asked.must)} do not fit into {len(asked.minutes)} day(s) together: "
                f"the best order found is {short} too long"
            )
        code = self._evaluation.catchment.table("offtakes").keys[laid.rows[refused.site]]
        at_site = hours(asked.service_minutes)
        return (
            f"{code} is too far: there, {at_site} at the site and back is {short} more than the "
            "longest day"
        )

    def _what_changes(
        self, stake: _Stake, seen: Sequence[int], progress: Progress, tell: Tell
    ) -> Values:
        """Find the set again for some stops and some sites left out; each is told when found."""
        would = WouldChange(self._evaluation, self._ranges, stake.answer, stake.worth)
        worth, loss = stake.worth, self._evaluation.loss_adults
        picks = stake.answer.certificate.picks
        reasons = Reasons(self._evaluation, stake.round_, worth, picks)
        codes = self._evaluation.catchment.table("offtakes").keys
        stops = sorted(seen, key=lambda row: -worth.worth_adults[row])
        idle = [
            int(row) for row in np.argsort(-loss, kind="stable")
            if worth.open[row] and worth.worth_adults[row] == 0 and row not in set(seen)
        ][:LOOKED_AT]  # fmt: skip
        words = {row: reasons.nothing_to_learn(row) for row in idle}
        outside_first = sorted(idle, key=lambda row: row in picks)

        found: dict[str, list[dict[str, str]]] = {"changes": [], "cannot_change": []}
        asked: tuple[tuple[str, Iterable[Shown]], ...] = (
            ("changes", would.changes(stops, progress)),
            ("cannot_change", would.cannot(outside_first, words, progress)),
        )
        for name, shown in asked:
            for each in shown:
                found[name].append({"code": codes[each.site], "words": each.words})
                tell({name: list(listed) for name, listed in found.items()})
        return found
