"""How are people and tokens told on a terminal? A line each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any

from slackwater.desk.times import read_at


def person_text(person: Mapping[str, Any]) -> str:
    """Tell a person in a line."""
    roles = ", ".join(person["roles"])
    way = "" if person["way"] == "password" else "; signs in elsewhere"
    locked = "; locked" if person["locked"] else ""
    return f"{person['name']}: {roles}{way}{locked}{_kept_out(person['kept_out_until'])}"


def people_text(people: Sequence[Mapping[str, Any]]) -> str:
    """Tell everybody, a line each, with when they were last here."""
    if not people:
        return "nobody has an account; slackwater user add gives one"
    return "\n".join(f"{person_text(each)}; {_seen(each)}" for each in people)


def token_text(token: Mapping[str, Any]) -> str:
    """Tell a token in a line."""
    return (
        f"{token['id']}: {token['title']}; {token['scope']}; made {_day(token['made_at'])}, "
        f"holds until {_day(token['ends_at'])}; {_seen(token)}"
    )


def tokens_text(tokens: Sequence[Mapping[str, Any]]) -> str:
    """Tell all of somebody's tokens, a line each."""
    return "\n".join(map(token_text, tokens)) or "no tokens"


def _seen(what: Mapping[str, Any]) -> str:
    return f"last seen {_day(what['seen_at'])}" if what["seen_at"] else "never seen"


def _kept_out(until: str | None) -> str:
    """Tell until when wrong passwords keep somebody out, to the next whole minute."""
    if not until:
        return ""
    minute = read_at(until) + timedelta(minutes=1)
    return f"; kept out by wrong passwords until {minute:%Y-%m-%d %H:%M} UTC"


def _day(at: str) -> str:
    return at[:10]
