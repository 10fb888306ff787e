"""Which cases go to a GIS? The heads of the shared ones for the agency, of all for the lead."""

from __future__ import annotations

from typing import Any

from slackwater.catchment.fields import Visibility
from slackwater.desk.case_access import spent_told
from slackwater.desk.cases import head_of
from slackwater.desk.features.layer import (
    Layer,
    Offered,
    Told,
    Value,
    no_places,
    plain,
    shown_layer,
)
from slackwater.desk.visibility import Column, Viewer, sees
from slackwater.store import Register

AGENCY, PRIVATE = Visibility.AGENCY, Visibility.PRIVATE

HEAD: tuple[tuple[Told, str, Visibility], ...] = (
    (Told("id", Value.TEXT, "the case's id"), "id", AGENCY),
    (Told("name", Value.TEXT, "the case's name"), "name", AGENCY),
    (Told("note", Value.TEXT, "what was written with it"), "note", PRIVATE),
    (Told("made_at", Value.TEXT, "when it was saved, UTC"), "made_at", AGENCY),
    (Told("by", Value.TEXT, "who saved it"), "by", AGENCY),
    (Told("shared_at", Value.TEXT, "when it was shared, UTC"), "shared_at", AGENCY),
    (Told("way", Value.TEXT, "score: by score; best: the best set"), "way", AGENCY),
    (Told("budget_money", Value.NUMBER, "what it may spend", "money"), "budget", AGENCY),
    (Told("spent_money", Value.NUMBER, "what it spends", "money"), "spent", PRIVATE),
    (
        Told("spent_money", Value.NUMBER, "what it spends, to three figures", "money"),
        "spent_told",
        AGENCY,
    ),
    (Told("count", Value.WHOLE, "offtakes inside the budget"), "inside_count", AGENCY),
    (Told("data_version", Value.TEXT, "version of the data it rests on"), "data_version", AGENCY),
)
"""What is told of a case, where it stands in its head, and who may see it."""


def may_see_cases(viewer: Viewer) -> bool:
    """Whether cases are there at all for a viewer."""
    return sees(viewer, AGENCY)


def cases_layer(register: Register, viewer: Viewer) -> Layer:
    """Give the heads of the cases a viewer may see, the newest first; a case stands nowhere."""
    present = register.standing().data_version
    cases = [
        {**(head := head_of(case, present)), "spent_told": spent_told(head["spent"])}
        for case in register.cases()
        if case.shared_at or sees(viewer, PRIVATE)
    ]
    offered = [
        Offered(told, Column(told.name, _values([each[name] for each in cases], told), audience))
        for told, name, audience in HEAD
    ]
    return shown_layer(
        "cases",
        ("Cases", "Saved trials of weights and budget; they have no place on the map."),
        offered,
        [each["id"] for each in cases],
        no_places(len(cases)),
        viewer,
    )


def _values(values: list[Any], told: Told) -> list[Any]:
    return [int(value) for value in values] if told.value is Value.WHOLE else plain(values)
