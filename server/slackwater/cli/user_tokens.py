"""Commands about tokens, which programs show in a person's place."""

from __future__ import annotations

from typing import Annotated

import typer

from slackwater.cli.command import Database
from slackwater.cli.user import Name, people_of, user
from slackwater.desk.people_told import token_text, tokens_text


@user.command()
def token(
    name: Name,
    database: Database,
    title: Annotated[str, typer.Option(help="what it is for, such as: desktop GIS at the office")],
    scope: Annotated[
        str, typer.Option(help="public, read or all: what it may do of what its owner may")
    ] = "read",
    days: Annotated[int, typer.Option(help="for how long it holds, 1 to 365")] = 90,
) -> None:
    """Make a token; it is shown this once."""
    with people_of(database) as accounts:
        made = accounts.make_token(name, title, scope, days)
    typer.echo(token_text(made), err=True)
    typer.echo(made["secret"])  # alone on the standard output, for whoever pipes it on


@user.command()
def tokens(name: Name, database: Database) -> None:
    """Show somebody's tokens, without what they are known by."""
    with people_of(database) as accounts:
        typer.echo(tokens_text(accounts.tokens_of(name)))


@user.command("token-end")
def token_end(
    name: Name,
    token_id: Annotated[str, typer.Argument(metavar="ID", help="from: slackwater user tokens")],
    database: Database,
) -> None:
    """End one of somebody's tokens, at once."""
    with people_of(database) as accounts:
        accounts.drop_token(name, token_id)
    typer.echo("ended")
