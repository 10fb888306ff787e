"""Nothing hidden leaves by the door for a GIS: not by a byte, not by what can be asked for."""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Visibility
from slackwater.desk.visibility import Viewer, of_contract, sees
from tests.catchment.small import Small
from tests.contracts.invented_views import client_of
from tests.contracts.seeded import METERED, Secrets, numbers_from, seeded_small, unlike, view_of

LAYERS = ("offtakes", "reaches", "gauges")
OFFTAKES = "/ogc/collections/offtakes/items"
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT[\d:.]+")
NOT_THE_LEAD = (Viewer.PUBLIC, Viewer.AGENCY)
RESULTS_FOR_THE_AGENCY = ("capital_money", "life_cycle_cost_money", "volume_m3_per_year")


def addresses(viewer: Viewer) -> list[str]:
    """Give every address of the door as one viewer asks it, and some that go wrong."""
    found = ["/ogc", "/ogc/conformance", "/ogc/api", "/ogc/collections"]
    for layer in LAYERS:
        found += [f"/ogc/collections/{layer}{below}" for below in ("", "/items", "/schema")]
    found += [f"{OFFTAKES}/{code}" for code in ("A", "B", "C", "none")]
    found += [f"{OFFTAKES}?bbox=10,50,10.05,51", f"{OFFTAKES}?quote=1", f"{OFFTAKES}?limit=x"]
    return [f"{each}{'&' if '?' in each else '?'}as={viewer.value}" for each in found]


def closed_to(viewer: Viewer) -> tuple[TestClient, Secrets]:
    """Plant a secret in every closed column; give a client, and all that is closed to a viewer."""
    of, planted = seeded_small()
    view = view_of(of)
    made = numbers_from(view)
    volume_m3 = (view.evaluation.volume_ml * 1000).tolist()
    made[Visibility.PRIVATE] += [volume_m3[row] for row in METERED]
    made[Visibility.AGENCY] += volume_m3
    hidden = [each for each in planted if not sees(viewer, each)]
    return client_of(view), Secrets(
        [text for each in hidden for text in planted[each].texts],
        [number for each in hidden for number in planted[each].numbers + unlike(made[each])],
        [flow for each in hidden for flow in planted[each].flows],
        [place for each in hidden for place in planted[each].places],
        [name for each in hidden for name in planted[each].columns],
    )


@pytest.mark.parametrize("viewer", NOT_THE_LEAD)
def test_no_secret_is_in_any_byte(viewer: Viewer) -> None:
    """W17, for this door: no closed text, no closed number in full or to 3-7 digits, no place of an
    intake and no key of a closed column is in any answer, error or header."""
    client, closed = closed_to(viewer)
    for address in addresses(viewer):
        answer = client.get(address)
        headers = {n: v for n, v in answer.headers.items() if n != "content-length"}
        told = MOMENT.sub("", f"{answer.text}\n{headers}")
        assert not [text for text in closed.texts if text in told], address
        assert not [name for name in closed.columns if f'"{name}"' in told], address
        assert not closed.found_in(told), address


def test_the_secrets_are_there_to_be_found() -> None:
    """The lead gets what the others do not: the search above can find something."""
    client, closed = closed_to(Viewer.PUBLIC)
    told = "".join(client.get(address).text for address in addresses(Viewer.LEAD))
    assert [text for text in closed.texts if text not in told] == []
    assert [name for name in closed.columns if f'"{name}"' not in told] == []
    planted = {*closed.places, *(each for each in closed.numbers if each < 1)}
    draws = {0.1123581, 0.1321345, 0.1728394}  # the daily draws are no column of a layer
    assert len(planted - draws - closed.found_in(told)) == 0


@pytest.mark.parametrize("viewer", NOT_THE_LEAD)
def test_a_hidden_column_is_refused_as_one_that_never_was(viewer: Viewer) -> None:
    """A value of a column that the viewer may not see cannot be asked for: word for word the answer
    to a name that nobody knows, but for the name itself."""
    client, _ = closed_to(viewer)
    unknown = client.get(OFFTAKES, params={"as": viewer.value, "never_was": "1"})
    assert unknown.status_code == 400
    hidden = [
        field.name
        for field in TABLES["offtakes"].fields
        if not sees(viewer, of_contract("offtakes", field.name))
    ]
    hidden += RESULTS_FOR_THE_AGENCY if viewer is Viewer.PUBLIC else ()
    assert len(hidden) >= 5
    for name in hidden:
        asked = client.get(OFFTAKES, params={"as": viewer.value, name: "1"})
        assert (asked.status_code, asked.text) == (400, unknown.text.replace("never_was", name)), (
            name
        )


