"""Browser and service count alike: order and funded set of the same cases agree."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slackwater.decisions.by_score import Site, fund_by_score
from slackwater.decisions.score import rank_offtakes
from slackwater.errors import NoSetPossible
from tests.web.test_page_source import WEB, run_node

CASES = 200
NAMES = ("risk", "overlap", "cost", "extra")
OPTIONS = ("a", "b", "c")


class Case:
    """One catchment's criteria, costs, weights and budget, random from a seed, with many ties."""

    def __init__(self, seed: int, count: int | None = None) -> None:
        rng = np.random.default_rng(seed)
        self.count = count or int(rng.integers(1, 120))
        self.names = NAMES[: int(rng.integers(1, 5))]
        levels = int(rng.choice([2, 4, 1000, 10**7]))  # few levels: ties in score
        self.values = rng.integers(0, levels, (len(self.names), self.count)) / max(1, levels - 1)
        self.weights = [float(w) for w in np.round(rng.random(len(self.names)) + 0.01, 3)]
        self.loss = np.round(rng.random(self.count), int(rng.integers(0, 4)))
        self.ids = [f"X-{i:05d}" for i in rng.permutation(self.count)]
        self.sites = [self._site(rng, offtake_id) for offtake_id in self.ids]
        total = sum(min(site.cost.values()) for site in self.sites if site.cost)
        self.budget = float(rng.choice([0.02, 0.1, 0.3, 0.8, 1.5]) * total + 1.0)

    @staticmethod
    def _site(rng: np.random.Generator, offtake_id: str) -> Site:
        state = rng.choice(["eligible", "committed", "out"], p=[0.8, 0.06, 0.14])
        feasible = np.flatnonzero(rng.random(len(OPTIONS)) < 0.8)
        step = float(rng.choice([1.0, 0.1, 1e-3]))
        cost = {int(o): float(np.round(rng.random() * 1000 / step) * step) + 1 for o in feasible}
        best = int(rng.choice(feasible)) if feasible.size and rng.random() < 0.95 else -1
        quote = int(rng.choice(feasible)) if feasible.size and rng.random() < 0.3 else -1
        return Site(
            offtake_id=offtake_id,
            committed=bool(state == "committed" and cost),
            eligible=bool(state == "eligible" and cost),
            quote_option=quote,
            best_option=best,
            cost=cost,
        )

    def of_the_service(self) -> dict[str, Any]:
        """What the service's own functions make of it."""
        ranking = rank_offtakes(
            list(zip(self.names, self.weights, self.values, strict=True)), self.loss, self.ids
        )
        whole = ranking.weights_thousandths @ ranking.values_millionths
        told = {"ranking": ranking, "order": ranking.order.tolist(), "score": whole.tolist()}
        try:
            chosen = fund_by_score(self.sites, ranking.order, OPTIONS, self.budget)
        except NoSetPossible as none:
            return {**told, "inside": [], "spent": 0, "short_by": none.clash[0]["short_by"]}
        inside = sorted(position for position, _ in chosen.picks)
        return {**told, "inside": inside, "spent": chosen.spent, "short_by": 0}

    def on_the_wire(self, told: dict[str, Any]) -> dict[str, Any]:
        """The same case as the answers carry it."""
        ranking = told["ranking"]
        return {
            "names": self.names,
            "values": ranking.values_millionths.tolist(),
            "weights": ranking.weights_thousandths.tolist(),
            "tie_rows": ranking.tie_order.tolist(),
            "state": [_state(site) for site in self.sites],
            "cost": [_cost(site) for site in self.sites],
            "least": [_least(site) for site in self.sites],
            "budget": self.budget,
        }


def _state(site: Site) -> int:
    if site.committed:
        return 2
    return int(site.eligible and site.best_option >= 0)


def _cost(site: Site) -> float | None:
    if site.committed and site.quote_option >= 0:
        return site.cost[site.quote_option]
    if site.best_option >= 0:
        return site.cost[site.best_option]
    return _least(site)


def _least(site: Site) -> float | None:
    if not site.committed:
        return None
    return site.cost[site.quote_option] if site.quote_option >= 0 else min(site.cost.values())


@pytest.fixture(scope="module")
def replay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page's own arithmetic, bundled to be run by Node."""
    made = tmp_path_factory.mktemp("replay") / "replay.mjs"
    bundle = ["--bundle", "--platform=node", "--format=esm", f"--outfile={made}"]
    subprocess.run(
        [WEB / "node_modules/esbuild/bin/esbuild", WEB / "test/replay.ts", *bundle],
        check=True, capture_output=True,
    )  # fmt: skip
    return made


def in_the_browser(replay: Path, cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    answers: list[dict[str, Any]] = json.loads(run_node(str(replay), told=json.dumps(cases)))
    return answers


def test_order_and_set_are_the_services_in_200_cases(replay: Path) -> None:
    """W2: same scores, same order with ties, same funded set, same sum, to the last place."""
    cases = [Case(seed) for seed in range(CASES)]
    wanted = [case.of_the_service() for case in cases]
    got = in_the_browser(
        replay, [case.on_the_wire(told) for case, told in zip(cases, wanted, strict=True)]
    )
    ties = short = 0
    for told, made in zip(wanted, got, strict=True):
        ties += len(set(told["score"])) < len(told["score"])
        short += bool(told["short_by"])
        assert {name: made[name] for name in ("order", "score", "inside", "spent", "short_by")} == {
            name: told[name] for name in ("order", "score", "inside", "spent", "short_by")
        }
    assert ties > CASES / 3  # the cases are worth their name
    assert short > 0


def test_a_tick_of_10_000_offtakes_is_short(replay: Path) -> None:
    """The whole outcome of a moved weight is worked out within a frame, with room to spare."""
    case = Case(1, count=10_000)
    told = case.of_the_service()
    made = in_the_browser(replay, [case.on_the_wire(told)])[0]
    assert made["order"] == told["order"]
    assert made["inside"] == told["inside"]
    assert made["tick_ms"] < 8
