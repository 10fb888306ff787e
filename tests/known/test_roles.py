"""Which role suffices for what, said role by role."""

from __future__ import annotations

from itertools import combinations

import pytest

from slackwater.catchment.contract import TABLES
from slackwater.people.roles import ANYONE_MAY_HOLD, NOBODY, Caller, Least, Role, Scope

DOORS = {"anyone", "a meeting's code", "a meeting's key"}
"""What no role is asked for: a code or a key is, where it says so."""
MAY = {
    # role: what it reaches, of the house's design
    Role.PUBLIC: {*DOORS, "public"},
    Role.VIEWER: {*DOORS, "public", "signed in", "viewer"},
    Role.FIELD: {*DOORS, "public", "signed in", "viewer", "field"},
    Role.SCIENTIST: {*DOORS, "public", "signed in", "viewer", "scientist"},
    Role.LEAD: {*DOORS, "public", "signed in", "viewer", "field", "scientist", "lead"},
    Role.ADMIN: {*DOORS, "public", "signed in", "admin"},
}
EVERY_SET = [frozenset(held) for size in range(len(Role) + 1) for held in combinations(Role, size)]


def reached(held: frozenset[Role]) -> set[Least]:
    """Give what somebody with these roles may."""
    return {least for least in Least if Caller("x", held).may(least)}


@pytest.mark.parametrize("role", Role)
def test_a_role_suffices_for_what_the_design_says(role: Role) -> None:
    """A lead looks after no people, an admin sees no landholder; a lead may do a field's work."""
    assert {least.value for least in Least if Caller("x", frozenset({role})).may(least)} == MAY[
        role
    ]


def test_nobody_sees_nothing_of_the_catchment() -> None:
    """Without any role only what tells nothing is open."""
    assert {least.value for least in Least if NOBODY.may(least)} == DOORS


def test_nobody_is_given_the_public_s_role() -> None:
    """It is that of whoever has no account."""
    assert {role.value for role in ANYONE_MAY_HOLD} == {
        "viewer", "field", "scientist", "lead", "admin"}  # fmt: skip


def test_roles_add_up() -> None:
    """Over all sets of roles: several may do what one of them may, and no more."""
    for held in EVERY_SET:
        singly = {
            least for role in held for least in Least if Caller("x", frozenset({role})).may(least)
        }
        assert {least for least in Least if Caller("x", held).may(least)} == singly | {
            Least(door) for door in DOORS
        }


def test_a_scientist_edits_the_biology_alone() -> None:
    """Guilds, production, options and what they keep out; a lead edits every table."""
    scientist, lead = (Caller("x", frozenset({role})) for role in (Role.SCIENTIST, Role.LEAD))
    assert {name for name in TABLES if scientist.may_edit(name)} == {
        "guilds", "production", "options", "efficacy"}  # fmt: skip
    assert all(lead.may_edit(name) for name in (*TABLES, "catchment"))
    for role in set(Role) - {Role.SCIENTIST, Role.LEAD}:
        assert not any(Caller("x", frozenset({role})).may_edit(name) for name in TABLES)


def test_a_token_never_widens() -> None:
    """Over all sets of roles and scopes: what a token may, its owner or the public may too."""
    public = Caller("", frozenset({Role.PUBLIC}))
    for held in EVERY_SET:
        owner = Caller("x", held)
        for scope in Scope:
            narrowed = owner.within(scope)
            assert narrowed.name == "x"
            assert narrowed.may_write == (scope is Scope.ALL)
            wide = public if scope is Scope.PUBLIC else owner
            assert all(wide.may(least) for least in Least if narrowed.may(least))
            assert not narrowed.within(Scope.READ).within(Scope.ALL).may_write
