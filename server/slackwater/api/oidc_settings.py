"""Which sign-in service is asked, and as whom? Set from the environment, not on a command line."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlsplit

from slackwater.api.entry import OidcSettings
from slackwater.api.guards import is_loopback
from slackwater.errors import UsageError

ISSUER = "SLACKWATER_OIDC_ISSUER"
CLIENT_ID = "SLACKWATER_OIDC_CLIENT_ID"
CLIENT_SECRET = "SLACKWATER_OIDC_CLIENT_SECRET"  # noqa: S105 - where it stands, not what it is
NAME_CLAIM = "SLACKWATER_OIDC_NAME_CLAIM"
USUAL_CLAIM = "preferred_username"


def oidc_from(environment: Mapping[str, str]) -> OidcSettings | None:
    """Read the settings; None where no issuer is named. A client without a secret has PKCE alone.

    Raises
    ------
    UsageError
        Where they are not whole, or the issuer is no https address.
    """
    issuer = environment.get(ISSUER, "").strip()
    if not issuer:
        return None
    if not is_safe_address(issuer) or urlsplit(issuer).query or urlsplit(issuer).fragment:
        raise UsageError(f"{ISSUER} is {issuer!r}; give the issuer's https address and no more")
    client_id = environment.get(CLIENT_ID, "").strip()
    if not client_id:
        raise UsageError(f"{ISSUER} is set and {CLIENT_ID} is not; both are needed")
    return OidcSettings(
        issuer=issuer,
        client_id=client_id,
        client_secret=environment.get(CLIENT_SECRET, "").strip(),
        name_claim=environment.get(NAME_CLAIM, "").strip() or USUAL_CLAIM,
    )


def is_safe_address(address: str) -> bool:
    """Whether what is sent there stays between the two: https, or this machine alone."""
    try:
        parts = urlsplit(address)
        host = parts.hostname or ""
    except ValueError:
        return False
    return bool(host) and (
        parts.scheme == "https" or (parts.scheme == "http" and is_loopback(host))
    )
