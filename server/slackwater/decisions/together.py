"""Which of one owner's pumps go in together, and what does coming once save?

Section 10 of the methods page. A group is in whole or not at all, and mobilisation is paid once: of
the members without a quote the first by id carries it, the others cost less by it. A member with a
quote costs what it does alone, since its mobilisation is in the quote.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from slackwater.decisions.by_score import Site
from slackwater.errors import UsageError

Groups = Sequence[Sequence[str]]


def priced_together(sites: Sequence[Site], groups: Groups) -> list[Site]:
    """Give the sites at what each costs the fund where groups come once; ids unknown change none.

    A group's cost is then the sum of its members' costs, and every rule may count site by site.
    """
    by_id = {site.offtake_id: at for at, site in enumerate(sites)}
    priced = list(sites)
    for group in groups:
        members = [by_id[name] for name in sorted(set(group)) if name in by_id]
        paying = [at for at in members if any(sites[at].mobilisation.values())]
        for at in paying[1:]:
            own = sites[at]
            cost = {o: max(0.0, c - own.mobilisation.get(o, 0.0)) for o, c in own.cost.items()}
            priced[at] = replace(own, cost=cost)
    return priced


def name_of(group: Sequence[str]) -> str:
    """Give a group's name as a rule."""
    return f"together {', '.join(group)}"


def check_groups(
    sites: Sequence[Site], groups: Groups, kept_in: Mapping[str, str], left_out: Mapping[str, str]
) -> None:
    """Refuse groups that cannot be.

    Raises
    ------
    UsageError
        Where one has fewer than two offtakes, an offtake is named twice, cannot be funded, or is
        left out by hand while another must be in.
    """
    by_id = {site.offtake_id: site for site in sites}
    named: set[str] = set()
    for group in groups:
        words = ", ".join(group)
        if len(set(group)) < 2:
            raise UsageError(f"a group needs two offtakes or more to go together, not {words!r}")
        for name in group:
            if name not in by_id:
                raise UsageError(f"no offtake {name!r} to go together in {words}")
            if name in named:
                raise UsageError(f"{name} is in two groups, or twice in {words}: once is enough")
            named.add(name)
            site = by_id[name]
            if not site.committed and not site.eligible:
                raise UsageError(
                    f"{name} cannot go together in {words}: {site.left_out or site.barred}"
                )
        out = [name for name in group if name in left_out]
        in_ = [name for name in group if name in kept_in or by_id[name].committed]
        if out and in_:
            how = "accepted" if by_id[in_[0]].committed else "kept in by hand"
            raise UsageError(
                f"{out[0]} is left out by hand, but it goes together with {in_[0]}, which is {how}"
            )
