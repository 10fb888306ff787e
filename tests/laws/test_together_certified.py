"""Certificates of sets with groups: true ones hold, each lie about a group is named."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from pathlib import Path

import numpy as np
import pytest

from slackwater.decisions.rules import Conditions
from slackwater.desk.certificate import verdict_text
from slackwater.desk.funding import sites_of
from slackwater.errors import NoSetPossible
from slackwater.verify.verify import verify
from tests.laws.test_best_set import made
from tests.laws.test_together import (
    BUDGET,
    PAIR,
    Certificate,
    certified,
    random_groups,
    told,
)


def lie_split(c: Certificate) -> None:
    """One of the pair dropped, its cost taken off."""
    row = next(row for row in c["chosen"] if row["offtake_id"] == "T-B-2")
    c["chosen"].remove(row)
    c["spent"] -= row["cost"]


def lie_never_paid(c: Certificate) -> None:
    """Mobilisation taken off the first of the pair too."""
    rows = {row["offtake_id"]: row for row in c["chosen"]}
    coming = c["choices"]["T-alder"]["sZelkova"] - rows["T-B-2"]["cost"]  # alike but for that
    rows["T-007"]["cost"] -= coming
    c["choices"]["T-007"]["sZelkova"] -= coming
    c["spent"] -= coming


def lie_no_group(c: Certificate) -> None:
    c["conditions"]["together"] = []


def lie_barred_member(c: Certificate) -> None:
    c["conditions"]["together"] = [list(PAIR), ["T-alder", "T-Zelkova"]]


def lie_one_alone(c: Certificate) -> None:
    c["conditions"]["together"] = [list(PAIR), ["T-alder"]]


def lie_left_out(c: Certificate) -> None:
    c["conditions"]["left_out"] = {"T-B-2": "later"}


LIES: dict[str, tuple[Callable[[Certificate], None], str]] = {
    "a split group": (lie_split, "together T-007, T-B-2 of the set"),
    "mobilisation never paid": (lie_never_paid, "cost of chosen T-007/"),
    "a saving without a group": (lie_no_group, "cost of chosen T-B-2/"),
    "a barred member": (lie_barred_member, "together T-alder, T-Zelkova, T-Zelkova"),
    "a group of one": (lie_one_alone, "together T-alder"),
    "one left out": (lie_left_out, "chosen T-007/"),
}


@pytest.mark.parametrize("name", LIES)
def test_a_lie_about_a_group_is_rejected_by_its_name(tmp_path: Path, name: str) -> None:
    """A true certificate with a group holds; with one thing changed it does not, and is named."""
    evaluation = told(tmp_path)
    true = certified(evaluation, BUDGET, Conditions(together=(PAIR,)))
    verdict = verify(evaluation.catchment, true, tolerance=1e-9)
    assert verdict.holds, verdict_text(verdict)
    lie, named = LIES[name]
    false = deepcopy(true)
    lie(false)
    found = [each.what for each in verify(evaluation.catchment, false).disagreements]
    assert any(what.startswith(named) for what in found), found


def test_a_certificate_made_before_there_were_groups_holds(tmp_path: Path) -> None:
    """One whose conditions name no groups is one without any."""
    evaluation = told(tmp_path)
    before = certified(evaluation, BUDGET, Conditions())
    del before["conditions"]["together"]
    assert verify(evaluation.catchment, before).holds


def test_true_certificates_with_groups_hold(tmp_path: Path) -> None:
    """With random groups, at several budgets, every certificate holds within 1e-8."""
    held = 0
    for seed in range(60):
        _, evaluation, most = made(tmp_path, seed)
        groups = random_groups(sites_of(evaluation), np.random.default_rng(seed))
        for share in (0.3, 0.6):
            try:
                true = certified(evaluation, share * most, Conditions(together=groups))
            except NoSetPossible:
                continue
            verdict = verify(evaluation.catchment, true, tolerance=1e-8)
            assert verdict.holds, f"seed {seed}: {verdict_text(verdict)}"
            held += bool(groups)
    assert held > 40
