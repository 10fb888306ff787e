"""Who may do what: roles, and the least of them that a deed takes. It knows no web and no store."""

from slackwater.people.roles import ANYONE_MAY_HOLD, NOBODY, Caller, Least, Role, Scope

__all__ = ["ANYONE_MAY_HOLD", "NOBODY", "Caller", "Least", "Role", "Scope"]
