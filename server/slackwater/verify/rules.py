"""Which choices may a set be made of, and does a set keep the rules of its round?

Section 10 of the methods page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.verify.claim import ByChoice, Claim
from slackwater.verify.together import all_of, check_groups, uneven
from slackwater.verify.verdict import Findings

Numbers = NDArray[np.float64]
EQUAL = 1e-9


@dataclass(frozen=True)
class Field:
    """Whom the round can fund, by the data and the hand choices.

    Attributes
    ----------
    choices : every selectable (offtake id, option id) with its cost to the fund.
    forced : offtakes that must be in the set: committed, kept in by hand, or together with one.
    barred : offtake id -> why the data lets nobody choose it.
    left_out : offtake id -> left out by hand, or together with one that is.
    district : offtake id -> district, its own where the data names none.
    """

    choices: ByChoice
    forced: frozenset[str]
    barred: Mapping[str, str]
    left_out: Mapping[str, str]
    district: Mapping[str, str]


def field_of(catchment: Catchment, claim: Claim, costs: list[dict[str, float]]) -> Field:
    """Work out who may be chosen, with which options, and who must be."""
    offtakes = catchment.table("offtakes")
    choices: ByChoice = {}
    barred: dict[str, str] = {}
    left_out = {
        name: "left out by hand" if name == by else f"together with {by}, which is left out by hand"
        for name, by in all_of(claim.together, claim.left_out).items()
    }
    committed = set()
    for row, offtake_id in enumerate(offtakes.keys):
        status = str(offtakes.text("status")[row])
        options = dict(costs[row])
        quoted = str(offtakes.text("quote_option")[row])
        if status == "accepted" and quoted:
            options = {o: cost for o, cost in options.items() if o == quoted}
        if offtakes.text("willing")[row] == "no":
            barred[offtake_id] = "not willing"
        elif status in ("built", "declined"):
            barred[offtake_id] = status
        elif not options:
            barred[offtake_id] = "no option can go on it"
        elif status == "accepted":
            committed.add(offtake_id)
        if offtake_id not in barred and (offtake_id in committed or offtake_id not in left_out):
            choices |= {(offtake_id, o): cost for o, cost in options.items()}
    names = zip(offtakes.keys, offtakes.text("district"), strict=True)
    return Field(
        choices=choices,
        forced=frozenset(all_of(claim.together, committed | set(claim.kept_in))),
        barred=barred,
        left_out=left_out,
        district={i: str(name) or f"{i} alone" for i, name in names},
    )


def check_conditions(claim: Claim, field: Field, findings: Findings) -> None:
    """Hold the hand choices and groups to what the rules allow."""
    for i, reason in [*claim.kept_in.items(), *claim.left_out.items()]:
        if i not in field.district:
            findings.say("hand choice", i, "no such offtake")
        if not reason.strip():
            findings.say(f"reason of the hand choice {i}", "nothing", "a written reason")
    for i in sorted(field.forced & claim.left_out.keys()):
        findings.say(f"{i} left out by hand", "left out", "committed or kept in")
    for i in sorted(field.barred.keys() & claim.kept_in.keys()):
        findings.say(f"{i} kept in by hand", "kept in", field.barred[i])
    check_groups(claim.together, field.barred, field.district, findings)


def check_set(claim: Claim, field: Field, findings: Findings) -> None:
    """Hold the chosen set to eligibility, cost, budget and conditions."""
    for choice, cost in claim.chosen_costs.items():
        if choice not in field.choices:
            why = {**field.left_out, **field.barred}.get(choice[0], "this option cannot go there")
            findings.say(f"chosen {'/'.join(choice)}", "may be chosen", why)
        else:
            findings.compare(f"cost of chosen {'/'.join(choice)}", cost, field.choices[choice])
    if len(claim.chosen) < len(claim.chosen_costs):
        findings.say("chosen", len(claim.chosen_costs), f"{len(claim.chosen)} offtakes: one each")
    for i in sorted(field.forced - claim.chosen.keys()):
        findings.say(f"{i} in the set", "no", "committed, kept in by hand or with one that is")
    spent = sum(field.choices.get(choice, 0.0) for choice in claim.chosen.items())
    findings.compare("spent", claim.spent, spent)
    chosen = {choice for choice in claim.chosen.items() if choice in field.choices}
    for name, share, least, most in rows(claim, field):
        total = sum(share.get(choice, 0.0) for choice in chosen)
        slack = EQUAL * max(1.0, abs(total))
        if not least - slack <= total <= most + slack:
            findings.say(f"{name} of the set", f"{least:.12g} to {most:.12g}", total)


def rows(claim: Claim, field: Field) -> Iterator[tuple[str, ByChoice, float, float]]:
    """Give the rules that bind sites together: name, number of each choice, least and most."""
    yield "budget", field.choices, 0.0, claim.budget * (1 + EQUAL)
    ends = [(i, share * claim.budget, np.inf) for i, share in claim.district_least.items()]
    ends += [(i, 0.0, share * claim.budget) for i, share in claim.district_most.items()]
    for name, least, most in ends:
        own = {c: cost for c, cost in field.choices.items() if field.district[c[0]] == name}
        yield f"district {name}", own, least, most
    if claim.most_installs is not None:
        yield "most installs", dict.fromkeys(field.choices, 1.0), 0.0, claim.most_installs
    for name, difference in uneven(claim.together, field.choices):
        yield name, difference, 0.0, 0.0
