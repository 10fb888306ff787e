"""The command that holds a meeting on one shared case: on a laptop, on any network or none."""

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
        typer.Option(
            "--open-to-network", help="let every machine that reaches this one look and join"
        ),
    ] = False,
    hours: Annotated[int, typer.Option(help="how long it may last, 1 to 24")] = 6,
    host: Annotated[
        str, typer.Option(help="address to listen on; 0.0.0.0 with --open-to-network")
    ] = "",
    port: Annotated[int, typer.Option(help="port to listen on")] = 8770,
) -> None:
    """Hold a meeting on one shared case: a wall, phones, its public page, and nothing else.

    Given again, it goes on with the meeting that was on, under a new key.
    """
    # The other commands need no web.
    from slackwater.api.meet import meet as run  # noqa: PLC0415
    from slackwater.desk.working import open_working  # noqa: PLC0415

    run(
        lambda: open_working(database),
        case,
        host,
        port,
        open_to_network=open_to_network,
        hours=hours,
    )
