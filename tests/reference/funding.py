"""Two ways to spend a budget: the model page, section 10."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .benefit import Choice, benefit_adults, benefits_of_all_sets
from .scoring import Scored, score_catchment
from .screens import capital, feasible_options, is_tie

WITHIN = 1e-9  # of the budget, in money
Groups = Sequence[Sequence[str]]


class NoSetPossibleError(Exception):
    """The sites committed already cost more than the budget."""

    def __init__(self, clash: list[dict[str, Any]]) -> None:
        super().__init__(f"no set possible: {clash}")
        self.clash = clash


@dataclass(frozen=True)
class Sites:
    """Which options each site may have; committed sites must have one of theirs."""

    committed: dict[str, list[str]]
    eligible: dict[str, list[str]]
    left_out: list[str]  # accepted, yet not possible


def fund(folder: Path, budget: float, together: Groups = ()) -> dict[str, Any]:
    """The model page, section 10: the JSON of the fund command, without the data version.

    Groups hold for the best set alone.
    """
    scored = score_catchment(folder)
    sites = sites_of(scored)
    check_commitments(scored, sites, budget, together)
    best = best_set(scored, sites, budget, together)
    listed = set_by_score(scored, sites, budget)
    benefit = benefit_adults(scored, best)
    return {
        "budget": float(budget),
        "spent": cost_of_set(scored, best, together),
        "benefit_adults": benefit,
        "upper_bound_adults": benefit,
        "gap": 0.0,
        "chosen": chosen_rows(scored, best, together),
        "by_score": {
            "spent": cost_of_set(scored, listed),
            "benefit_adults": benefit_adults(scored, listed),
            "chosen": chosen_rows(scored, listed),
        },
    }


def sites_of(scored: Scored) -> Sites:
    """The model page, section 10: who is committed, who is eligible, and with which options."""
    committed: dict[str, list[str]] = {}
    eligible: dict[str, list[str]] = {}
    left_out: list[str] = []
    for i, offtake in scored.river.catchment.offtakes.items():
        feasible = [option.option_id for option in feasible_options(offtake, scored.river)]
        if offtake.status == "accepted":
            if offtake.quote_option:
                feasible = [o for o in feasible if o == offtake.quote_option]
            if feasible and offtake.willing != "no":
                committed[i] = feasible
            else:
                left_out.append(i)
        elif offtake.status not in ("built", "declined") and offtake.willing != "no" and feasible:
            eligible[i] = feasible
    return Sites(committed, eligible, left_out)


def cost_to_fund(scored: Scored, offtake_id: str, option_id: str) -> float:
    """The model page, section 10: cost = capital x (1 - landholder_share)."""
    catchment = scored.river.catchment
    share = catchment.settings.landholder_share
    return capital(catchment.offtakes[offtake_id], catchment.options[option_id], catchment) * (
        1 - share
    )


def mobilisation_saved(scored: Scored, group: Sequence[str]) -> dict[str, float]:
    """The methods page, section 10, *Groups*: what each member costs the fund less in its group.

    Mobilisation, once design and contingency are on it and the landholder's share is off; of those
    without a quote that can be taken the first by id pays it, a quote stays as it is.
    """
    catchment = scored.river.catchment
    prices, share = catchment.prices, 1 - catchment.settings.landholder_share
    saved = prices.get(("mobilisation", ""), 0.0) * share
    for extra in ("design", "contingency"):
        saved *= 1 + prices.get((extra, ""), 0.0)
    unquoted = []
    for i in sorted(group):
        offtake = catchment.offtakes[i]
        possible = [option.option_id for option in feasible_options(offtake, scored.river)]
        if offtake.quote is None or offtake.quote_option not in possible:
            unquoted.append(i)
    return dict.fromkeys(unquoted[1:], saved)


def cost_of_set(scored: Scored, chosen: Choice, together: Groups = ()) -> float:
    """The model page, section 10: what the set costs the fund; a group comes once."""
    total = sum(cost_to_fund(scored, i, chosen[i]) for i in sorted(chosen))
    for group in together:
        if set(group) <= set(chosen):
            total -= sum(mobilisation_saved(scored, group).values())
    return total


def splits_no_group(chosen: Choice, together: Groups) -> bool:
    """The methods page, section 10, *Groups*: of each all are in the set, or none."""
    return all(len(set(group) & set(chosen)) in (0, len(group)) for group in together)


def cheapest(scored: Scored, offtake_id: str, option_ids: list[str]) -> str:
    """The model page, section 10: the cheapest of a site's options, ties by id."""
    return min(option_ids, key=lambda o: (cost_to_fund(scored, offtake_id, o), o))


