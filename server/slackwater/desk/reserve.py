"""Who comes in when one declines? The others stay as they were promised; the money free is spent.

Whoever stays, stays with the screen offered, so that all that changes is who comes in. Where one of
a group that is taken as one declines, the group goes. Nothing is recorded here: this only asks.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from slackwater.decisions.best_set import find_best_set
from slackwater.decisions.by_score import Site
from slackwater.decisions.options import NONE
from slackwater.decisions.rules import Conditions, Round
from slackwater.desk.best_funding import gains_of, round_of
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.fund_columns import FundState, by_score_options, state_of
from slackwater.desk.funding_desk import Asked
from slackwater.desk.long_work import Tell, Values, Work
from slackwater.desk.offers_since import Since
from slackwater.desk.reserve_shown import Change, reserve_values
from slackwater.desk.showing import Shown
from slackwater.errors import UsageError
from slackwater.progress import Progress

STAYS = "stays as promised"
DECLINES = "it declines"
NOT_INSIDE = "is not in this set, so nobody comes in for it; ask with the case that it is in"

NOTHING_SINCE = Since()
Picks = Mapping[int, int]


@dataclass(frozen=True)
class Declining:
    """Who declines, and which set it leaves.

    Attributes
    ----------
    code : "" where nobody does: then only what is left over is spent.
    by_score : the set is the list by score (`Asked.beside`), under no condition but the budget;
        else the best set.
    since : what became of offers since the data asked about.
    """

    code: str
    by_score: bool = False
    since: Since = NOTHING_SINCE


def reserve(shown: Shown, asked: Asked, who: Declining) -> Work:
    """Give the work of finding who comes in.

    Raises
    ------
    UsageError
        Where there is no such offtake or the question cannot be asked.
    """
    evaluation, desk = shown.view.evaluation, shown.funding
    conditions = Conditions() if who.by_score else asked.conditions
    round_ = round_of(evaluation, asked.budget, conditions)
    round_.choices()
    if who.code and who.code not in evaluation.catchment.table("offtakes").index:
        raise UsageError("there is no such offtake here")

    def work(progress: Progress, _tell: Tell) -> Values:
        if who.by_score:
            before = _at_options(evaluation, round_, asked.beside)
        else:
            before = dict(desk.answer(asked, progress).certificate.picks)
        before |= _at_options(evaluation, round_, _came_in(round_, before, who.since))
        gone = _leaving(round_, before, who)
        stays = {p: o for p, o in before.items() if p not in gone}
        gains = gains_of(evaluation, progress)
        left = _without(round_, stays, gone, who.since.refused)
        found = find_best_set(left, gains, cuts=desk.cuts, stop=lambda: progress.stopped)
        desk.remember(found.cuts)
        return reserve_values(evaluation, Change(who.code, left, before, stays, found), gains)

    return work


def _at_options(evaluation: Evaluation, round_: Round, rows: Iterable[int]) -> dict[int, int]:
    """Give sites at the option each is funded with by score.

    Raises
    ------
    UsageError
        Where a row is not to be funded.
    """
    options = by_score_options(evaluation, list(round_.sites)).tolist()
    picks = {row: options[row] if 0 <= row < len(options) else NONE for row in rows}
    if NONE in picks.values():
        raise UsageError("the list by score names a row that cannot be funded")
    return picks


def _came_in(round_: Round, before: Picks, since: Since) -> list[int]:
    """Give the positions of those who were promised money since, and could be."""
    return [
        p
        for p, site in enumerate(round_.sites)
        if site.offtake_id in since.came_in
        and p not in before
        and state_of(site) is FundState.ELIGIBLE
    ]


def _leaving(round_: Round, before: Picks, who: Declining) -> set[int]:
    """Give the positions that leave: who declines or has by now, with all in their groups.

    Raises
    ------
    UsageError
        Where who declines is not in the set.
    """
    if who.code and who.code not in {round_.sites[p].offtake_id for p in before}:
        raise UsageError(f"{who.code} {NOT_INSIDE}")
    codes = {who.code, *who.since.refused}
    gone = (p for p in before if round_.sites[p].offtake_id in codes)
    return set(round_.with_groups(gone))


def _without(round_: Round, stays: Picks, gone: set[int], refused: Mapping[str, str]) -> Round:
    """Give the round in which those who stay are held to their screens, and those gone are out."""
    gone |= round_.with_groups(p for p, own in enumerate(round_.sites) if own.offtake_id in refused)

    def site(position: int, own: Site) -> Site:
        if position in gone:
            why = refused.get(own.offtake_id, DECLINES)
            return replace(own, committed=False, eligible=False, barred=why)
        if position in stays:
            option = stays[position]
            return replace(own, cost={option: own.cost[option]})
        return own

    sites = [site(position, own) for position, own in enumerate(round_.sites)]
    groups = [g for name, g in zip(round_.groups, round_.conditions.together, strict=True)
              if gone.isdisjoint(round_.groups[name])]  # fmt: skip
    conditions = replace(
        round_.conditions,
        kept_in={sites[p].offtake_id: STAYS for p in stays},
        together=tuple(groups),
    )
    return replace(round_, sites=sites, conditions=conditions)
