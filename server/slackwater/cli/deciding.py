"""Commands that decide: score the offtakes, find the set to fund, check its certificate."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slackwater.cli.command import CatchmentPath, JsonFile, app
from slackwater.cli.running import with_progress, write_json
from slackwater.desk.best_funding import FundingAnswer, conditions_of, fund, fund_values
from slackwater.desk.certificate import certificate_values, verdict_text, verify_certificate
from slackwater.desk.evaluation import Evaluation, evaluate
from slackwater.desk.fund_report import fund_text
from slackwater.desk.opening import open_catchment
from slackwater.desk.round_plan import RoundPlan, budgets_of, plan, plan_text, plan_values
from slackwater.desk.score_report import score_table, score_values
from slackwater.errors import NoSetPossible
from slackwater.progress import Progress


@app.command()
def score(catchment: CatchmentPath, json_file: JsonFile = None) -> None:
    """Work out what every offtake takes, what that costs, and the order they stand in."""
    opened = open_catchment(catchment)
    result = with_progress(lambda progress: evaluate(opened.catchment, progress))
    if json_file:
        write_json(json_file, score_values(result))
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
    together: Annotated[
        list[str] | None,
        typer.Option(help="CODE,CODE in whole or not, mobilisation once; may be repeated"),
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
        keep_in or [],
        leave_out or [],
        district_least or [],
        district_most or [],
        most_installs,
        together or [],
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
        evaluation, answer, ahead = with_progress(work)
    except NoSetPossible as refused:
        if json_file:
            write_json(json_file, {"clash": list(refused.clash)})
        raise
    if certificate:
        write_json(certificate, certificate_values(evaluation, answer))
    if json_file:
        values = fund_values(evaluation, answer)
        if ahead:
            values["rounds"] = plan_values(evaluation, ahead)
        write_json(json_file, values)
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
    verdict = with_progress(lambda _: verify_certificate(certificate, opened.catchment))
    typer.echo(verdict_text(verdict))
    if not verdict.holds:
        raise typer.Exit(2)
