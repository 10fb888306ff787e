"""Who may look at a case without an account? Links, found by the digest of their secret part."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sqlalchemy import Connection, insert, select, update

from slackwater.store.people_schema import CASE_LINKS


@dataclass(frozen=True)
class CaseLink:
    """A link to a shared case; times are ISO, UTC, ``ended_at`` is "" until it is revoked."""

    id: str
    case_id: str
    digest: str
    made_at: str
    by: str
    ends_at: str
    ended_at: str = ""


def find_link(connection: Connection, digest: str) -> CaseLink | None:
    """Give a link, whether it still holds or not; None where there never was one."""
    row = connection.execute(select(CASE_LINKS).where(CASE_LINKS.c.digest == digest)).mappings()
    found = row.first()
    return None if found is None else CaseLink(**found)


def links_of(connection: Connection, case_id: str) -> list[CaseLink]:
    """Give the links to a case, the newest first."""
    asked = select(CASE_LINKS).where(CASE_LINKS.c.case_id == case_id)
    asked = asked.order_by(CASE_LINKS.c.made_at.desc(), CASE_LINKS.c.id)
    return [CaseLink(**row) for row in connection.execute(asked).mappings()]


def add_link(connection: Connection, link: CaseLink) -> None:
    """Keep a new link."""
    connection.execute(insert(CASE_LINKS), asdict(link))


def end_link(connection: Connection, link_id: str, at: str) -> bool:
    """Revoke a link; one revoked before keeps its time. Whether there is such a link."""
    its = CASE_LINKS.c.id == link_id
    connection.execute(
        update(CASE_LINKS).where(its, CASE_LINKS.c.ended_at == "").values(ended_at=at)
    )
    return connection.execute(select(CASE_LINKS.c.id).where(its)).first() is not None
