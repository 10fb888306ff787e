"""How do people come in? What whoever starts the service says of accounts and sign-in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from slackwater.desk.accounts import Accounts


@dataclass(frozen=True)
class OidcSettings:
    """One OpenID provider that the agency trusts, and this service's registration there.

    Attributes
    ----------
    client_secret : "" for a public client, which its proof key alone protects.
    name_claim : which claim of the signed answer is the account's name here.
    """

    issuer: str
    client_id: str
    client_secret: str = field(default="", repr=False)
    name_claim: str = "preferred_username"


@dataclass(frozen=True)
class Entry:
    """Who is let in, and how.

    Attributes
    ----------
    accounts : the people who were added; None where whoever calls is the lead.
    public_map : whether those without an account see what is public.
    sign_in_header : header in which a proxy on this machine names who signed in there, "" for none.
    oidc : the provider people may sign in with, None for none.
    outside : name, with its port where it has one, under which a proxy serves the page to others;
        "" where there is none. A proxy serves it over https alone.
    """

    accounts: Accounts | None = None
    public_map: bool = False
    sign_in_header: str = ""
    oidc: OidcSettings | None = None
    outside: str = ""

    @property
    def ways(self) -> list[str]:
        """Ways to sign in, as the page offers them."""
        if self.accounts is None:
            return []
        given = {"password": True, "header": self.sign_in_header, "oidc": self.oidc}
        return [way for way, there in given.items() if there]
