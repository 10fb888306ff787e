"""Who is it, as another service says? OpenID Connect, code flow with PKCE, state and nonce.

The provider is believed only as far as its keys reach: signature, issuer, audience, expiry and
nonce of the id token are checked on every sign-in.

Sources: OpenID Connect Core 1.0, 3.1.2 and 3.1.3.7; RFC 7636 (PKCE); RFC 9207 (who answers).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from threading import BoundedSemaphore
from typing import Any

import httpx
from authlib.common.errors import AuthlibBaseError
from authlib.oidc.core.claims import CodeIDToken
from joserfc import jwt
from joserfc.errors import JoseError

from slackwater.api.entry import OidcSettings
from slackwater.api.oidc_client import client_for
from slackwater.api.oidc_description import UNREACHED, Described, ProviderFailed
from slackwater.api.oidc_trip import Trip
from slackwater.errors import SignInRefused

ALGORITHMS = ("RS256", "RS384", "RS512", "PS256", "PS384", "PS512", "ES256", "ES384", "ES512",
              "Ed25519", "EdDSA")  # fmt: skip
"""Signatures by a key of the provider's own; never ``none``, never a secret both sides hold."""
LEEWAY_S = 60
MOST_AT_ONCE = 8
BUSY = "many are signing in just now, or the sign-in service is slow; try again in a moment"
_FAILURES = (httpx.HTTPError, AuthlibBaseError, JoseError, ValueError, KeyError, TypeError)


class OpenIdProvider:
    """One provider, as this service is registered there."""

    def __init__(self, settings: OidcSettings) -> None:
        self._settings = settings
        self._described = Described(settings.issuer)
        self._room = BoundedSemaphore(MOST_AT_ONCE)

    def begin(self, trip: Trip, back: str) -> str:
        """Give the address at which a person signs in.

        Parameters
        ----------
        back : address of this service to which the provider sends the browser back.

        Raises
        ------
        ProviderFailed
            Where the provider cannot be reached.
        """
        with self._talking():
            described = self._described.description()
        with client_for(self._settings, described, back) as client:
            address, _ = client.create_authorization_url(
                described["authorization_endpoint"],
                state=trip.state,
                code_verifier=trip.verifier,
                nonce=trip.nonce,
            )
        return str(address)

    def name_from(self, trip: Trip, back: str, code: str, issuer: str = "") -> str:
        """Give the name of whoever signed in, by the id token that the code is exchanged for.

        Parameters
        ----------
        issuer : what the answer says of who sent it, "" where it says nothing.

        Raises
        ------
        SignInRefused
            Where the id token is not what was asked for.
        ProviderFailed
            Where the provider cannot be reached.
        """
        with self._talking():
            return self._name_of(self._claims(self._tokens(trip, back, code, issuer), trip))

    def _tokens(self, trip: Trip, back: str, code: str, issuer: str) -> Mapping[str, Any]:
        """Exchange the code, once it is sure who gave it."""
        described = self._described.description()
        says_issuer = described.get("authorization_response_iss_parameter_supported") is True
        if issuer != self._settings.issuer and (issuer or says_issuer):
            raise SignInRefused("the answer comes from another sign-in service")
        try:
            with client_for(self._settings, described, back) as client:
                tokens: Mapping[str, Any] = client.fetch_token(
                    described["token_endpoint"],
                    grant_type="authorization_code",
                    code=code,
                    redirect_uri=back,
                    code_verifier=trip.verifier,
                )
        except httpx.TransportError as failure:
            raise ProviderFailed(UNREACHED) from failure
        except _FAILURES as failure:
            raise SignInRefused("the sign-in service did not confirm this sign-in") from failure
        return tokens

    @contextmanager
    def _talking(self) -> Iterator[None]:
        """Let a few talk to the provider at once: one that hangs must not hold all threads."""
        if not self._room.acquire(blocking=False):
            raise ProviderFailed(BUSY)
        try:
            yield
        finally:
            self._room.release()

    def _claims(self, tokens: Mapping[str, Any], trip: Trip) -> Mapping[str, Any]:
        """Give what the id token says, once all of it was checked."""
        of = self._settings
        must = {"iss": of.issuer, "aud": of.client_id}
        try:
            decoded = self._decoded(tokens["id_token"])
            claims = CodeIDToken(
                decoded.claims,
                decoded.header,
                {name: {"essential": True, "value": value} for name, value in must.items()},
                {
                    "nonce": trip.nonce,
                    "client_id": of.client_id,
                    "access_token": tokens.get("access_token"),
                },
            )
            claims.validate(leeway=LEEWAY_S)
        except _FAILURES as failure:
            raise SignInRefused("the id token of the sign-in service does not hold") from failure
        return dict(claims)

    def _decoded(self, raw: str) -> jwt.Token:
        """Check the signature; a key that is not known may be a new one."""
        keys = self._described.keys()
        try:
            return jwt.decode(raw, keys, algorithms=ALGORITHMS)
        except _FAILURES:
            newer = self._described.keys(other_than=keys)
            if newer is keys:
                raise
            return jwt.decode(raw, newer, algorithms=ALGORITHMS)

    def _name_of(self, claims: Mapping[str, Any]) -> str:
        """Give the account's name; an address that nobody verified is nobody's name."""
        claim = self._settings.name_claim
        name = claims.get(claim)
        if not isinstance(name, str) or not name.strip():
            raise SignInRefused(f"the sign-in service does not say who it is: no {claim!r}")
        if claim == "email" and claims.get("email_verified") is not True:
            raise SignInRefused("the sign-in service has not verified this e-mail address")
        return name.strip()
