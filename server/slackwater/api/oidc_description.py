"""What does the provider say of itself? Its addresses and its keys, read when they are needed.

Sources: OpenID Connect Discovery 1.0, 4.3 (the issuer named must be the issuer asked); OpenID
Connect Core 1.0, 10.1.1 (keys change; an unknown one is looked for once more).
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from threading import Lock
from typing import Any

import httpx
from joserfc.errors import JoseError
from joserfc.jwk import KeySet

from slackwater.api.oidc_client import TIMEOUT_S
from slackwater.api.oidc_settings import is_safe_address
from slackwater.errors import SignInRefused

WELL_KNOWN = "/.well-known/openid-configuration"
KEPT_S = 3600.0
LEAST_BETWEEN_S = 60.0
"""How old the keys must be before a token with an unknown one has them read again."""
UNREACHED = "the sign-in service cannot be reached, or its answer makes no sense; try again later"


class ProviderFailed(SignInRefused):
    """The sign-in service cannot be reached, or answers what it should not."""


class Described:
    """One provider's description and keys, kept for an hour."""

    def __init__(self, issuer: str) -> None:
        self._issuer = issuer
        self._lock = Lock()
        self._description: dict[str, Any] | None = None
        self._keys: KeySet | None = None
        self._description_at = self._keys_at = 0.0

    def description(self) -> Mapping[str, Any]:
        """Give the provider's own description.

        Raises
        ------
        ProviderFailed
            Where it cannot be read, is another issuer's, or names an unsafe address.
        """
        with self._lock:
            if self._description is None or _age_s(self._description_at) >= KEPT_S:
                found = _read(self._issuer.rstrip("/") + WELL_KNOWN)
                _require_sound(found, self._issuer)
                self._description, self._description_at = found, time.monotonic()
            return self._description

    def keys(self, other_than: KeySet | None = None) -> KeySet:
        """Give the provider's keys; where they failed, newer ones once a minute has gone by.

        Raises
        ------
        ProviderFailed
            Where they cannot be read.
        """
        address = self.description()["jwks_uri"]
        with self._lock:
            age_s = _age_s(self._keys_at)
            failed = other_than is not None and self._keys is other_than
            if self._keys is None or age_s >= (LEAST_BETWEEN_S if failed else KEPT_S):
                try:
                    self._keys = KeySet.import_key_set(_read(address))  # type: ignore[arg-type]
                except (JoseError, ValueError, KeyError, TypeError) as failure:
                    raise ProviderFailed(UNREACHED) from failure
                self._keys_at = time.monotonic()
            return self._keys


def _age_s(at: float) -> float:
    return time.monotonic() - at


def _read(address: str) -> dict[str, Any]:
    """Read JSON of the provider; no redirect is followed."""
    try:
        answer = httpx.get(address, headers={"Accept": "application/json"}, timeout=TIMEOUT_S)
        answer.raise_for_status()
        found = answer.json()
    except (httpx.HTTPError, ValueError) as failure:
        raise ProviderFailed(UNREACHED) from failure
    if not isinstance(found, dict):
        raise ProviderFailed(UNREACHED)
    return found


def _require_sound(found: Mapping[str, Any], issuer: str) -> None:
    """Refuse a description of another issuer, or addresses at which others could listen."""
    named = ("authorization_endpoint", "token_endpoint", "jwks_uri")
    sound = all(isinstance(found.get(each), str) and is_safe_address(found[each]) for each in named)
    if found.get("issuer") != issuer or not sound:
        raise ProviderFailed(UNREACHED)
