"""Commands about a catchment's data: is it sound, what is it made of, what do the words mean."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slackwater import MODEL_VERSION, __version__
from slackwater.cli.command import CatchmentPath, JsonFile, app
from slackwater.cli.running import write_json
from slackwater.desk.guide import guide_page
from slackwater.desk.opening import check_catchment, few_of_each
from slackwater.desk.templates import write_template


@app.command()
def version() -> None:
    """Print the program's and the model's version."""
    typer.echo(f"slackwater {__version__}, model {MODEL_VERSION}")


@app.command()
def check(catchment: CatchmentPath, json_file: JsonFile = None) -> None:
    """Say everything that is wrong or odd in a catchment's data."""
    faults, warnings = check_catchment(catchment)
    if json_file:
        write_json(
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
def template(file: Annotated[Path, typer.Argument(help="workbook to make, .xlsx")]) -> None:
    """Make an empty workbook with every table, its units, and a starter library with sources."""
    write_template(file)
    typer.echo(f"wrote {file}")


@app.command()
def guide(page: Annotated[str, typer.Argument(help="methods, data, glossary, cautions")]) -> None:
    """Print a page of the guide."""
    typer.echo(guide_page(page))
