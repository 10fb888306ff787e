"""How is an edit done, or a whole catchment taken in? Within one transaction, in one order.

Known already? What stands? Is it what the edit saw? Would the whole be without fault? Only then
is anything written: cells, where the database stands, and the history.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sqlalchemy import Connection

from slackwater.catchment.raw import RawCatchment
from slackwater.errors import Conflict, EditConflict
from slackwater.store import history
from slackwater.store.changing import changed
from slackwater.store.differences import summed_up
from slackwater.store.editions import packed
from slackwater.store.held import Held
from slackwater.store.records import SETTINGS, Done, Edit, Given, Past, Standing
from slackwater.store.rows import write_rows
from slackwater.store.standing import next_standing, put_relief, put_standing, replace_catchment
from slackwater.store.stored import StoredCatchment, of_given

Check = Callable[[RawCatchment], str]
"""Gives the data version of a catchment, or raises InputFaults."""


def apply_edit(
    connection: Connection, held: Held, edit: Edit, check: Check, *, dry_run: bool = False
) -> tuple[Done, StoredCatchment]:
    """Do an edit, see `Register.apply`; gives the data it led to as well."""
    content = history.content_of(edit)
    repeat = history.kept_already(connection, edit.id, content)
    standing, raw = held.present(connection)
    if repeat:
        return _done(repeat, standing), raw
    if edit.undoes:
        history.require_undoable(connection, edit.undoes)
    try:
        came = changed(raw, edit.changes)
    except EditConflict as conflict:
        told = history.with_writers(connection, conflict.conflicts)
        raise EditConflict(told) from conflict
    then = next_standing(standing, came.raw, check(came.raw))
    if dry_run:
        return Done(edit.id, 0, "", then), came.raw
    for name, touched in came.touched.items():
        write_rows(connection, came.raw.tables[name], touched)
    put_standing(connection, then, came.raw)
    seq = history.record_edit(connection, replace(edit, changes=came.changes), content, then)
    return Done(edit.id, seq, then.changed_at, then), came.raw


def take_in(
    connection: Connection,
    held: Held,
    given: Given,
    edit: Edit,
    check: Check,
    on_revision: int | None,
) -> tuple[Done, StoredCatchment]:
    """Put a catchment in place of what stands, see `Register.replace`."""
    after = of_given(given)
    content = history.content_of(edit, packed(after))
    repeat = history.kept_already(connection, edit.id, content)
    standing, before = held.present(connection)
    if repeat:
        return _done(repeat, standing), before
    _require_revision(connection, on_revision, standing)
    then = next_standing(standing, after, check(after))
    if standing.revision:
        held.keep(connection, standing.data_version)
    replace_catchment(connection, after)
    put_relief(connection, given.relief)
    put_standing(connection, then, after)
    changes = summed_up(before, after, first=not standing.revision)
    seq = history.record_edit(connection, replace(edit, changes=changes), content, then)
    return Done(edit.id, seq, then.changed_at, then), after


def _done(past: Past, standing: Standing) -> Done:
    """Answer an edit that was done before."""
    return Done(past.id, past.seq, past.at, standing, repeated=True)


def _require_revision(connection: Connection, seen: int | None, standing: Standing) -> None:
    """Refuse to replace what has gone on since it was looked at."""
    if seen is None or seen == standing.revision:
        return
    last = history.past_edits(connection, (), "", None, 1)
    by = last[0].by if last else ""
    raise EditConflict(
        [Conflict(SETTINGS, "", "revision", seen, standing.revision, by, standing.changed_at)]
    )
