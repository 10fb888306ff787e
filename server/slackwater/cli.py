"""The command line: ``slackwater check | score | fund | verify | template | guide | serve``."""

from __future__ import annotations

import json
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Annotated, Any, TypeVar

import typer

from slackwater import MODEL_VERSION, __version__
from slackwater.desk.best_funding import FundingAnswer, conditions_of, fund, fund_values
from slackwater.desk.certificate import certificate_values, verdict_text, verify_certificate
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.fund_report import fund_text
from slackwater.desk.guide import guide_page
from slackwater.desk.jobs import Job
from slackwater.desk.opening import check_catchment, few_of_each, open_catchment
from slackwater.desk.round_plan import RoundPlan, budgets_of, plan, plan_text, plan_values
from slackwater.desk.score_report import score_table, score_values
from slackwater.desk.templates import write_template
from slackwater.errors import EXIT_CODE, Cancelled, NoSetPossible, SlackwaterError, UsageError
from slackwater.progress import Progress

T = TypeVar("T")
PATIENCE_S = 1.0  # a compiler or solver at work does not hear; the process then ends under it
app = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False)

CatchmentPath = Annotated[Path, typer.Argument(help="a folder, a GeoPackage or a workbook")]
JsonFile = Annotated[
    Path | None, typer.Option("--json", help="write the result here, - for stdout")
]


@app.callback()
def about() -> None:
    """Say which offtakes to screen first, so that pumps and channels stop taking fish.

    It ranks and budgets; it does not design. Work near intakes follows local safety law.
    """


@app.command()
def version() -> None:
    """Print the program's and the model's version."""
    typer.echo(f"slackwater {__version__}, model {MODEL_VERSION}")


@app.command()
def check(catchment: CatchmentPath, json_file: JsonFile = None) -> None:
    """Say everything that is wrong or odd in a catchment's data."""
    faults, warnings = check_catchment(catchment)
    if json_file:
        _write_json(
            json_file,
            {"faults": [f.as_dict() for f in faults], "warnings": [w.as_dict() for w in warnings]},
        )
    if str(json_file) != "-":
        for fault in faults:
            typer.echo(f"fault: {fault}")
        for line in few_of_each(warnings):
            typer.echo(f"warning: {line}")
        typer.echo(f"{len(faults)} fault(s), {len(warnings)} warning(s)")
    if faults:
        raise typer.Exit(2)


@app.command()
def score(catchment: CatchmentPath, json_file: JsonFile = None) -> None:
    """Work out what every offtake takes, what that costs, and the order they stand in."""
    opened = open_catchment(catchment)
    result = _with_progress(lambda progress: evaluate(opened.catchment, progress))
    if json_file:
        _write_json(json_file, score_values(result))
    else:
        typer.echo(score_table(result))
    if opened.warnings:
        typer.echo(f"{len(opened.warnings)} warning(s): see slackwater check", err=True)


@app.command("fund")
def fund_round(
    catchment: CatchmentPath,
    budget: Annotated[float, typer.Option(help="money the fund can spend")],
    json_file: JsonFile = None,
    keep_in: Annotated[
        list[str] | None, typer.Option(help="CODE=REASON, fund this offtake; may be repeated")
    ] = None,
    leave_out: Annotated[
        list[str] | None, typer.Option(help="CODE=REASON, do not fund this one; may be repeated")
    ] = None,
    district_least: Annotated[
        list[str] | None, typer.Option(help="DISTRICT=SHARE of the budget at least; repeatable")
    ] = None,
    district_most: Annotated[
        list[str] | None, typer.Option(help="DISTRICT=SHARE of the budget at most; repeatable")
    ] = None,
    most_installs: Annotated[
        int | None, typer.Option(min=0, help="fund no more offtakes than this")
    ] = None,
    rounds: Annotated[
        str | None, typer.Option(help="budgets of the years after, such as 400000,500000")
    ] = None,
    seconds: Annotated[float, typer.Option(help="longest the search may take")] = 60.0,
    certificate: Annotated[
        Path | None, typer.Option(help="write what proves the set here, for slackwater verify")
    ] = None,
) -> None:
    """Find the set that gains the river most for a budget, beside the list by score."""
    opened = open_catchment(catchment)
    conditions = conditions_of(
        keep_in or [], leave_out or [], district_least or [], district_most or [], most_installs
    )

    budgets = budgets_of(budget, rounds) if rounds else ()

    def work(progress: Progress) -> tuple[Evaluation, FundingAnswer, RoundPlan | None]:
        evaluation = evaluate(opened.catchment, progress)
        answer = fund(evaluation, budget, conditions, progress, seconds=seconds)
        if not budgets:
            return evaluation, answer, None
        cuts = answer.certificate.cuts
        ahead = plan(evaluation, budgets, conditions, progress, cuts=cuts, seconds=seconds)
        return evaluation, answer, ahead

    try:
        evaluation, answer, ahead = _with_progress(work)
    except NoSetPossible as refused:
        if json_file:
            _write_json(json_file, {"clash": list(refused.clash)})
        raise
    if certificate:
        _write_json(certificate, certificate_values(evaluation, answer))
    if json_file:
        values = fund_values(evaluation, answer)
        if ahead:
            values["rounds"] = plan_values(evaluation, ahead)
        _write_json(json_file, values)
        return
    typer.echo(fund_text(evaluation, answer))
    if ahead:
        typer.echo(plan_text(evaluation, ahead))


