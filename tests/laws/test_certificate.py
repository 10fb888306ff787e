"""Certificates hold when they are true, and each planted lie is rejected under its name."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slackwater import MODEL_VERSION
from slackwater.catchment.catchment import Catchment
from slackwater.decisions.rules import Conditions
from slackwater.desk.best_funding import fund, round_of
from slackwater.desk.certificate import certificate_values, verdict_text
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import open_catchment
from slackwater.errors import NoSetPossible, UsageError
from slackwater.river import seasons
from slackwater.river.season import day_shares
from slackwater.verify.verify import WRITTEN_FOR_MODEL, verify
from tests.contracts.test_cli import slackwater
from tests.laws.test_best_set import made, random_conditions

Certificate = dict[str, Any]
WORKED = Path(__file__).parents[3] / "shared" / "worked" / "catchment"
TOLD, BUDGET = 50, 80_000
"""A seed with three guilds, three season-years and sites that help each other, and a budget at
which one of them stays out and the bound takes two orders.
"""


def certified(evaluation: Evaluation, budget: float, *conditions: Conditions) -> Certificate:
    """A certificate as it comes out of its file."""
    answer = fund(evaluation, budget, *conditions)
    return json.loads(json.dumps(certificate_values(evaluation, answer)))


def honest(folder: Path) -> tuple[Catchment, Certificate]:
    """A catchment and a true certificate of it."""
    _, evaluation, _ = made(folder, TOLD)
    return evaluation.catchment, certified(evaluation, BUDGET)


def disagreements(catchment: Catchment, certificate: Certificate) -> list[str]:
    """What does not hold, by name."""
    return [found.what for found in verify(catchment, certificate).disagreements]


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_true_certificates_hold(tmp_path: Path, first: int) -> None:
    """With and without side conditions, at any budget, every certificate holds within 1e-8."""
    for seed in range(first, first + 20):
        _, evaluation, most = made(tmp_path, seed)
        rng = np.random.default_rng(seed)
        some = random_conditions(round_of(evaluation, 0.5 * most, Conditions()), rng)
        for share, conditions in ((0.3, Conditions()), (0.6, Conditions()), (0.5, some)):
            try:
                certificate = certified(evaluation, share * most, conditions)
            except NoSetPossible:
                continue
            verdict = verify(evaluation.catchment, certificate, tolerance=1e-8)
            assert verdict.holds, f"seed {seed}: {verdict_text(verdict)}"


@pytest.mark.skipif(not WORKED.exists(), reason="the worked catchment is not beside the project")
def test_the_worked_certificate_holds() -> None:
    """The set for 175,000 on the worked catchment is proved by other arithmetic."""
    evaluation = evaluate(open_catchment(WORKED).catchment)
    verdict = verify(evaluation.catchment, certified(evaluation, 175_000), tolerance=1e-9)
    assert verdict.holds, verdict_text(verdict)


def test_the_checker_is_written_for_this_model() -> None:
    """The checking room was written from the methods page of the model that is computed."""
    assert WRITTEN_FOR_MODEL == MODEL_VERSION


def swap(c: Certificate) -> tuple[str, str]:
    """A chosen site, and an option it could have in place of what it has."""
    taken = {row["offtake_id"]: row["option_id"] for row in c["chosen"]}
    return next((i, o) for i in taken for o in c["choices"][i] if taken[i] != o)


def lie_set(c: Certificate) -> None:
    """Another option at a chosen site, its cost and the sum put right."""
    i, o = swap(c)
    row = next(row for row in c["chosen"] if row["offtake_id"] == i)
    c["spent"] += c["choices"][i][o] - row["cost"]
    row["option_id"], row["cost"] = o, c["choices"][i][o]


def lie_barred(c: Certificate) -> None:
    c["chosen"][0]["option_id"] = "no such screen"


def lie_weight(c: Certificate) -> None:
    i, o = swap(c)
    c["cuts"][1]["weights"][i][o] *= 1.00001


def lie_order(c: Certificate) -> None:
    c["cuts"][0]["order"], c["cuts"][1]["order"] = c["cuts"][1]["order"], c["cuts"][0]["order"]


def lie_option(c: Certificate) -> None:
    i, o = swap(c)
    for table in (c["choices"], *(cut["weights"] for cut in c["cuts"])):
        del table[i][o]


def lie_cost(c: Certificate) -> None:
    row = c["chosen"][0]
    c["spent"] -= row["cost"] / 100
    row["cost"] *= 0.99
    c["choices"][row["offtake_id"]][row["option_id"]] = row["cost"]


def lie_budget_below(c: Certificate) -> None:
    c["budget"] = c["spent"] * 0.99


def lie_budget_above(c: Certificate) -> None:
    c["budget"] *= 10


def lie_bound(c: Certificate) -> None:
    c["upper_bound_adults"] *= 0.999


def lie_gap(c: Certificate) -> None:
    c["upper_bound_adults"] *= 2


def lie_benefit(c: Certificate) -> None:
    c["benefit_adults"] *= 1.00001


def lie_kept_in(c: Certificate) -> None:
    chosen = {row["offtake_id"] for row in c["chosen"]}
    left = next(i for i in c["choices"] if i not in chosen)
    c["conditions"]["kept_in"] = {left: "the weir pool"}


def lie_left_out(c: Certificate) -> None:
    c["conditions"]["left_out"] = {c["chosen"][0]["offtake_id"]: " "}


def lie_installs(c: Certificate) -> None:
    c["conditions"]["most_installs"] = len(c["chosen"]) - 1


LIES: dict[str, tuple[Callable[[Certificate], None], str]] = {
    "the set": (lie_set, "benefit_adults"),
    "a barred choice": (lie_barred, "chosen "),
    "one weight": (lie_weight, "cut 2, weight of "),
    "the order": (lie_order, "cut 1, order"),
    "a dropped option": (lie_option, "cost of choice "),
    "a cost": (lie_cost, "cost of chosen "),
    "a budget too small": (lie_budget_below, "budget of the set"),
    "a budget too large": (lie_budget_above, "upper_bound_adults"),
    "the bound": (lie_bound, "upper_bound_adults"),
    "the gap": (lie_gap, "gap"),
    "the benefit": (lie_benefit, "benefit_adults"),
    "one kept in": (lie_kept_in, "T-A9 in the set"),
    "no reason": (lie_left_out, "reason of the hand choice"),
    "most installs": (lie_installs, "most installs of the set"),
}


@pytest.mark.parametrize("name", LIES)
def test_a_lie_is_rejected_by_its_name(tmp_path: Path, name: str) -> None:
    """A true certificate in which one thing is changed does not hold, and the thing is named."""
    catchment, certificate = honest(tmp_path)
    lie, named = LIES[name]
    told = deepcopy(certificate)
    lie(told)
    assert told != certificate
    found = disagreements(catchment, told)
    assert any(what.startswith(named) for what in found), found


def without_last_year(catchment: Catchment) -> Catchment:
    """The catchment as if its last complete season-year had not been."""
    r = catchment.records
    kept = {name: getattr(r, name)[:-1] for name in ("years", "year_first", "year_days")}
    return replace(catchment, records=replace(r, **kept))


def with_heavier_guild(catchment: Catchment) -> Catchment:
    """The catchment with the first guild counted half as much again."""
    guilds = catchment.table("guilds")
    weight = guilds.number("weight").copy()
    weight[0] *= 1.5
    heavier = replace(guilds, columns={**guilds.columns, "weight": weight})
    return replace(catchment, tables={**catchment.tables, "guilds": heavier})


@pytest.mark.parametrize(
    ("alter", "named"),
    [
        (without_last_year, "season-years"),
        (with_heavier_guild, "adults a settler of "),
    ],
)
def test_numbers_of_another_catchment_are_rejected(
    tmp_path: Path, alter: Callable[[Catchment], Catchment], named: str
) -> None:
    """A season-year left out, or a guild's weight changed, is named; hidden, the numbers show."""
    catchment, true = honest(tmp_path)
    false = certified(evaluate(alter(catchment)), BUDGET)
    assert any(what.startswith(named) for what in disagreements(catchment, false))
    hidden = {**false, "seasons": true["seasons"]}
    found = disagreements(catchment, hidden)
    assert "benefit_adults" in found
    assert any(what.startswith("cut 1, weight of ") for what in found)


