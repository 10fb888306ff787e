"""Which roles are there, and which of them suffice for what?

A person holds one or more roles; what they allow adds up. No role contains ``admin``, and ``admin``
contains no other: who looks after the service sees no landholder by that alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """What somebody is to the service."""

    PUBLIC = "public"
    VIEWER = "viewer"
    FIELD = "field"
    SCIENTIST = "scientist"
    LEAD = "lead"
    ADMIN = "admin"


ANYONE_MAY_HOLD = frozenset(Role) - {Role.PUBLIC}
"""Roles a person can be given; the public is whoever has no account."""


class Least(StrEnum):
    """The least that an address asks of whoever calls it."""

    ANYONE = "anyone"  # nothing of the catchment is told there
    MEETING = "a meeting's code"  # public facts of one shared case, for whoever has the code
    FACILITATOR = "a meeting's key"
    PUBLIC = "public"
    SIGNED_IN = "signed in"
    VIEWER = "viewer"
    FIELD = "field"
    SCIENTIST = "scientist"
    LEAD = "lead"
    ADMIN = "admin"


_SUFFICE: dict[Least, frozenset[Role]] = {
    Least.PUBLIC: frozenset(Role),
    Least.SIGNED_IN: ANYONE_MAY_HOLD,
    Least.VIEWER: frozenset({Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.LEAD}),
    Least.FIELD: frozenset({Role.FIELD, Role.LEAD}),
    Least.SCIENTIST: frozenset({Role.SCIENTIST, Role.LEAD}),
    Least.LEAD: frozenset({Role.LEAD}),
    Least.ADMIN: frozenset({Role.ADMIN}),
}

BY_WHAT_IS_HELD = frozenset({Least.MEETING, Least.FACILITATOR})
"""No role counts there, nor who somebody is: a meeting asks for its code, and for its key."""
NO_ROLE = BY_WHAT_IS_HELD | {Least.ANYONE}

BIOLOGY = frozenset({"guilds", "production", "options", "efficacy"})
"""Tables a scientist may edit: the biology and the screens."""


class Scope(StrEnum):
    """What a token may do of what its owner may."""

    PUBLIC = "public"  # read what the public may see
    READ = "read"
    ALL = "all"


@dataclass(frozen=True)
class Caller:
    """Whoever sends a request.

    Attributes
    ----------
    name : the account's name; "" where there is none.
    roles : empty for someone who may see nothing of the catchment.
    may_write : False for a token that only reads.
    """

    name: str
    roles: frozenset[Role]
    may_write: bool = True

    def may(self, least: Least) -> bool:
        """Whether one of the roles suffices."""
        return least in NO_ROLE or not self.roles.isdisjoint(_SUFFICE[least])

    def may_edit(self, table: str) -> bool:
        """Whether rows of a table are this caller's to edit."""
        return self.may(Least.LEAD) or (self.may(Least.SCIENTIST) and table in BIOLOGY)

    def within(self, scope: Scope) -> Caller:
        """Give the caller as narrow as a token makes them."""
        roles = frozenset({Role.PUBLIC}) if scope is Scope.PUBLIC else self.roles
        return Caller(self.name, roles, self.may_write and scope is Scope.ALL)


NOBODY = Caller("", frozenset())
"""Someone without an account, where the map is not open to the public."""
