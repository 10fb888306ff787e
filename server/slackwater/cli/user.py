"""Commands about the people: who has an account, with which roles, locked or not."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import Annotated

import typer

from slackwater.cli.command import Database, app
from slackwater.desk.accounts import Accounts, opened_accounts
from slackwater.desk.people_told import people_text, person_text
from slackwater.errors import UsageError

user = typer.Typer(no_args_is_help=True, help="Who may come in, and as what.")
app.add_typer(user, name="user")

BY = "the command line"
Name = Annotated[str, typer.Argument(help="the account's name; capitals do not count")]
Roles = Annotated[
    str, typer.Option(help="viewer, field, scientist, lead, admin; several with commas between")
]
FromStdin = Annotated[
    bool, typer.Option("--password-stdin", help="read the password from the standard input")
]


@contextmanager
def people_of(database: str) -> Iterator[Accounts]:
    """Open the people of a database."""
    with closing(opened_accounts(database)) as accounts:
        yield accounts


@user.command()
def add(
    name: Name,
    database: Database,
    roles: Roles,
    elsewhere: Annotated[
        bool, typer.Option("--elsewhere", help="no password: a proxy or provider vouches for them")
    ] = False,
    password_stdin: FromStdin = False,
) -> None:
    """Give somebody an account; asks for the password twice."""
    if elsewhere and password_stdin:
        raise UsageError("whoever signs in elsewhere has no password here")
    with people_of(database) as accounts:
        password = None if elsewhere else _password(from_stdin=password_stdin)
        person = accounts.add_person(name, _several(roles), password, BY)
    typer.echo(f"added {person_text(person)}")


@user.command("list")
def list_all(database: Database) -> None:
    """Show everybody who has an account."""
    with people_of(database) as accounts:
        typer.echo(people_text(accounts.people()))


@user.command("roles")
def set_roles(
    name: Name,
    roles: Annotated[str, typer.Argument(help="all roles from now on, with commas between")],
    database: Database,
) -> None:
    """Give somebody other roles, from their next request on."""
    with people_of(database) as accounts:
        typer.echo(person_text(accounts.change_person(name, roles=_several(roles))))


@user.command()
def password(name: Name, database: Database, password_stdin: FromStdin = False) -> None:
    """Give somebody a new password; their sessions end, their tokens hold."""
    with people_of(database) as accounts:
        new = _password(from_stdin=password_stdin)
        person = accounts.change_person(name, password=new)
    typer.echo(f"changed, and signed out everywhere: {person_text(person)}")


@user.command()
def lock(name: Name, database: Database) -> None:
    """Let somebody in no more; their account stays."""
    with people_of(database) as accounts:
        typer.echo(person_text(accounts.change_person(name, locked=True)))


@user.command()
def unlock(name: Name, database: Database) -> None:
    """Let somebody in again, also after too many wrong passwords."""
    with people_of(database) as accounts:
        typer.echo(person_text(accounts.change_person(name, locked=False)))


@user.command()
def remove(name: Name, database: Database) -> None:
    """Take an account away with its tokens; what it did stays in the history."""
    with people_of(database) as accounts:
        accounts.remove_person(name)
    typer.echo(f"removed {name}")


def _several(text: str) -> list[str]:
    return [each.strip() for each in text.split(",") if each.strip()]


def _password(*, from_stdin: bool) -> str:
    """Ask for a password, twice; or read one line."""
    if from_stdin:
        return sys.stdin.readline().rstrip("\r\n")
    told: str = typer.prompt("password", hide_input=True, confirmation_prompt=True)
    return told
