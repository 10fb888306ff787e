"""Knowing the id of somebody else's thing opens nothing; all that is not one's own is told alike.

Source: OWASP ASVS 4.0.3, 4.1.2, 4.2.1 (ids of others), 4.1.3 (no more roles than were given).
"""

from __future__ import annotations

from typing import Any

import pytest

from slackwater.people.roles import Role
from tests.contracts.private.agency import Agency
from tests.contracts.private.every_route import bodies
from tests.contracts.small_register import new_id

NOT_LEADS = [Role.PUBLIC, Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.ADMIN]
pytestmark = pytest.mark.usefixtures("unhurried")


def told(answer: Any, *ids: str) -> tuple[int, str]:
    """Status and words, the ids that were asked for taken out."""
    text = answer.text
    for each in ids:
        text = text.replace(each, "ID")
    return answer.status_code, text


@pytest.mark.parametrize("role", NOT_LEADS, ids=str)
def test_an_unshared_case_is_told_as_one_that_never_was(served: Agency, role: Role) -> None:
    """Its page, its data beneath any view, its feature: word for word as for an id of nobody."""
    browser, never = served.service.caller(role), new_id()
    ours = served.ids["case_id"][0]
    for where in ("/print/fund/{}", "/api/offtakes?case={}", "/api/losses?case={}",
                  "/api/offtakes/A/why?case={}", "/api/catchment?case={}", "/api/cases/{}",
                  "/api/relief.png?case={}", "/files/{}.html", "/files/{}.xlsx", "/shared/{}",
                  "/ogc/collections/cases/items/{}", "/api/findings?case={}"):  # fmt: skip
        one, other = browser.get(where.format(ours)), browser.get(where.format(never))
        assert told(one, ours) == told(other, never), where
        assert one.status_code in (401, 403, 404), where


def test_another_officer_s_run_notes_and_photo_are_not_there(served: Agency) -> None:
    """Each route with a run, a note or a photo, by the ids of somebody else."""
    browser, never = served.service.caller(Role.FIELD), new_id()
    own, theirs = served.ids["run_id"]
    photo, note = served.ids["photo_id"][0], served.ids["note_id"][2]
    assert browser.get(f"/api/runs/{own}/pack").status_code == 200
    paths = {route.path for route in served.service.app.routes if "{run_id}" in route.path}
    asked = [(path.replace("{run_id}", "{}"), theirs) for path in paths]
    asked += [("/api/notes?run={}", theirs), ("/api/photos/{}", photo)]
    for where, its in asked:
        one, other = browser.get(where.format(its)), browser.get(where.format(never))
        assert told(one, its) == told(other, never), where
        assert one.status_code in (403, 404, 405), where
    kind = {"Content-Type": "image/jpeg"}
    sent = browser.put(f"/api/photos/{new_id()}?note={note}", content=b"\xff\xd8", headers=kind)
    assert sent.status_code == 404


def test_another_s_token_and_link_cannot_be_ended(served: Agency) -> None:
    """By their id, nor by their secret; the same words as for what never was."""
    token, link = served.ids["token_id"][0], served.ids["link_id"][0]
    for role in (Role.VIEWER, Role.SCIENTIST, Role.LEAD):
        browser, never = served.service.caller(role), new_id()
        one, other = (browser.delete(f"/api/tokens/{each}") for each in (token, never))
        assert told(one, token) == told(other, never)
        assert one.status_code == 404
    for role in (Role.VIEWER, Role.FIELD, Role.SCIENTIST, Role.ADMIN):
        assert served.service.caller(role).delete(f"/api/links/{link}").status_code == 403
    assert [each["id"] for each in served.service.accounts.tokens_of("admin person")] == [token]
    secret = served.ids["secret"][0]
    assert served.service.browser().get(f"/shared/{secret}").status_code == 200


