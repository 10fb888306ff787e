"""Check a certificate: its set, its costs, its numbers, its orders and its bound."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from slackwater.catchment.catchment import Catchment
from slackwater.verify.bound import most_any_set_gains
from slackwater.verify.claim import Claim, read_claim
from slackwater.verify.kept import screens_of
from slackwater.verify.orders import TODAY, Credits, Recomputed, recompute
from slackwater.verify.rules import Field, check_conditions, check_set, field_of
from slackwater.verify.screens import costs_to_fund
from slackwater.verify.seasons import check_seasons
from slackwater.verify.together import costs_together
from slackwater.verify.verdict import Findings, Verdict

WRITTEN_FOR_MODEL = "1"
"""The model's version whose methods page this room was written from."""

ROUNDING = 1e-12  # of the worth today: a gain is a difference of two worths
SOLVER_S = 300.0


def verify(
    catchment: Catchment, certificate: Mapping[str, Any], *, tolerance: float = 1e-6
) -> Verdict:
    """Recompute a certificate from the catchment.

    Parameters
    ----------
    tolerance : relative; numbers within it agree.

    Raises
    ------
    UsageError
        Where it is no certificate at all.
    """
    claim, findings = read_claim(certificate), Findings(tolerance)
    if claim.data_version != catchment.data_version:
        findings.say("data version", claim.data_version, catchment.data_version)
    if claim.model_version != WRITTEN_FOR_MODEL:
        findings.say("model version", claim.model_version, WRITTEN_FOR_MODEL)
    if findings.found:
        return Verdict(tuple(findings.found))
    costs = costs_together(catchment, claim.together, costs_to_fund(catchment))
    field = field_of(catchment, claim, costs)
    check_conditions(claim, field, findings)
    check_set(claim, field, findings)
    findings.compare_all("cost of choice", _by_name(claim.choices), _by_name(field.choices))
    _check_sets(claim, field, findings)
    found = recompute(catchment, claim, screens_of(catchment), costs, field.choices)
    findings.noise_adults = ROUNDING * float(found.asked.worth_adults[TODAY].sum())
    gained = check_seasons(catchment, claim, found, findings)
    findings.compare("benefit_adults", claim.benefit_adults, gained, findings.noise_adults)
    _check_orders(claim, found, findings)
    _check_bound(claim, field, found.orders, gained, findings)
    return Verdict(tuple(findings.found))


def _check_sets(claim: Claim, field: Field, findings: Findings) -> None:
    """Orders must pass through sets of choices that can be made."""
    for n, cut in enumerate(claim.cuts, 1):
        for choice in sorted({choice for picks in cut.order for choice in picks.items()}):
            if choice not in field.choices:
                findings.say(f"cut {n}, {'/'.join(choice)} in a set of its order", "there",
                             "cannot be chosen")  # fmt: skip


def _check_orders(claim: Claim, found: Recomputed, findings: Findings) -> None:
    """Compare constants and weights; an order's weights give a set it passes just what it gains."""
    noise = findings.noise_adults
    both = zip(claim.cuts, found.orders, found.gains_of_sets, strict=True)
    for n, (claimed, order, gained) in enumerate(both, 1):
        if gained is not None:
            picks = claimed.order[gained[0]] if claimed.order else {}
            own = [claimed.weights.get(choice, 0.0) for choice in picks.items()]
            findings.compare(
                f"cut {n}, order: by its weights its set {gained[0] + 1} gains",
                claimed.constant + sum(own),
                gained[1],
                noise,
            )
        findings.compare(f"cut {n}, constant", claimed.constant, order.constant, noise)
        findings.compare_all(
            f"cut {n}, weight of", _by_name(claimed.weights), _by_name(order.weights), noise
        )


def _check_bound(
    claim: Claim, field: Field, orders: Sequence[Credits], gained: float, findings: Findings
) -> None:
    """Solve for the bound anew; a claimed one below it is not proved."""
    bound = claim.upper_bound_adults
    if field.choices and not orders:
        findings.say("cuts", 0, "at least 1, for a bound")
        return
    solved: tuple[float, float] | None = (0.0, 0.0)
    if field.choices:
        solved = most_any_set_gains(
            claim, field, orders, gap=findings.tolerance / 10, seconds=SOLVER_S
        )
    if solved is None:
        findings.say("upper_bound_adults", bound, "no set keeps the rules")
        return
    reached, certain = solved
    slack = findings.tolerance * abs(certain) + findings.noise_adults
    if bound < certain - slack:
        timely = certain - reached <= slack
        shown = certain if timely else f"at most {certain} within the time, at least {reached}"
        findings.say("upper_bound_adults", bound, shown)
    gap = max(0.0, (bound - gained) / bound) if bound > 0 else 0.0
    findings.compare("gap", claim.gap, gap, findings.tolerance)


def _by_name(values: Mapping[tuple[str, str], float]) -> dict[str, float]:
    return {"/".join(choice): value for choice, value in values.items()}
