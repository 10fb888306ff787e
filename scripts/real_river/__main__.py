"""Try the product on real rivers: `scripts/try_real`, or `python -m real_river FOLDER`."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.opening import check_catchment, open_catchment
from slackwater.desk.score_report import BALANCE, score_table
from slackwater.errors import Finding, InputFaults

from .methow import build_methow
from .packages import NotInstalledError, soque_links
from .soque import build_soque, self_loops

HEAD_LINES, ROWS_SHOWN = 4, 15


def try_methow(folder: Path) -> list[str]:
    """Build, check and score the clean network; give what went otherwise than expected."""
    build_methow(folder)
    print(f"A clean real network: {folder}")
    try:
        opened = open_catchment(folder)
    except InputFaults as refused:
        return [f"the clean network is refused: {refused}"]
    print(f"0 faults, {len(opened.warnings)} warnings")
    print_kinds(opened.warnings)
    print()
    evaluation = evaluate(opened.catchment)
    print("\n".join(score_table(evaluation).splitlines()[: HEAD_LINES + ROWS_SHOWN]))
    print("...\n" + summary(evaluation))
    return [] if len(opened.catchment.table("reaches")) == 720 else ["reaches were lost"]


def try_soque(folder: Path) -> list[str]:
    """Build and check the defective network; give what went otherwise than expected."""
    build_soque(folder)
    print(f"\nA real network with defects, joined by node numbers cut to whole ones: {folder}")
    faults, _ = check_catchment(folder)
    print("\n".join(f"fault: {fault}" for fault in faults))
    looped = sorted(fault.key for fault in faults if fault.code == "cycle")
    if looped != sorted(self_loops(soque_links())):
        return [f"cycles are found at {looped}, not at the links that drain into themselves"]
    print(f"Refused, as it should be: {len(faults)} faults, self-loops at {' and '.join(looped)}")
    return []


def print_kinds(findings: Sequence[Finding]) -> None:
    """Count findings by kind, with one of each."""
    first = {finding.code: finding for finding in reversed(findings)}
    for code, count in Counter(finding.code for finding in findings).most_common():
        print(f"{count:>6} {code:<28} such as {first[code].table} {first[code].key}")


def summary(evaluation: Evaluation) -> str:
    """Two lines: the network, and what became of the drifters."""
    catchment = evaluation.catchment
    outlet = catchment.table("reaches").text("reach_id")[catchment.network.is_outlet]
    produced, *parts = evaluation.balance.sum(axis=0)
    shares = {name: part / produced for name, part in zip(BALANCE[1:], parts, strict=True)}
    named = ", ".join(f"{name} {share:.1%}" for name, share in shares.items())
    return (
        f"{len(catchment.length_m)} reaches, {catchment.length_m.sum() / 1000:,.0f} km, outlet "
        f"{' '.join(outlet)}, {len(catchment.reach_index)} synthetic offtakes, "
        f"{len(catchment.records.years)} season-years of a borrowed record\n"
        f"Of all drifters: {named} (stranded is part of died)"
    )


def main() -> None:
    """Try both networks in the folder given."""
    folder = Path(sys.argv[1])
    try:
        unexpected = try_methow(folder / "methow") + try_soque(folder / "soque")
    except NotInstalledError as missing:
        unexpected = [str(missing)]
    for each in unexpected:
        print(f"not as expected: {each}", file=sys.stderr)
    raise SystemExit(1 if unexpected else 0)


if __name__ == "__main__":
    main()
