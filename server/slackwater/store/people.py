"""Who has an account? People with their roles, looked up by name whatever its capitals."""

from __future__ import annotations

from dataclasses import dataclass, fields

from sqlalchemy import Connection, RowMapping, delete, insert, select, update

from slackwater.people.names import fault_of, key_of
from slackwater.people.roles import Role
from slackwater.store.people_schema import PEOPLE


@dataclass(frozen=True)
class Person:
    """Someone with an account.

    Attributes
    ----------
    name_key : what all spellings of the name have in common.
    password_hash : "" for someone who signs in elsewhere.
    locked_at, seen_at : ISO, UTC; "" for never.
    """

    name_key: str
    name: str
    roles: frozenset[Role]
    password_hash: str
    made_at: str
    made_by: str
    locked_at: str = ""
    seen_at: str = ""


COLUMNS = tuple(PEOPLE.c[each.name] for each in fields(Person))


def find_person(connection: Connection, name: str) -> Person | None:
    """Give the person of a name, in whatever capitals; None where there is none."""
    if fault_of(name):  # nobody is called that, and not every database would look for it
        return None
    asked = select(*COLUMNS).where(PEOPLE.c.name_key == key_of(name))
    row = connection.execute(asked).mappings().first()
    return None if row is None else person_of(row)


def all_people(connection: Connection) -> list[Person]:
    """Give everybody, by name."""
    rows = connection.execute(select(*COLUMNS).order_by(PEOPLE.c.name_key)).mappings()
    return [person_of(row) for row in rows]


def put_person(connection: Connection, person: Person) -> None:
    """Add a person, or write over the one of this name."""
    written = {column.name: getattr(person, column.name) for column in COLUMNS}
    written["roles"] = ",".join(sorted(person.roles))
    its = PEOPLE.c.name_key == person.name_key
    if not connection.execute(update(PEOPLE).where(its).values(**written)).rowcount:
        connection.execute(insert(PEOPLE), written)


def put_seen(connection: Connection, name_key: str, at: str) -> None:
    """Write down when a person was last here."""
    its = PEOPLE.c.name_key == name_key
    connection.execute(update(PEOPLE).where(its).values(seen_at=at))


def drop_person(connection: Connection, name_key: str) -> None:
    """Take a person away; whatever names them must be gone before."""
    connection.execute(delete(PEOPLE).where(PEOPLE.c.name_key == name_key))


def person_of(row: RowMapping) -> Person:
    """Give the person a row holds; other columns may stand beside."""
    values = {column.name: row[column.name] for column in COLUMNS}
    roles = frozenset(Role(role) for role in values["roles"].split(",") if role)
    return Person(**values | {"roles": roles})
