"""What every command shares: the program itself, and how its words are described."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False)

CatchmentPath = Annotated[Path, typer.Argument(help="a folder, a GeoPackage or a workbook")]
JsonFile = Annotated[
    Path | None, typer.Option("--json", help="write the result here, - for stdout")
]
DATABASE_VARIABLE = "SLACKWATER_DATABASE"
DATABASE_HELP = "sqlite:///FILE, a path ending in .sqlite, or postgresql://USER@HOST/NAME"
Database = Annotated[str, typer.Option("--database", envvar=DATABASE_VARIABLE, help=DATABASE_HELP)]


@app.callback()
def about() -> None:
    """Say which offtakes to screen first, so that pumps and channels stop taking fish.

    It ranks and budgets; it does not design. Work near intakes follows local safety law.
    """
