"""Who may look at a shared case without an account? Whoever holds a link that still holds."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import uuid4

from slackwater.desk.secret import digest_of, new_secret
from slackwater.desk.times import written_at
from slackwater.desk.tokens import ends_at
from slackwater.errors import NotHere, UsageError
from slackwater.store.case_links import CaseLink, add_link, end_link, find_link, links_of
from slackwater.store.cases import find_case
from slackwater.store.connected import Connected
from slackwater.store.writing_rules import require_sound_id

TOLD = ("id", "case_id", "made_at", "by", "ends_at", "ended_at")
GONE = "there is nothing here: this link was never made, was ended, or is past its time"


def told(link: CaseLink) -> dict[str, Any]:
    """Give what is told of a link; never what it is known by."""
    return {name: getattr(link, name) or None for name in TOLD}


def list_of(connected: Connected, case_id: str) -> list[dict[str, Any]]:
    """Give the links to a case, the newest first; NotHere where there is no such case."""
    _require_id(case_id, "there is no such case")
    with connected.reading() as connection:
        find_case(connection, case_id)
        return [told(link) for link in links_of(connection, case_id)]


def make(connected: Connected, case_id: str, days: int, by: str, now: datetime) -> dict[str, Any]:
    """Make a link to a shared case; its ``secret`` is told here and never again.

    Raises
    ------
    NotHere
        Where there is no such case.
    UsageError
        Where it is not shared: what may still be taken away is not shown to the world.
    """
    _require_id(case_id, "there is no such case")
    secret, ends = new_secret(), ends_at(days, now)
    link = CaseLink(str(uuid4()), case_id, digest_of(secret), written_at(now), by, ends)
    with connected.writing() as connection:
        if not find_case(connection, case_id).shared_at:
            raise UsageError("only a shared case has public links; share it first")
        add_link(connection, link)
    return {**told(link), "secret": secret}


def end(connected: Connected, link_id: str, now: datetime) -> None:
    """Revoke a link; NotHere where there is none of this id."""
    _require_id(link_id, "there is no such link")
    with connected.writing() as connection:
        if not end_link(connection, link_id, written_at(now)):
            raise NotHere("there is no such link")


def case_of(connected: Connected, secret: str, now: datetime) -> str:
    """Give the case a link leads to; NotHere, told alike, where it does not hold."""
    with connected.reading() as connection:
        link = find_link(connection, digest_of(secret))
    if link is None or link.ended_at or link.ends_at <= written_at(now):
        raise NotHere(GONE)
    return link.case_id


def _require_id(text: str, refusal: str) -> None:
    """Refuse as unknown what is no id at all: not every database would look for it."""
    try:
        require_sound_id(text)
    except UsageError:
        raise NotHere(refusal) from None