def test_a_dropped_cohort_is_rejected(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Numbers made without one day of spawning are named; hidden, the weights show."""
    catchment, true = honest(tmp_path)

    def without_a_day(suitable: Any, full_season_days: float) -> Any:
        shares = day_shares(suitable, full_season_days)
        shares[:, shares.sum(axis=0).argmax()] = 0.0
        return shares

    monkeypatch.setattr(seasons, "day_shares", without_a_day)
    false = certified(evaluate(catchment), BUDGET)
    found = disagreements(catchment, false)
    assert any(what.startswith("drifters produced of ") for what in found), found
    found = disagreements(catchment, {**false, "seasons": true["seasons"]})
    assert any(what.startswith("cut 1, weight of ") for what in found), found


def test_a_poorer_set_is_never_called_the_best(tmp_path: Path) -> None:
    """A set without one of its screens, true in all else, fails by the bound it claims."""
    catchment, true = honest(tmp_path)
    for dropped in range(len(true["chosen"])):
        poorer = deepcopy(true)
        row = poorer["chosen"].pop(dropped)
        poorer["spent"] -= row["cost"]
        gained = {
            found.what: found.recomputed for found in verify(catchment, poorer).disagreements
        }["benefit_adults"]
        poorer["benefit_adults"] = poorer["upper_bound_adults"] = gained
        assert "upper_bound_adults" in disagreements(catchment, poorer)


def test_other_data_and_other_models_are_named(tmp_path: Path) -> None:
    """A certificate of other data, or of another model, is compared no further."""
    catchment, true = honest(tmp_path)
    assert disagreements(catchment, {**true, "data_version": "0" * 12}) == ["data version"]
    assert disagreements(catchment, {**true, "model_version": "0"}) == ["model version"]


def test_what_is_no_certificate_is_refused(tmp_path: Path) -> None:
    """Something missing, or no number, is said and nothing is computed."""
    catchment, true = honest(tmp_path)
    for wrong in ({k: v for k, v in true.items() if k != "cuts"}, {**true, "spent": "much"}):
        with pytest.raises(UsageError, match="no certificate"):
            verify(catchment, wrong)


def test_the_commands_write_and_check_a_certificate(tmp_path: Path) -> None:
    """`fund --certificate` writes one that `verify` ends 0 on; changed, it ends 2 and says why."""
    folder, _, _ = made(tmp_path, TOLD)
    file = tmp_path / "certificate.json"
    done = slackwater("fund", folder, "--budget", str(BUDGET), "--certificate", file)
    assert done.returncode == 0, done.stderr
    done = slackwater("verify", file, folder)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "The certificate holds" in done.stdout
    told = json.loads(file.read_text(encoding="utf-8"))
    lie_bound(told)
    file.write_text(json.dumps(told), encoding="utf-8")
    done = slackwater("verify", file, folder)
    assert done.returncode == 2
    assert "upper_bound_adults: claimed" in done.stdout
    file.write_text("{", encoding="utf-8")
    assert slackwater("verify", file, folder).returncode == 2