@app.command()
def verify(
    certificate: Annotated[Path, typer.Argument(help="file of slackwater fund --certificate")],
    catchment: CatchmentPath,
) -> None:
    """Recompute a certificate from the catchment alone, and say whether it holds."""
    opened = open_catchment(catchment)
    verdict = _with_progress(lambda _: verify_certificate(certificate, opened.catchment))
    typer.echo(verdict_text(verdict))
    if not verdict.holds:
        raise typer.Exit(2)


@app.command()
def template(file: Annotated[Path, typer.Argument(help="workbook to make, .xlsx")]) -> None:
    """Make an empty workbook with every table, its units, and a starter library with sources."""
    write_template(file)
    typer.echo(f"wrote {file}")


@app.command()
def guide(page: Annotated[str, typer.Argument(help="methods, data, glossary, cautions")]) -> None:
    """Print a page of the guide."""
    typer.echo(guide_page(page))


@app.command()
def serve(
    catchment: CatchmentPath,
    host: Annotated[str, typer.Option(help="address to listen on")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="port to listen on")] = 8765,
    behind: Annotated[
        str, typer.Option(help="https address of a proxy on this machine; whoever it lets in leads")
    ] = "",
) -> None:
    """Serve the map and the ranked list of a catchment; the catchment is only read."""
    # The other commands need no web.
    from slackwater.api.serve import serve as run  # noqa: PLC0415
    from slackwater.desk.showing import show_file  # noqa: PLC0415

    run(lambda: show_file(catchment), host, port, behind)


def _with_progress(work: Callable[[Progress], T]) -> T:
    """Run work as a job, show how far it is, stop it on an interrupt."""
    job = Job(work)

    stopped: list[float] = []

    def stop(_signal: int, _frame: FrameType | None) -> None:
        job.cancel()
        stopped.append(time.monotonic())

    before = {sign: signal.signal(sign, stop) for sign in (signal.SIGINT, signal.SIGTERM)}
    shown = sys.stderr.isatty()
    sys.stdout.flush()
    stdout = os.dup(1)
    os.dup2(2, 1)  # a solver may speak its mind; results alone go to the standard output
    try:
        while not job.wait(0.1):
            if stopped and time.monotonic() - stopped[0] > PATIENCE_S:
                raise Cancelled("stopped as told; nothing was kept")
            if shown and job.progress.total:
                share = job.progress.done / job.progress.total
                typer.echo(f"\r{share:4.0%} of {job.progress.total} sweeps", nl=False, err=True)
    finally:
        os.dup2(stdout, 1)
        os.close(stdout)
        if shown:
            typer.echo("\r\033[K", nl=False, err=True)
        for sign, handler in before.items():
            signal.signal(sign, handler)
    return job.result()


def _write_json(file: Path, values: dict[str, Any]) -> None:
    """Write whole or not at all."""
    text = json.dumps(values, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    if str(file) == "-":
        typer.echo(text, nl=False)
        return
    if not file.parent.is_dir():
        raise UsageError(f"no folder {file.parent} to write {file.name} into")
    handle, temporary = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    with os.fdopen(handle, "w", encoding="utf-8") as out:
        out.write(text)
    os.chmod(temporary, 0o644)
    os.replace(temporary, file)


def main() -> None:
    """Run a command; errors of ours become a plain message and an exit code."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise Cancelled("stopped as told; nothing was kept")

    for sign in (signal.SIGINT, signal.SIGTERM):
        signal.signal(sign, stop)
    try:
        app()
    except SlackwaterError as error:
        typer.echo(str(error), err=True)
        code = next(code for kind, code in EXIT_CODE.items() if isinstance(error, kind))
        if isinstance(error, Cancelled):
            sys.stderr.flush()
            os._exit(code)  # whatever still works in a thread ends here
        raise SystemExit(code) from None


if __name__ == "__main__":
    main()
