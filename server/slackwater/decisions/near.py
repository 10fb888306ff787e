"""Which sets are at hand near the budget line? By rounding, by exchanging, and in order of doubt.

What a relaxation leaves open are a few sites: here a set is made of it, made better by exact single
changes, and put in an order of installs that begins with what is beyond doubt.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from slackwater.decisions.by_score import EQUAL
from slackwater.decisions.gains import Gains
from slackwater.decisions.master import Master, Relaxed
from slackwater.decisions.solver import never

Numbers = NDArray[np.float64]
SURE = 1 - 1e-6
FILLED_FROM = 300
BATCHES = 3
EXCHANGES, ASKED = 40, 2


def rounded(master: Master, relaxed: Relaxed) -> dict[int, int] | None:
    """Take what the relaxation takes whole, then what regrets least while the rules allow.

    With one of a group the first in doubt of each other. None where that keeps not all rules.
    """
    shares, group_of = master.rows.shares.tocsc(), master.round.group_of
    doubt = np.lexsort((relaxed.regret, -relaxed.share))
    certain = relaxed.share[doubt] > SURE
    order = np.concatenate((doubt[certain], _forced_first(master, doubt[~certain])[:FILLED_FROM]))
    first = {int(master.site[i]): int(i) for i in order[::-1]}
    sums, picks = np.zeros(shares.shape[0]), dict[int, int]()
    for i in order:
        site = int(master.site[i])
        others = [p for p in group_of.get(site, ()) if p != site]
        if site in picks or not all(p in first for p in others):
            continue
        taken = [int(i), *(first[p] for p in others)]
        then = sums + shares[:, taken].toarray().sum(axis=1)
        if (then <= master.rows.most + EQUAL).all():
            sums = then
            picks |= {int(master.site[k]): int(master.option[k]) for k in taken}
    return picks if master.allows(picks) else None


def _forced_first(master: Master, order: NDArray[np.int64]) -> NDArray[np.int64]:
    forced = master.forced[master.place[order]]
    return np.concatenate((order[forced], order[~forced]))


def improved(
    gains: Gains,
    master: Master,
    picks: Mapping[int, int],
    benefit: float,
    stop: Callable[[], bool] = never,
) -> tuple[dict[int, int], float]:
    """Change one site, or two at once, while that gains more and the rules allow it.

    One site's change is exact; of two the best few by their sum are asked of the river.
    """
    now, gained = dict(picks), benefit
    for _ in range(EXCHANGES):
        trials = [t for t in _exchanges(gains, master, now) if master.allows(t)][:ASKED]
        if not trials or stop():
            break
        benefits = gains.benefit(trials)
        best = int(benefits.argmax())
        if benefits[best] <= gained * (1 + EQUAL):
            break
        now, gained = trials[best], float(benefits[best])
    return now, gained


def _exchanges(gains: Gains, master: Master, picks: Mapping[int, int]) -> list[dict[int, int]]:
    """Sets that promise more by the sum of one or two single changes, the best first.

    One of a group may change its option here; the group enters or leaves by the master alone.
    """
    change, dropped = gains.single(picks)
    paid = np.zeros(len(dropped))
    held = master.taken(picks)
    paid[master.site[held]] = master.cost[held]
    alone = ~np.isin(master.site, list(master.round.group_of))
    inside = np.flatnonzero(held & alone)
    open_ = np.flatnonzero(~held & (alone | np.isin(master.site, list(picks))))
    value = np.concatenate((
        change[master.site[open_], master.option[open_]], dropped[master.site[inside]], [0.0]
    ))  # fmt: skip
    money = np.concatenate((
        master.cost[open_] - paid[master.site[open_]], -master.cost[inside], [0.0]
    ))  # fmt: skip
    site = np.concatenate((master.site[open_], master.site[inside], [-1]))
    option = np.concatenate((master.option[open_], np.full(len(inside), -1), [-1]))
    left = master.round.budget * (1 + EQUAL) - float(paid.sum())
    order = np.argsort(money, kind="stable")
    value, money, site, option = value[order], money[order], site[order], option[order]
    # beside each change the best other that what is left pays for
    best = np.maximum.accumulate(value)
    first = np.flatnonzero(np.append(True, value[1:] > best[:-1]))
    last = np.searchsorted(money, left - money, side="right") - 1
    beside = first[np.maximum(np.searchsorted(first, last, side="right") - 1, 0)]
    both = np.where((last >= 0) & (site != site[beside]), value + value[beside], -np.inf)
    trials = []
    for i in np.argsort(-both, kind="stable")[: 8 * ASKED]:
        if both[i] > 0:
            trial = dict(picks)
            for k in (i, beside[i]):
                trial.pop(int(site[k]), None)
                if option[k] >= 0:
                    trial[int(site[k])] = int(option[k])
            trials.append(trial)
    return trials


def in_order_of_doubt(
    master: Master, relaxed: Relaxed, in_hand: float, picks: Mapping[int, int]
) -> list[dict[int, int]]:
    """Nested sets, one of them ``picks``: what is beyond doubt first, what is out of sight last.

    The bound along them is exact for ``picks`` and near for sets that differ where there is doubt.
    """
    behind = relaxed.bound - in_hand if np.isfinite(in_hand) else abs(relaxed.bound)
    slack = max(behind, EQUAL * abs(relaxed.bound)) or 1.0
    pull = relaxed.share - np.minimum(relaxed.regret / slack, 1.0)
    pull += np.minimum(_regret_of_others(master, relaxed) / slack, 1.0)
    held = master.taken(picks)
    inside, outside = np.flatnonzero(held), np.flatnonzero(~held & (pull > -1.0))
    inside = inside[np.argsort(-pull[inside], kind="stable")]
    outside = outside[np.argsort(-pull[outside], kind="stable")]
    sure = int((pull[inside] >= 2 * SURE).sum())
    sets: list[dict[int, int]] = []
    now: dict[int, int] = {}
    worth: dict[int, float] = {}
    batches = [inside[:sure], *np.array_split(inside[sure:], BATCHES)]
    for batch in (*batches, *np.array_split(outside, BATCHES)):
        for i in batch:
            site = int(master.site[i])
            if relaxed.value[i] > worth.get(site, -np.inf):
                now[site], worth[site] = int(master.option[i]), float(relaxed.value[i])
        if now and (not sets or now != sets[-1]):
            sets.append(dict(now))
    return sets or [dict(picks)]


def _regret_of_others(master: Master, relaxed: Relaxed) -> Numbers:
    """(choices,) the least regret of any other alternative at the site of each."""
    least, second = relaxed.regret_none.copy(), np.full(len(master.sites), np.inf)
    for place, regret in zip(master.place, relaxed.regret, strict=True):
        second[place] = min(second[place], max(regret, least[place]))
        least[place] = min(least[place], regret)
    own = relaxed.regret <= least[master.place]
    return np.where(own, second[master.place], least[master.place])