def test_a_hidden_value_of_an_open_column_is_never_found() -> None:
    """What the agency may not see of one row - a quoted cost, a metered draw - it does not find by
    guessing right, though the lead does; nor does the public find who declined."""
    client, _ = closed_to(Viewer.AGENCY)
    guesses: list[tuple[Viewer, str, Any]] = []
    for feature in client.get(OFFTAKES).json()["features"]:
        told = feature["properties"]
        shown = client.get(f"{OFFTAKES}/{feature['id']}?as=agency").json()["properties"]
        guesses += [
            (Viewer.AGENCY, name, told[name])
            for name in (*RESULTS_FOR_THE_AGENCY, "capital_from_money", "capital_to_money")
            if told[name] is not None and shown[name] is None
        ]
    guesses.append((Viewer.PUBLIC, "status", "declined"))
    assert len({name for _, name, _ in guesses}) >= 5
    for viewer, name, value in guesses:
        right = client.get(OFFTAKES, params={name: str(value)}).json()
        assert right["numberMatched"] >= 1, name
        shown_rows = client.get(OFFTAKES, params={"as": viewer.value}).json()["features"]
        open_rows = [each["id"] for each in shown_rows if each["properties"][name] == value]
        asked = {"as": viewer.value, name: str(value)}
        found = client.get(OFFTAKES, params=asked).json()["features"]
        assert [each["id"] for each in found] == open_rows, name
        assert len(open_rows) < right["numberMatched"], name


@pytest.mark.parametrize("viewer", NOT_THE_LEAD)
def test_a_box_finds_an_offtake_where_it_is_shown(viewer: Viewer) -> None:
    """A small box about an intake finds it for the lead alone; about its mid-reach, for others."""
    client, _ = closed_to(viewer)
    for asked, other in ((Viewer.LEAD, viewer), (viewer, Viewer.LEAD)):
        for feature in client.get(OFFTAKES, params={"as": asked.value}).json()["features"]:
            lon, lat = feature["geometry"]["coordinates"]
            box = f"{lon - 1e-4},{lat - 1e-4},{lon + 1e-4},{lat + 1e-4}"
            found = {
                each: [f["id"] for f in client.get(
                    OFFTAKES, params={"as": each.value, "bbox": box}
                ).json()["features"]]
                for each in (asked, other)
            }  # fmt: skip
            assert found == {asked: [feature["id"]], other: []}


@pytest.mark.parametrize(
    ("row", "column", "value", "viewers"),
    [
        (1, "landholder", "Someone else", NOT_THE_LEAD),
        (1, "licence", "999", NOT_THE_LEAD),
        (1, "contact", "another", NOT_THE_LEAD),
        (1, "quote", "47111.25", NOT_THE_LEAD),
        (0, "wear_cost_year", "913.7", (Viewer.PUBLIC,)),
        (0, "pump_head_m", "33.3", (Viewer.PUBLIC,)),
        (0, "filter_cleaning_hours_month", "9", (Viewer.PUBLIC,)),
        (2, "status", "candidate", (Viewer.PUBLIC,)),
    ],
)
def test_another_secret_gives_the_same_answer(
    row: int, column: str, value: str, viewers: tuple[Viewer, ...]
) -> None:
    """Where a closed value changes, no answer of the door changes but in score and rank."""
    after = seeded_small()[0]
    after.set("offtakes", row, column, value)
    for viewer in viewers:
        assert shown_before(viewer) == shown(after, viewer)


@cache
def shown_before(viewer: Viewer) -> str:
    """Give all that a viewer is shown before anything changes."""
    return shown(seeded_small()[0], viewer)


def shown(of: Small, viewer: Viewer) -> str:
    """Give all that a viewer is shown but score, rank and the time."""
    client = client_of(view_of(of))
    told = {address: client.get(address).json() for address in addresses(viewer)}
    return json.dumps(without(told, {"score", "rank", "timeStamp"}), sort_keys=True)


def without(value: Any, hidden: set[str]) -> Any:
    """Give a JSON value without some keys, at any depth."""
    if isinstance(value, dict):
        return {key: without(each, hidden) for key, each in value.items() if key not in hidden}
    return [without(each, hidden) for each in value] if isinstance(value, list) else value