def test_work_and_uploads_of_the_lead_are_the_lead_s(served: Agency) -> None:
    """Whoever learns their ids neither looks, stops, accepts nor forgets; a scientist sends no
    file."""
    lead = served.service.caller(Role.LEAD)
    work = lead.post("/api/curve", json=bodies(served)["POST", "/api/curve"]).json()["id"]
    body = {"id": new_id(), "why": "w"}
    for role in NOT_LEADS:
        browser = served.service.caller(role)
        assert browser.get(f"/api/work/{work}").status_code == 403
        assert browser.delete(f"/api/work/{work}").status_code == 403
        upload = f"/api/uploads/{new_id()}"
        assert browser.post(f"{upload}/accept", json=body).status_code == 403
        assert browser.delete(upload).status_code == 403
        sent = browser.post("/api/uploads?name=a.gpkg", content=b"SQLite format 3\x00")
        assert sent.status_code == 403
    assert lead.get(f"/api/work/{work}?wait_s=5").status_code == 200
    lead.delete(f"/api/work/{work}")


def test_a_scientist_s_edit_reaches_biology_alone(served: Agency) -> None:
    """Not by another spelling of a table, not by one change among many, not by undoing a lead's
    edit, not by pasting, not by a case of the name."""
    scientist = served.service.caller(Role.SCIENTIST)
    fine = {"table": "guilds", "key": "perch", "column": "species", "old": "cod", "new": "eel"}
    before = served.service.working.register.standing()
    for table in ("offtakes", "OFFTAKES", " offtakes", "offtakes ", "metered", "prices", "reaches",
                  "guilds; offtakes", "people", "tokens", "catchment",
                  "guilds/../offtakes"):  # fmt: skip
        change = {"table": table, "key": "A", "column": "label", "old": None, "new": "x"}
        for changes in ([change], [fine, change], [change, fine]):
            body = {"id": new_id(), "changes": changes, "why": "w"}
            answer = scientist.post("/api/edits", json=body)
            assert answer.status_code in (400, 403, 404), (table, answer.text)
        assert scientist.get(f"/api/rows/{table}/A").status_code in (403, 404)
        text = "offtake_id\tlabel\nA\tx\n"
        paste = scientist.post("/api/paste", json={"table": table, "text": text})
        assert paste.status_code in (400, 403, 404), table
    undo = scientist.post(f"/api/edits/{served.ids['edit_id'][1]}/undo",
                          json={"id": new_id(), "why": "w"})  # fmt: skip
    assert undo.status_code in (403, 404)
    assert served.service.working.register.standing() == before


@pytest.mark.parametrize("role", [*NOT_LEADS, Role.LEAD], ids=str)
def test_nobody_gives_themselves_a_role(served: Agency, role: Role) -> None:
    """By fields nobody named, by their own name, by a body or a query that says who one is."""
    browser = served.service.caller(role)
    if role is Role.ADMIN:
        browser = served.service.token(Role.ADMIN, "all")  # a token, which others may hold
    before = browser.me()["roles"]
    name = f"{role.value} person"
    for path in (
        f"/api/people/{name}",
        "/api/people",
        "/api/password",
        "/api/sign-in",
        "/api/tokens",
    ):
        body = {"name": name, "roles": ["lead", "admin"], "scope": "all", "is_admin": True,
                "password": "otters under the bridge", "old": "",
                "new": "otters in the weeds"}  # fmt: skip
        answer = browser.post(f"{path}?roles=admin&role=lead&as=lead", json=body)
        assert answer.status_code in (400, 401, 403), (path, answer.text)
    assert browser.me()["roles"] == before
    headers = {"X-Role": "lead", "X-User": "lead person", "Remote-User": "lead person",
               "X-Forwarded-User": "lead person", "X-Signed-In-As": "lead person"}  # fmt: skip
    assert browser.get("/api/me", headers=headers).json()["roles"] == before


def test_who_did_something_is_who_is_signed_in(served: Agency) -> None:
    """Whatever a body says of who it was, the history has the account's name."""
    lead = served.service.caller(Role.LEAD)
    offer = {"id": new_id(), "code": "A", "step": "note", "on": "2026-01-06", "by": "admin person"}
    steps = lead.post("/api/offers", json=offer).json()["offer"]["steps"]
    assert {each["by"] for each in steps} == {"lead person"}
