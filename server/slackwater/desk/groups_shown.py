"""Which pumps go in together, are they in, and what does coming to them once save?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.decisions.rules import Round
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.funding import sites_of


@dataclass(frozen=True)
class GroupShown:
    """One group of a round.

    Attributes
    ----------
    rows : of its offtakes.
    inside : whether the set has them.
    saved : money of the fund that paying mobilisation once saves; 0 where they are not in.
    """

    rows: tuple[int, ...]
    inside: bool
    saved: float


def groups_shown(
    evaluation: Evaluation, round_: Round, picks: Mapping[int, int]
) -> list[GroupShown]:
    """Give every group of a round beside a set of it.

    Parameters
    ----------
    picks : offtake row -> option, a set that keeps the round's rules.
    """
    alone, shown = sites_of(evaluation), []
    for group in round_.groups.values():
        taken = [(row, picks[row]) for row in group if row in picks]
        saved = sum(alone[row].cost[o] - round_.sites[row].cost[o] for row, o in taken)
        shown.append(GroupShown(group, bool(taken), float(saved)))
    return shown
