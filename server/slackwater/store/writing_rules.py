"""What must every edit say before it is looked at?"""

from __future__ import annotations

from datetime import date
from uuid import UUID

from slackwater.catchment.contract.columns import BASIS
from slackwater.errors import UsageError
from slackwater.store.records import Edit

KINDS = ("edit", "import", "undo", "follow_up")


def require_sound_id(text: str) -> None:
    """Refuse an id that is no UUID as it is usually written.

    Raises
    ------
    UsageError
        Where it is something else.
    """
    try:
        sound = str(UUID(text)) == text
    except (ValueError, AttributeError, TypeError):
        sound = False
    if not sound:
        raise UsageError(f"an id is a UUID in small letters, not {str(text)[:60]!r}")


def require_sound_edit(edit: Edit) -> None:
    """Refuse an edit that does not say what every edit must.

    Raises
    ------
    UsageError
        With what is missing or wrong.
    """
    require_sound_id(edit.id)
    if not edit.why.strip():
        raise UsageError("say why: an edit without a reason is not kept")
    if not edit.by.strip():
        raise UsageError("say who makes the edit")
    if edit.kind not in KINDS:
        raise UsageError(f"an edit is one of {', '.join(KINDS)}, not {edit.kind!r}")
    if edit.basis and edit.basis not in BASIS:
        raise UsageError(f"a basis is one of {', '.join(BASIS)}, not {edit.basis!r}")
    if edit.observed_on:
        try:
            date.fromisoformat(edit.observed_on)
        except ValueError:
            raise UsageError("observed_on is a date as YYYY-MM-DD") from None
    if not edit.changes and edit.kind != "import":
        raise UsageError("the edit changes nothing")
    if any("\x00" in text for text in (edit.why, edit.by, edit.source)):
        raise UsageError("a text holds a character that no database keeps")
