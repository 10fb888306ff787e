"""The command that shows one shared case to a room: its public page alone, on any network."""

from __future__ import annotations

from typing import Annotated

import typer

from slackwater.cli.command import Database, app


@app.command()
def meet(
    case: Annotated[str, typer.Argument(help="id or exact name of a shared case")],
    database: Database,
    open_to_network: Annotated[
        bool,
        typer.Option("--open-to-network", help="let every machine that reaches this one look"),
    ] = False,
    host: Annotated[
        str, typer.Option(help="address to listen on; 0.0.0.0 with --open-to-network")
    ] = "",
    port: Annotated[int, typer.Option(help="port to listen on")] = 8770,
) -> None:
    """Show one shared case's public page, and nothing else, to whoever reaches this machine."""
    # The other commands need no web.
    from slackwater.api.meet import meet as run  # noqa: PLC0415
    from slackwater.desk.shared_pages import open_shown_case  # noqa: PLC0415

    run(lambda: open_shown_case(database, case), host, port, open_to_network=open_to_network)
