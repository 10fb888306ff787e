"""The command that serves the map."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from slackwater.cli.command import DATABASE_HELP, DATABASE_VARIABLE, app
from slackwater.errors import UsageError


@app.command()
def serve(
    context: typer.Context,
    catchment: Annotated[
        Path | None, typer.Argument(help="a folder, a GeoPackage or a workbook; only read")
    ] = None,
    database: Annotated[
        str | None,
        typer.Option("--database", envvar=DATABASE_VARIABLE, help=f"worked on; {DATABASE_HELP}"),
    ] = None,
    host: Annotated[str, typer.Option(help="address to listen on")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="port to listen on")] = 8765,
    behind: Annotated[
        str, typer.Option(help="https address of a proxy on this machine; whoever it lets in leads")
    ] = "",
) -> None:
    """Serve the map and the ranked list: of a catchment's files, or of a database to work on."""
    # The other commands need no web.
    from slackwater.api.serve import serve as run  # noqa: PLC0415
    from slackwater.desk.showing import show_file  # noqa: PLC0415
    from slackwater.desk.working import open_working  # noqa: PLC0415

    source = context.get_parameter_source("database")
    if catchment and source and source.name == "COMMANDLINE":
        raise UsageError("serve either a catchment's files or a database, not both")
    if catchment:
        run(lambda: show_file(catchment), host, port, behind)
    elif database:
        run(lambda: open_working(database), host, port, behind)
    else:
        raise UsageError("give a catchment to show, or --database to work on")
