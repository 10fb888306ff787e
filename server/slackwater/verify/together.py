"""Which offtakes go in together, and what does coming to them once save the fund?

Section 10 of the methods page, *Groups of one owner's pumps*.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from slackwater.catchment.catchment import Catchment
from slackwater.verify.screens import mobilisation_to_fund
from slackwater.verify.verdict import Findings

Groups = Sequence[Sequence[str]]


def costs_together(
    catchment: Catchment, groups: Groups, costs: Sequence[Mapping[str, float]]
) -> list[dict[str, float]]:
    """Take mobilisation from the cost of every member without a quote but the first by id.

    Parameters
    ----------
    costs : for each offtake the options that can go on it, with what each costs by itself.
    """
    offtakes = catchment.table("offtakes")
    saved = mobilisation_to_fund(catchment)
    found = [dict(options) for options in costs]
    for group in groups:
        paid = False
        for offtake_id in sorted(set(group) & offtakes.index.keys()):
            row = offtakes.index[offtake_id]
            quote = float(offtakes.number("quote")[row])
            if not math.isnan(quote) and str(offtakes.text("quote_option")[row]) in costs[row]:
                continue
            if paid:
                found[row] = {o: max(cost - saved, 0.0) for o, cost in costs[row].items()}
            paid = True
    return found


def all_of(groups: Groups, some: Iterable[str]) -> dict[str, str]:
    """Offtake id -> id of the one that takes it along: some, and all in a group of theirs."""
    found = {name: name for name in some}
    for group in groups:
        along = next((name for name in group if name in found), None)
        if along is not None:
            found |= {name: along for name in group if name not in found}
    return found


def uneven(
    groups: Groups, choices: Iterable[tuple[str, str]]
) -> Iterator[tuple[str, dict[tuple[str, str], float]]]:
    """Give what must be 0 in a set with all or none of a group: its first less each other."""
    listed = list(choices)
    for group in groups:
        for other in group[1:]:
            sign = {group[0]: 1.0, other: -1.0}
            yield rule_of(group), {c: sign[c[0]] for c in listed if c[0] in sign}


def rule_of(group: Sequence[str]) -> str:
    """Give a group's name as a rule."""
    return f"together {', '.join(group)}"


def check_groups(groups: Groups, barred: Mapping[str, str], known: Iterable[str],
                 findings: Findings) -> None:  # fmt: skip
    """Hold the groups to what a group may be.

    Parameters
    ----------
    barred : offtake id -> why the data lets nobody fund it.
    """
    offtakes, before = set(known), set[str]()
    for group in groups:
        rule = rule_of(group)
        if len(set(group)) < 2:
            findings.say(rule, len(set(group)), "at least 2 offtakes")
        for name in group:
            if name not in offtakes:
                findings.say(f"{rule}, {name}", "there", "no such offtake")
            if name in before:
                findings.say(f"{rule}, {name}", "in this group", "named before")
            if name in barred:
                findings.say(f"{rule}, {name}", "may be funded", barred[name])
            before.add(name)