def check_commitments(scored: Scored, sites: Sites, budget: float, together: Groups) -> None:
    """The model page, section 10: committed cost above the budget: no set, said with the sum.

    Each at what it costs in its group; then the same with those that go together with one.
    """
    least = {i: cheapest(scored, i, options) for i, options in sites.committed.items()}
    saved = {i: s for group in together for i, s in mobilisation_saved(scored, group).items()}
    needed = cost_of_set(scored, least) - sum(saved.get(i, 0.0) for i in least)
    if needed > budget + WITHIN:
        raise NoSetPossibleError([{"rule": "committed", "short_by": needed - budget}])
    growing = [group for group in together if not splits_no_group(least, [group])]
    for group in growing:
        others = [i for i in group if i not in least]
        least |= {i: cheapest(scored, i, sites.eligible[i]) for i in others}
    needed = cost_of_set(scored, least, together)
    if needed > budget + WITHIN:
        names = [f"together {', '.join(group)}" for group in growing]
        raise NoSetPossibleError([{"rule": n, "short_by": needed - budget} for n in names])


def best_set(scored: Scored, sites: Sites, budget: float, together: Groups = ()) -> Choice:
    """The model page, section 10, *Best set*, by trying all sets.

    Ties (within 1e-9 relative): the cheaper set, then fewer screens, then ids.
    """
    choices: dict[str, list[str | None]] = {
        i: list(options) for i, options in sites.committed.items()
    }
    for i, options in sites.eligible.items():
        choices[i] = [None, *options]
    possible = []
    for benefit, chosen in benefits_of_all_sets(scored, choices):
        cost = cost_of_set(scored, chosen, together)
        if cost <= budget + WITHIN and splits_no_group(chosen, together):
            possible.append((benefit, cost, chosen))
    most = max(benefit for benefit, _, _ in possible)
    possible = [entry for entry in possible if is_tie(entry[0], most)]
    least = min(cost for _, cost, _ in possible)
    possible = [entry for entry in possible if is_tie(entry[1], least)]
    return min((chosen for _, _, chosen in possible), key=lambda c: (len(c), sorted(c.items())))


def set_by_score(scored: Scored, sites: Sites, budget: float) -> Choice:
    """The model page, section 10, *By score*: committed first, then down the list while the money
    lasts.
    """
    chosen: Choice = {}
    for i, options in sites.committed.items():
        best = scored.best[i]
        if best is not None and best.option_id in options:
            chosen[i] = best.option_id
        else:
            chosen[i] = cheapest(scored, i, options)
    if cost_of_set(scored, chosen) > budget + WITHIN:
        chosen = {i: cheapest(scored, i, options) for i, options in sites.committed.items()}
    for i in scored.order:
        best = scored.best[i]
        if i in sites.eligible and best is not None:
            with_this = {**chosen, i: best.option_id}
            if cost_of_set(scored, with_this) <= budget + WITHIN:
                chosen = with_this
    return chosen


def chosen_rows(scored: Scored, chosen: Choice, together: Groups = ()) -> list[dict[str, Any]]:
    """The data contract, `fund`: the set in order of id."""
    saved = {i: s for group in together for i, s in mobilisation_saved(scored, group).items()}
    return [
        {
            "offtake_id": i,
            "option_id": chosen[i],
            "cost": cost_to_fund(scored, i, chosen[i]) - saved.get(i, 0.0),
        }
        for i in sorted(chosen)
    ]
