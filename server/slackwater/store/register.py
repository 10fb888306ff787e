"""The working database of one catchment: what stands, what was done, and cases and offers."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import replace
from pathlib import Path

from sqlalchemy import Connection

from slackwater.errors import UsageError
from slackwater.store import cases, history, offers
from slackwater.store.backup import write_backup
from slackwater.store.connected import Connected
from slackwater.store.differences import differences
from slackwater.store.editing import Check, apply_edit, take_in
from slackwater.store.held import Held
from slackwater.store.records import (
    Case,
    Difference,
    Done,
    Edit,
    Given,
    OfferStep,
    Past,
    Relief,
    Standing,
)
from slackwater.store.standing import now, read_relief, read_standing
from slackwater.store.stored import StoredCatchment, of_given
from slackwater.store.writing_rules import require_sound_edit, require_sound_id


class Register:
    """A database, opened by `slackwater.store.open_register`; may be used from many threads.

    Every write is one transaction that waits its turn, and is on disk when the method returns.
    Every method raises ``StoreFailed`` where the database cannot be reached and ``Busy`` where
    others keep it locked.
    """

    def __init__(self, connected: Connected) -> None:
        self.connected = connected
        self._held = Held()

    def standing(self) -> Standing:
        """Say where the database stands."""
        with self.connected.reading() as connection:
            return read_standing(connection)

    def raw(self) -> StoredCatchment:
        """Give the present data."""
        return self.present()[1]

    def present(self) -> tuple[Standing, StoredCatchment]:
        """Give where the database stands, and its data, of one moment."""
        with self.connected.reading() as connection:
            return self._held.present(connection)

    def relief(self) -> Relief | None:
        """Give the picture of the relief, None where there is none."""
        with self.connected.reading() as connection:
            return read_relief(connection)

    def apply(self, edit: Edit, check: Check, *, dry_run: bool = False) -> Done:
        """Do an edit, once; ``dry_run`` only says whether it could be done.

        Raises
        ------
        EditConflict
            Where a value is not what the edit took it to be; all are told.
        InputFaults
            Where the catchment would be at fault.
        UsageError
            Where a table, column or row is unknown, or the id stands for another edit.
        Settled
            Where it would undo what was undone already.
        """
        require_sound_edit(edit)
        if dry_run:
            with self.connected.reading() as connection:
                return apply_edit(connection, self._held, edit, check, dry_run=True)[0]
        with self.connected.writing() as connection:
            done, after = apply_edit(connection, self._held, edit, check)
        self._held.put(done.standing, after)
        return done

    def apply_with(self, edit: Edit, check: Check, also: Callable[[Connection], None]) -> Done:
        """Do an edit as `apply` does and, in the same moment, what belongs to it.

        Parameters
        ----------
        also : done in the edit's transaction; where it raises, nothing is written. Not done again
            for an edit that was kept before.
        """
        require_sound_edit(edit)
        with self.connected.writing() as connection:
            done, after = apply_edit(connection, self._held, edit, check)
            if not done.repeated:
                also(connection)
        self._held.put(done.standing, after)
        return done

    def replace(
        self,
        given: Given,
        check: Check,
        *,
        edit_id: str,
        why: str,
        by: str = "lead",
        source: str = "",
        on_revision: int | None = None,
    ) -> Done:
        """Put another catchment in place of what stands, which is kept as an edition.

        A picture of the relief stays where none is given.

        Raises
        ------
        EditConflict
            Where ``on_revision`` is given and the database has gone on since.
        InputFaults, UsageError
            As `apply`.
        """
        edit = Edit(edit_id, (), why, by, source=source, kind="import")
        require_sound_edit(edit)
        with self.connected.writing() as connection:
            done, after = take_in(connection, self._held, given, edit, check, on_revision)
        self._held.put(done.standing, after)
        return done

    def difference(self, given: Given) -> dict[str, Difference]:
        """Say how the tables would differ if this took the place of what stands.

        Tables that would not differ are left out; ``catchment`` stands for the settings and
        ``relief`` for its picture.
        """
        found = differences(self.raw(), of_given(given))
        if given.relief not in (None, self.relief()):
            found["relief"] = Difference(0, 0, 1, ())
        return found

    def history(
        self,
        *,
        table: str = "",
        key: str = "",
        before_seq: int | None = None,
        limit: int = 50,
        among: Collection[str] = (),
    ) -> list[Past]:
        """Give edits, newest first, with at most 50 changes each.

        Parameters
        ----------
        table, key : only edits of this table, or row, and only their changes of it.
        before_seq : only edits before this one.
        among : where no table is named, only edits of these, and only their changes of them.
        """
        tables = (table,) if table else among
        with self.connected.reading() as connection:
            return history.past_edits(connection, tables, key, before_seq, limit)

    def touched_others(self, seqs: Iterable[int], tables: Collection[str]) -> set[int]:
        """Give which of some edits touched any table but these."""
        with self.connected.reading() as connection:
            return history.touched_others(connection, seqs, tables)

    def edit(self, edit_id: str) -> Past | None:
        """Give an edit with all its changes, None where there is none."""
        with self.connected.reading() as connection:
            return history.past_edit(connection, edit_id)

    def written_last(self, table: str, key: str) -> dict[str, Past]:
        """Give, column by column, the edit that wrote a row's cell last, without its changes."""
        with self.connected.reading() as connection:
            return history.written_last(connection, table, key)

    def writes(self, table: str, key: str) -> list[tuple[str, Past]]:
        """Give each writing of a row's cell in order, as its column and its edit."""
        with self.connected.reading() as connection:
            return history.writes_of_row(connection, table, key)

    def first_revision_of(self, data_version: str) -> int:
        """Give the first revision that had this data version; 0 where none did."""
        with self.connected.reading() as connection:
            return history.first_revision_of(connection, data_version)

    def edition(self, data_version: str) -> StoredCatchment:
        """Give the data of a version: the present one, or one that was kept.

        Raises
        ------
        NotHere
            Where it was not kept.
        """
        with self.connected.reading() as connection:
            return self._held.edition(connection, data_version)

    def pin(self, data_version: str) -> None:
        """Keep the data of a version as long as there is the database; NotHere where it is gone."""
        with self.connected.writing() as connection:
            self._held.keep(connection, data_version)

    def save_case(self, case: Case) -> Case:
        """Keep a case, once, and the data it rests on; gives the one that is kept.

        Raises
        ------
        Settled
            Where another case has its id.
        NotHere
            Where the data it rests on is gone.
        """
        require_sound_id(case.id)
        with self.connected.writing() as connection:
            self._held.keep(connection, case.data_version)
            return cases.put_case(connection, case)

    def case(self, case_id: str) -> Case:
        """Give a case; NotHere where there is none."""
        with self.connected.reading() as connection:
            return cases.find_case(connection, case_id)

    def data_version_of(self, case_id: str) -> str:
        """Give the data version a case rests on; NotHere where there is none."""
        with self.connected.reading() as connection:
            return cases.data_version_of(connection, case_id)

    def shared_at_of(self, case_id: str) -> str:
        """Give when a case was shared, "" where it was not; NotHere where there is none."""
        with self.connected.reading() as connection:
            return cases.shared_at_of(connection, case_id)

    def cases(self) -> list[Case]:
        """Give every case, the newest first; of its result only what is a single value."""
        with self.connected.reading() as connection:
            return cases.all_cases(connection)

    def share_case(self, case_id: str, at: str) -> Case:
        """Share a case for good; NotHere where there is none."""
        with self.connected.writing() as connection:
            return cases.share(connection, case_id, at)

    def delete_case(self, case_id: str) -> None:
        """Take a case away; Settled where it was shared, NotHere where there is none."""
        with self.connected.writing() as connection:
            cases.drop_case(connection, case_id)

    def add_offer_step(
        self, step: OfferStep, status_edit: Edit | None, check: Check
    ) -> Done | None:
        """Add a step of an offer and, in the same moment, the edit of the offtake's status.

        Raises
        ------
        UsageError
            Where there is no such offtake, or the id stands for another step.
        EditConflict, InputFaults, Settled
            As `apply`, for the edit.
        """
        require_sound_id(step.id)
        if status_edit:
            require_sound_edit(status_edit)
        with self.connected.writing() as connection:
            if not offers.is_repeat(connection, step):
                _, present = self._held.present(connection)
                if step.code not in present.tables["offtakes"].cells["offtake_id"]:
                    raise UsageError(f"there is no offtake {step.code!r}")
                offers.add_step(connection, replace(step, at=step.at or now()))
            if status_edit is None:
                return None
            done, after = apply_edit(connection, self._held, status_edit, check)
        self._held.put(done.standing, after)
        return done

    def offer_steps(self, code: str = "") -> list[OfferStep]:
        """Give the steps of one offtake, or of all, oldest first."""
        with self.connected.reading() as connection:
            return offers.steps_of(connection, code)

    def backup(self, path: Path) -> Standing:
        """Write all there is at this moment into one new file; see `write_backup`."""
        return write_backup(self.connected, path)

    def close(self) -> None:
        """Let go of the database."""
        self.connected.close()
