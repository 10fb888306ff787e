"""How is the provider asked? Authlib's client over httpx, for one sign-in."""

from __future__ import annotations

from collections.abc import Generator, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import httpx
from authlib.oauth2.auth import ClientAuth
from authlib.oauth2.client import OAuth2Client

from slackwater.api.entry import OidcSettings

TIMEOUT_S = 10.0


class AsClient(httpx.Auth, ClientAuth):  # type: ignore[misc]
    """Says who asks for a token, in the way the provider takes it."""

    requires_request_body = True

    def auth_flow(self, request: httpx.Request) -> Generator[httpx.Request, httpx.Response, None]:
        """Put the client's name and secret onto one request."""
        url, headers, body = self.prepare(
            request.method, str(request.url), request.headers, request.content.decode()
        )
        headers["Content-Length"] = str(len(body))
        yield httpx.Request(
            request.method, url, headers=headers, content=body, extensions=request.extensions
        )


class Client(OAuth2Client):  # type: ignore[misc]
    """Authlib's client, its requests sent by httpx."""

    client_auth_class = AsClient


@contextmanager
def client_for(
    settings: OidcSettings, described: Mapping[str, Any], back: str
) -> Iterator[OAuth2Client]:
    """Give a client for one sign-in; no redirect is followed.

    Parameters
    ----------
    described : the provider's own description.
    back : address to which the provider sends the browser back.
    """
    with httpx.Client(timeout=TIMEOUT_S) as http:
        yield Client(
            http,
            client_id=settings.client_id,
            client_secret=settings.client_secret or None,
            token_endpoint_auth_method=_way_of_saying_who(settings, described),
            scope="openid email" if settings.name_claim == "email" else "openid profile",
            redirect_uri=back,
            code_challenge_method="S256",
        )


def _way_of_saying_who(settings: OidcSettings, described: Mapping[str, Any]) -> str:
    """Give how the secret travels: in a header, unless the provider takes it in the body alone."""
    if not settings.client_secret:
        return "none"
    taken = described.get("token_endpoint_auth_methods_supported") or ["client_secret_basic"]
    return "client_secret_basic" if "client_secret_basic" in taken else "client_secret_post"
