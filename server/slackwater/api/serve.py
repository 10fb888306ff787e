"""How does the service come up? Opens a catchment and listens where it may."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import uvicorn
from fastapi import FastAPI

from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.guards import is_loopback
from slackwater.api.listening import address_of, header_name, listen, outer_name
from slackwater.api.oidc_settings import oidc_from
from slackwater.desk.accounts import Accounts
from slackwater.desk.showing import Showing
from slackwater.desk.working import Working
from slackwater.errors import UsageError

NOBODY_YET = (
    "nobody has an account in this database yet, so nobody could come in; add somebody with "
    "slackwater user add NAME --roles lead,admin"
)
LOOPBACK = "127.0.0.1,::1"
TAKES_TURNS_S = 0.0005
"""How long numbers are worked out before an answer gets its turn (Python's own is ten times as
long); a request takes some dozen turns."""


@dataclass(frozen=True)
class Door:
    """Where the service listens and whom it lets in, as its command says.

    Attributes
    ----------
    behind : https address under which a proxy serves the page to others, "" for none.
    accounts : whether people sign in.
    public_map : whether those without an account see what is public.
    sign_in_header : header in which the proxy names who signed in there, "" for none.
    """

    host: str = "127.0.0.1"
    port: int = 8765
    behind: str = ""
    accounts: bool = False
    public_map: bool = False
    sign_in_header: str = ""

    def require_sound(self) -> None:
        """Refuse what would let in whom nobody meant to let in.

        Raises
        ------
        UsageError
            Says what is missing.
        """
        if not self.accounts:
            for word, said in (("--public-map", self.public_map),
                               ("--sign-in-header", self.sign_in_header)):  # fmt: skip
                if said:
                    raise UsageError(f"{word} says who is let in, so it needs --accounts")
        near = is_loopback(self.host)
        if not near and not (self.accounts and self.behind):
            raise UsageError(
                f"{self.host} is not this machine alone (127.0.0.1): whoever reached the service "
                "could see every landholder's data; others come in with --accounts, through a "
                "proxy that speaks HTTPS (--behind https://...)"
            )
        if self.sign_in_header and not (self.behind and near):
            raise UsageError(
                "--sign-in-header believes whoever can reach this port, so it needs --behind and a "
                "host of this machine alone, where only the proxy reaches it"
            )
        header_name(self.sign_in_header)


def serve(
    opening: Callable[[], Showing], door: Door, environment: Mapping[str, str] = os.environ
) -> None:
    """Open a catchment and serve it until told to stop.

    Parameters
    ----------
    opening : reads a catchment or opens a database; called once the port is taken.

    Raises
    ------
    UsageError
        Where the door is not sound, the port is taken, or nobody has an account.
    InputFaults
        Where the catchment's data is at fault.
    """
    door.require_sound()
    outer_name(door.behind)
    oidc = oidc_from(environment) if door.accounts else None
    with listen(door.host, door.port) as listener:
        showing = opening()
        try:
            entry = Entry(
                accounts=accounts_of(showing) if door.accounts else None,
                public_map=door.public_map,
                sign_in_header=door.sign_in_header,
                oidc=oidc,
                outside=outer_name(door.behind),
            )
        except UsageError:
            if isinstance(showing, Working):
                showing.close()
            raise
        app = create_app(showing, entry)
        name = showing.of().view.catchment.name
        listener.listen()  # whoever follows the address at once waits instead of being refused
        print(f"Slackwater serves {name} at {address_of(listener)}", flush=True)
        server = uvicorn.Server(config_of(app, door))
        sys.setswitchinterval(TAKES_TURNS_S)
        app.state.leaving = lambda: server.should_exit
        server.run(sockets=[listener])


def accounts_of(showing: Showing) -> Accounts:
    """Give the accounts of a database that is worked on.

    Raises
    ------
    UsageError
        Where a file is served, or nobody has an account.
    """
    if not isinstance(showing, Working):
        raise UsageError("accounts are kept in a database: --accounts needs --database")
    accounts = Accounts(showing.register)
    if not accounts.people():
        raise UsageError(NOBODY_YET)
    return accounts


def config_of(app: FastAPI, door: Door) -> uvicorn.Config:
    """Give how the server runs; what a proxy says of its callers is believed only behind one.

    Whoever listens beyond this machine stands behind a proxy on another, whose address is not
    known here; then only a firewall keeps others from the port.
    """
    return uvicorn.Config(
        app,
        log_level="warning",
        server_header=False,
        access_log=False,
        proxy_headers=bool(door.behind),
        forwarded_allow_ips=LOOPBACK if is_loopback(door.host) else "*",
    )
