"""Who calls, who may sign in, tokens for programs, and public links of a case."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from slackwater.api.answers.asked import Asked, asked_like
from slackwater.api.answers.shape import Answer, like

MOST_PASSWORD = 1_000
"""A longer one is refused before it is looked at; the desk says what a password is."""
HeldRole = Literal["viewer", "field", "scientist", "lead", "admin"]
Scope = Literal["public", "read", "all"]
ShortText = Annotated[str, Field(max_length=500)]
Password = Annotated[str, Field(max_length=MOST_PASSWORD)]
Days = Annotated[int, Field(strict=True, ge=1, le=365)]
_AT, _ENDS = "2026-11-29T08:30:00.000+00:00", "2027-02-27T08:30:00.000+00:00"
_ID = "0d9f3a52-7f0e-4a3c-9a53-6f1f0f0f7a11"
_CASE = "6b2f5c1e-0a34-4c39-8d53-2f7c1f4b9e10"
_PERSON = {"name": "ada", "roles": ["scientist"], "way": "password", "locked": False,
           "kept_out_until": None, "made_at": _AT, "seen_at": None}  # fmt: skip
_TOKEN = {"id": _ID, "title": "desktop GIS", "scope": "read", "made_at": _AT, "ends_at": _ENDS,
          "seen_at": None}  # fmt: skip
_LINK = {"id": _ID, "case_id": _CASE, "made_at": _AT, "by": "ada", "ends_at": _ENDS,
         "ended_at": None}  # fmt: skip


class Me(Answer):
    """Whoever asks, as the service knows them."""

    model_config = like({
        "accounts": True, "name": "ada", "roles": ["scientist"], "viewer": "agency",
        "csrf": "5f1d…", "ways": ["password"], "public_map": False,
        "ended": False,
    })  # fmt: skip

    accounts: bool = Field(description="false where whoever calls is the lead")
    name: str = Field(description="empty for whoever has no account")
    roles: list[Literal["public", "viewer", "field", "scientist", "lead", "admin"]] = Field(
        description="none for whoever may see nothing"
    )
    viewer: Literal["public", "agency", "lead"] = Field(description="whose columns are shown")
    csrf: str = Field(description="goes with every change, as X-Slackwater-Csrf")
    ways: list[Literal["password", "header", "oidc"]]
    public_map: bool
    ended: bool = Field(description="the browser still holds a session that is over")


class SignInAsked(Asked):
    """ShortText and password."""

    model_config = asked_like({"name": "ada", "password": "four plain words here"})

    name: ShortText
    password: Password


class PasswordAsked(Asked):
    """One's own password, as it was and as it is to be."""

    model_config = asked_like({"old": "four plain words here", "new": "four other words here"})

    old: Password
    new: Password


class PersonAnswer(Answer):
    """Somebody who may sign in."""

    model_config = like(_PERSON)

    name: str
    roles: list[HeldRole]
    way: Literal["password", "elsewhere"]
    locked: bool
    kept_out_until: str | None = Field(
        None, description="until when too many wrong passwords keep them out; null where none do"
    )
    made_at: str
    seen_at: str | None = Field(None, description="null for somebody who never was here")


class People(Answer):
    """Everybody with an account, by name."""

    model_config = like({"people": [_PERSON]})

    people: list[PersonAnswer]


class PersonAsked(Asked):
    """Somebody to be given an account."""

    model_config = asked_like({"name": "ada", "roles": ["scientist"], "password": None})

    name: ShortText
    roles: list[HeldRole] = Field(min_length=1, max_length=5)
    password: Password | None = Field(None, description="null where they sign in elsewhere")


class PersonChangeAsked(Asked):
    """What is to be another about an account; what is not named stays."""

    model_config = asked_like({"roles": ["lead"], "locked": False})

    roles: list[HeldRole] | None = Field(None, min_length=1, max_length=5)
    locked: bool | None = None
    password: Password | None = None


class TokenAnswer(Answer):
    """A token, without what it is known by."""

    model_config = like(_TOKEN)

    id: str
    title: str
    scope: Scope
    made_at: str
    ends_at: str
    seen_at: str | None = Field(None, description="null while it was never used")


class Tokens(Answer):
    """One's own tokens, the newest first."""

    model_config = like({"tokens": [_TOKEN]})

    tokens: list[TokenAnswer]


class TokenAsked(Asked):
    """A token to be made."""

    model_config = asked_like({"title": "desktop GIS", "scope": "read", "days": 90})

    title: ShortText
    scope: Scope
    days: Days


class TokenMade(TokenAnswer):
    """A token with its secret, told this once."""

    model_config = like({**_TOKEN, "secret": "mVx0…"})

    secret: str


class LinkAnswer(Answer):
    """A public link, without what it is known by."""

    model_config = like(_LINK)

    id: str
    case_id: str
    made_at: str
    by: str
    ends_at: str
    ended_at: str | None = Field(None, description="null while nobody ended it")


class Links(Answer):
    """The public links of a case, the newest first."""

    model_config = like({"links": [_LINK]})

    links: list[LinkAnswer]


class LinkAsked(Asked):
    """A link to be made."""

    model_config = asked_like({"days": 30})

    days: Days


class LinkMade(LinkAnswer):
    """A link with its address, told this once."""

    model_config = like({**_LINK, "address": "/shared/mVx0…"})

    address: str
