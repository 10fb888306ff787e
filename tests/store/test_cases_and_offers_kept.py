"""Cases keep their numbers and their data, offers every step; on both stores."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slackwater.errors import EditConflict, InputFaults, NotHere, Settled, UsageError
from slackwater.store import Change, Register, open_register
from tests.store.said import capacity, case, cell, check, edit, step


def test_a_case_keeps_its_data(url: str) -> None:
    """After later edits and a new start, a case and the data it rests on come back as saved."""
    first = open_register(url)
    version = first.standing().data_version
    saved = first.save_case(case(version))
    first.apply(edit(capacity(0.3, 0.35)), check)
    first.close()
    again = open_register(url)
    assert again.case(saved.id) == saved
    assert check(again.edition(version)) == version
    assert again.standing().data_version != version
    assert cell(again, "offtakes", "0012", "capacity_m3s") == 0.35
    again.close()


def test_a_case_may_rest_on_data_just_left(register: Register) -> None:
    """While a case is worked out others may edit; it is still saved on the data it saw."""
    version = register.standing().data_version
    register.apply(edit(capacity(0.3, 0.35)), check)
    saved = register.save_case(case(version))
    assert check(register.edition(saved.data_version)) == version


def test_data_that_was_pinned_is_there_for_good(url: str) -> None:
    """Pinned before long work, a version is there whatever happens, even in another program."""
    one, other = open_register(url), open_register(url)
    version = one.standing().data_version
    one.pin(version)
    one.apply(edit(capacity(0.3, 0.35)), check)
    assert other.save_case(case(version)).data_version == version
    with pytest.raises(NotHere):
        other.save_case(case("0123456789ab"))
    one.close()
    other.close()


def test_what_is_saved_never_changes(register: Register) -> None:
    """Saved again a case is the one that is kept; another under its id is refused."""
    version = register.standing().data_version
    saved = register.save_case(case(version))
    assert register.save_case(replace(saved, made_at="later", result={})) == saved
    with pytest.raises(Settled):
        register.save_case(replace(saved, trial={"budget": 6}))
    assert register.case(saved.id) == saved


def test_a_shared_case_stays(register: Register) -> None:
    """An unshared case can be taken away, a shared one cannot; sharing twice is sharing once."""
    version = register.standing().data_version
    kept, gone = register.save_case(case(version)), register.save_case(case(version))
    shared = register.share_case(kept.id, "2026-03-02T00:00:00+00:00")
    assert register.share_case(kept.id, "2026-03-03T00:00:00+00:00") == shared
    with pytest.raises(Settled):
        register.delete_case(kept.id)
    register.delete_case(gone.id)
    assert [each.id for each in register.cases()] == [kept.id]
    with pytest.raises(NotHere):
        register.share_case(gone.id, "2026-03-02T00:00:00+00:00")


def test_a_list_of_cases_is_light(register: Register) -> None:
    """A list holds each case's single values, newest first, not its rows."""
    version = register.standing().data_version
    old = register.save_case(case(version, made_at="2026-01-01T00:00:00+00:00"))
    new = register.save_case(case(version))
    assert [each.id for each in register.cases()] == [new.id, old.id]
    assert register.cases()[0].result == {"spent": 4}
    assert register.cases()[0].trial == {"budget": 5}


def test_steps_are_only_added(register: Register) -> None:
    """Steps come back in order as they were said; a repeat adds none, a changed one is refused."""
    first = step(committed=1250.5, works_approval="asked", words="by letter")
    second = step(step="note", on="2026-02-04")
    for each in (first, second, first):
        register.add_offer_step(each, None, check)
    register.add_offer_step(step("0013"), None, check)
    kept = register.offer_steps("0012")
    assert [replace(each, at="") for each in kept] == [first, second]
    assert all(each.at for each in kept)
    assert len(register.offer_steps()) == 3
    with pytest.raises(UsageError):
        register.add_offer_step(replace(first, words="by phone"), None, check)
    with pytest.raises(UsageError):
        register.add_offer_step(step("0099"), None, check)


def test_a_step_and_its_status_come_together(register: Register) -> None:
    """The status of the offtake changes with the step, or neither does."""
    offered = Change("offtakes", "0012", "status", None, "offered")
    said = step()
    status = edit(offered, kind="follow_up")
    done = register.add_offer_step(said, status, check)
    assert done is not None
    assert cell(register, "offtakes", "0012", "status") == "offered"
    again = register.add_offer_step(said, status, check)
    assert again is not None
    assert again.repeated
    with pytest.raises(EditConflict):
        register.add_offer_step(step(), edit(offered, kind="follow_up"), check)
    odd = Change("offtakes", "0012", "status", "offered", "promised")
    with pytest.raises(InputFaults):
        register.add_offer_step(step(), edit(odd, kind="follow_up"), check)
    assert len(register.offer_steps()) == 1
