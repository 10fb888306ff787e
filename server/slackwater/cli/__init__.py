"""The command line: one module a family of commands; `main` runs the one that is asked for."""

from __future__ import annotations

import os
import signal
import sys
from types import FrameType

import typer

from slackwater.cli import data, deciding, keeping, meeting, serving, user, user_tokens
from slackwater.cli.command import app
from slackwater.errors import EXIT_CODE, Cancelled, SlackwaterError

__all__ = [
    "app", "data", "deciding", "keeping", "main", "meeting", "serving", "user", "user_tokens",
]  # fmt: skip


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
