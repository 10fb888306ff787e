"""The commands whose output others read: exit codes and JSON."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.reference.catchments import generate

ROOT = Path(__file__).parents[2]
OFFTAKE_KEYS = {
    "offtake_id", "rank", "score", "taken", "loss", "loss_adults", "loss_adults_dry",
    "loss_adults_median", "loss_adults_wet", "overlap", "volume_ml", "best_option", "gain",
    "gain_adults", "capital", "life_cycle_cost", "gain_per_1000",
}  # fmt: skip
FINDING_KEYS = {"table", "row", "key", "column", "value", "code", "remedy"}


def slackwater(*words: str | Path) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own, from the source tree."""
    return subprocess.run(
        [sys.executable, "-m", "slackwater.cli", *map(str, words)],
        capture_output=True, text=True, timeout=120, check=False,
        env={"PYTHONPATH": str(ROOT / "server"), "PATH": ""},
    )  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("catchment")
    generate(made, 4)
    return made


def test_score_writes_the_contract_s_json(folder: Path, tmp_path: Path) -> None:
    """Score ends with 0 and its file has every key of the contract, offtakes in order of rank."""
    file = tmp_path / "score.json"
    done = slackwater("score", folder, "--json", file)
    assert done.returncode == 0, done.stderr
    values = json.loads(file.read_text())
    assert set(values) == {"catchment", "data_version", "years", "offtakes", "balance"}
    assert [o["rank"] for o in values["offtakes"]] == list(range(1, len(values["offtakes"]) + 1))
    assert all(set(o) == OFFTAKE_KEYS for o in values["offtakes"])


def test_score_without_json_is_a_table(folder: Path) -> None:
    """Without a file the ranked list is printed for a person, with units and the caution."""
    done = slackwater("score", folder)
    assert done.returncode == 0
    assert "rank" in done.stdout
    assert "ML/year" in done.stdout
    assert "does not design" in done.stdout


def test_faults_end_with_2_and_are_named(folder: Path, tmp_path: Path) -> None:
    """A bad cell ends with 2, is named in the file, and score leaves nothing behind."""
    bad = tmp_path / "bad"
    bad.mkdir()
    for file in folder.iterdir():
        (bad / file.name).write_bytes(file.read_bytes())
    guilds = bad / "guilds.csv"
    lines = guilds.read_text().splitlines()
    column = lines[0].split(",").index("drift_days")
    first = lines[1].split(",")
    first[column] = "-3"
    guilds.write_text("\n".join([lines[0], ",".join(first), *lines[2:]]) + "\n")
    report = tmp_path / "check.json"
    done = slackwater("check", bad, "--json", report)
    assert done.returncode == 2
    (fault,) = json.loads(report.read_text())["faults"]
    assert set(fault) == FINDING_KEYS
    assert (fault["table"], fault["row"], fault["column"]) == ("guilds", 2, "drift_days")
    scored = slackwater("score", bad, "--json", tmp_path / "never.json")
    assert scored.returncode == 2
    assert "drift_days" in scored.stderr
    assert not (tmp_path / "never.json").exists()


def test_check_of_good_data_ends_with_0(folder: Path) -> None:
    """Warnings alone end with 0."""
    assert slackwater("check", folder).returncode == 0


@pytest.mark.parametrize(
    "words",
    [("score", "no-such-folder"), ("score",), ("check", "x", "--unknown"), ("guide", "no-page"),
     ("template", "list.csv")],
)  # fmt: skip
def test_bad_usage_ends_with_2(words: tuple[str, ...]) -> None:
    """A call that makes no sense ends with 2 and a message without a stack trace."""
    done = slackwater(*words)
    assert done.returncode == 2
    assert done.stderr
    assert "Traceback" not in done.stderr


def test_an_interrupt_ends_with_4(folder: Path) -> None:
    """A command told to stop ends within 2 s with 4, says so, and prints no result."""
    words = [sys.executable, "-m", "slackwater.cli", "score", str(folder)]
    environment = {"PYTHONPATH": str(ROOT / "server"), "PATH": ""}
    process = subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    )
    # the imports take about a second; only then is anybody there to be told
    while process.poll() is None and not _listens(process.pid):
        time.sleep(0.01)
    process.send_signal(signal.SIGINT)
    told = time.monotonic()
    printed, said = process.communicate(timeout=30)
    if process.returncode == 0:
        pytest.skip("it was done before it could be told")
    assert time.monotonic() - told < 2.0
    assert process.returncode == 4
    assert "stopped" in said
    assert not printed


def _listens(pid: int) -> bool:
    """Whether the process has a handler of its own for SIGTERM, which Python alone has not."""
    status = Path(f"/proc/{pid}/status").read_text()
    caught = int(next(line for line in status.splitlines() if line.startswith("SigCgt"))[7:], 16)
    return bool(caught >> (signal.SIGTERM - 1) & 1)


def test_fund_keeps_to_districts_and_most_installs_and_plans_rounds(
    folder: Path, tmp_path: Path
) -> None:
    """One offtake at most; with rounds each stays in its budget and the set only grows."""
    file = tmp_path / "fund.json"
    done = slackwater("fund", folder, "--budget", "1e7", "--most-installs", "1", "--json", file)
    assert done.returncode == 0, done.stderr
    assert len(json.loads(file.read_text())["chosen"]) == 1
    done = slackwater(
        "fund", folder, "--budget", "200000", "--rounds", "50000,90000", "--json", file
    )
    assert done.returncode == 0, done.stderr
    rounds = json.loads(file.read_text())["rounds"]
    assert rounds["budgets"] == [200000, 50000, 90000]
    for budget, cost, added in zip(
        rounds["budgets"], rounds["costs"], rounds["added"], strict=True
    ):
        assert cost <= budget * (1 + 1e-9)
        assert cost == pytest.approx(sum(each["cost"] for each in added))
    codes = [each["offtake_id"] for added in rounds["added"] for each in added]
    assert codes
    assert len(codes) == len(set(codes))
    assert rounds["benefits_adults"] == sorted(rounds["benefits_adults"])
    assert 0 < rounds["discounted_adults"] <= rounds["upper_bound_adults"] * (1 + 1e-9)


@pytest.mark.long
def test_fund_takes_a_group_in_whole_and_says_what_that_saves(tmp_path: Path) -> None:
    """Two unquoted pumps cost less together; with one left out neither is funded."""
    folder, file = tmp_path / "catchment", tmp_path / "fund.json"
    generate(folder, 101)
    words = ("fund", folder, "--budget", "2e6", "--together", "T-alder, T-oak")
    assert slackwater(*words, "--json", file).returncode == 0
    chosen = {row["offtake_id"] for row in json.loads(file.read_text())["chosen"]}
    assert {"T-alder", "T-oak"} <= chosen
    said = slackwater(*words).stdout
    assert "Together: T-alder, T-oak, in, mobilisation once saves 2,306 " in said
    assert "T-alder, T-oak, out." in slackwater(*words, "--leave-out", "T-oak=later").stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--together", "A"), "two offtakes or more"),
        (("--district-most", "Atlantis=0.5"), "Atlantis"),
        (("--district-least", "half"), "DISTRICT=SHARE"),
        (("--rounds", "many"), "many"),
        (("--keep-in", "A"), "written reason"),
    ],
)
def test_fund_refuses_what_it_cannot_read(folder: Path, words: tuple[str, ...], said: str) -> None:
    """A condition that makes no sense ends with 2 and says which and how it is written."""
    done = slackwater("fund", folder, "--budget", "1000", *words)
    assert done.returncode == 2
    assert said in done.stderr
