"""A small OpenID provider on loopback: signs in whom it is told to, and lies where it is told to.

Written from OpenID Connect Core 1.0 (3.1), Discovery 1.0 and RFC 7636; signing by joserfc, the
signing library that Authlib's own stands on.
"""

from __future__ import annotations

import base64
import hashlib
import json
import secrets
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qsl, unquote, urlencode

import uvicorn
from joserfc import jwt
from joserfc.jwk import OctKey, RSAKey
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from slackwater.api.listening import address_of, listen

CLIENT_ID, CLIENT_SECRET = "slackwater at river", "a secret / of +two"


@dataclass
class Provider:
    """What the provider knows, and how it is told to misbehave.

    Attributes
    ----------
    who : claims of whoever signs in next.
    claims : what the id token says instead; a value of None leaves the claim out.
    signed_by : key that signs, and ``alg`` by which; the published key and RS256 unless told.
    description : what its own description says instead.
    """

    issuer: str = ""
    who: dict[str, Any] = field(default_factory=lambda: {"preferred_username": "ada"})
    claims: dict[str, Any] = field(default_factory=dict)
    description: dict[str, Any] = field(default_factory=dict)
    alg: str = "RS256"
    key: RSAKey = field(default_factory=lambda: RSAKey.generate_key(2048, {"kid": "one"}))
    signed_by: RSAKey | OctKey | None = None
    asked: list[dict[str, str]] = field(default_factory=list)
    codes: dict[str, dict[str, str]] = field(default_factory=dict)
    keys_read: int = 0
    answers: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self) -> None:
        self.answers.set()

    @contextmanager
    def hanging(self) -> Iterator[None]:
        """Do not describe itself until this is over."""
        self.answers.clear()
        try:
            yield
        finally:
            self.answers.set()

    def app(self) -> Starlette:
        """Give its four addresses."""
        return Starlette(
            routes=[
                Route("/.well-known/openid-configuration", self._describe),
                Route("/keys", self._keys),
                Route("/authorize", self._authorize),
                Route("/token", self._token, methods=["POST"]),
            ]
        )

    def _describe(self, _: Request) -> Response:
        self.answers.wait(30)
        return JSONResponse({
            "issuer": self.issuer,
            "authorization_endpoint": f"{self.issuer}/authorize",
            "token_endpoint": f"{self.issuer}/token",
            "jwks_uri": f"{self.issuer}/keys",
            **self.description,
        })  # fmt: skip

    def _keys(self, _: Request) -> Response:
        self.keys_read += 1
        return JSONResponse({"keys": [self.key.as_dict(private=False)]})

    def _authorize(self, request: Request) -> Response:
        """Sign somebody in at once, and send the browser back."""
        asked = dict(request.query_params)
        self.asked.append(asked)
        code = secrets.token_urlsafe(8)
        self.codes[code] = asked
        back = {"code": code, "state": asked["state"]}
        return RedirectResponse(f"{asked['redirect_uri']}?{urlencode(back)}", 302)

    async def _token(self, request: Request) -> Response:
        """Give an id token for a code, once, to whoever knows client secret and proof key."""
        form = dict(parse_qsl((await request.body()).decode()))
        asked = self.codes.pop(form.get("code", ""), None)
        told = base64.b64decode(request.headers["authorization"].removeprefix("Basic ")).decode()
        digest = hashlib.sha256(form.get("code_verifier", "").encode()).digest()
        if (
            asked is None
            or tuple(unquote(each) for each in told.split(":")) != (CLIENT_ID, CLIENT_SECRET)
            or asked["code_challenge_method"] != "S256"
            or base64.urlsafe_b64encode(digest).decode().rstrip("=") != asked["code_challenge"]
            or form.get("redirect_uri") != asked["redirect_uri"]
        ):
            return JSONResponse({"error": "invalid_grant"}, 400)
        tokens = {"access_token": "of no use here", "token_type": "Bearer"}
        return JSONResponse({**tokens, "id_token": self._id_token(asked["nonce"])})

    def _id_token(self, nonce: str) -> str:
        now = int(time.time())
        says = {"iss": self.issuer, "sub": "4711", "aud": CLIENT_ID, "iat": now, "exp": now + 300,
                "nonce": nonce, **self.who, **self.claims}  # fmt: skip
        claims = {name: value for name, value in says.items() if value is not None}
        header = {"alg": self.alg, "kid": "one"}
        key = self.signed_by or self.key
        if self.alg == "none":
            return f"{_segment(header)}.{_segment(claims)}."
        return jwt.encode(header, claims, key, algorithms=[self.alg])


def _segment(value: dict[str, Any]) -> str:
    return base64.urlsafe_b64encode(json.dumps(value).encode()).decode().rstrip("=")


@contextmanager
def running(provider: Provider, host: str = "127.0.0.1") -> Iterator[Provider]:
    """Serve it on a free port of this machine, known by a name of its own."""
    with listen("127.0.0.1", 0) as listener:
        listener.listen()
        provider.issuer = address_of(listener).replace("127.0.0.1", host)
        server = uvicorn.Server(uvicorn.Config(provider.app(), log_level="error", lifespan="off"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        yield provider
        server.should_exit = True
        thread.join(10)
