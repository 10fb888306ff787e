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
        str,
        typer.Option(help="https address of a proxy; without --accounts whoever it lets in leads"),
    ] = "",
    accounts: Annotated[
        bool,
        typer.Option("--accounts", help="people sign in (slackwater user add); needs a database"),
    ] = False,
    public_map: Annotated[
        bool, typer.Option("--public-map", help="also show what is public without an account")
    ] = False,
    sign_in_header: Annotated[
        str,
        typer.Option(help="header in which the proxy names who signed in; it must overwrite it"),
    ] = "",
) -> None:
    """Serve the map and the ranked list: of a catchment's files, or of a database to work on.

    An OpenID Connect provider is named in the environment; the guide's hosting page says how.
    """
    # The other commands need no web.
    from slackwater.api.serve import Door  # noqa: PLC0415
    from slackwater.api.serve import serve as run  # noqa: PLC0415
    from slackwater.desk.showing import show_file  # noqa: PLC0415
    from slackwater.desk.working import open_working  # noqa: PLC0415

    door = Door(host, port, behind, accounts, public_map, sign_in_header)
    source = context.get_parameter_source("database")
    if catchment and source and source.name == "COMMANDLINE":
        raise UsageError("serve either a catchment's files or a database, not both")
    if catchment and accounts:
        raise UsageError("accounts are kept in a database: --accounts needs --database")
    if catchment:
        run(lambda: show_file(catchment), door)
    elif database:
        run(lambda: open_working(database), door)
    else:
        raise UsageError("give a catchment to show, or --database to work on")
