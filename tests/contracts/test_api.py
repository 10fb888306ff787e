"""The web door keeps its word: typed answers, one shape of error, nothing to the wrong eyes."""

from __future__ import annotations

import itertools
import socket
from typing import Any

import pytest
import shapely
from starlette.testclient import TestClient

from slackwater.api import answers
from slackwater.api.app import create_app
from slackwater.api.entry import Entry
from slackwater.api.errors import status_of
from slackwater.api.listening import address_of, listen, outer_name
from slackwater.desk.map_view import MapView, Relief
from slackwater.desk.showing import AsRead
from slackwater.errors import Cancelled, Finding, InputFaults, NoSetPossible, UsageError
from tests.contracts.small_view import QUOTE, SECRETS, small_view

DATA = ["catchment", "reaches", "offtakes", "places", "land", "roads", "losses", "findings",
        "guide"]  # fmt: skip
HERE = "http://127.0.0.1:8765"
PNG = b"\x89PNG\r\n\x1a\nnot much of a picture"
PICTURES = (
    "/api/relief.png", "/api/photos/{photo_id}", "/api/meet/{meeting_code}/qr.svg",
    "/api/meet/{meeting_code}/news",
)  # fmt: skip


@pytest.fixture(scope="module")
def view() -> MapView:
    return small_view(Relief(PNG, (10.0, 49.9, 10.3, 50.1)))


@pytest.fixture(scope="module")
def client(view: MapView) -> TestClient:
    return TestClient(create_app(AsRead(view)), base_url=HERE, raise_server_exceptions=False)


def get(client: TestClient, name: str, viewer: str = "lead") -> dict[str, Any]:
    answer = client.get(f"/api/{name}", params={"as": viewer})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_facts_say_name_versions_years_and_bounds(client: TestClient, view: MapView) -> None:
    """What the page needs to know of a catchment comes in one answer."""
    facts = get(client, "catchment")
    assert facts["name"] == "Small river"
    assert facts["data_version"] == view.catchment.data_version
    assert (facts["years"], facts["currency"]) == ([2019], "CDL")
    assert [guild["name"] for guild in facts["guilds"]] == ["Perch", "Bream"]
    assert sum(facts["weights"].values()) == 1000
    west, south, east, north = facts["bounds"]
    assert (west, south) < (10.0, 49.97)
    assert (east, north) > (10.3, 50.02)


def test_offtakes_come_as_columns_of_one_length_in_the_servers_order(
    client: TestClient, view: MapView
) -> None:
    """Every column has a value an offtake, and ranks and scores are the evaluation's."""
    offtakes = get(client, "offtakes")
    columns = {name: value for name, value in offtakes.items() if isinstance(value, list)}
    columns.pop("options")
    assert {len(values) for values in columns.values()} == {offtakes["count"]} == {3}
    assert offtakes["rank"] == view.evaluation.ranking.rank.tolist()
    assert [s / 1e9 for s in offtakes["score"]] == view.evaluation.ranking.score.tolist()
    assert sorted(offtakes["tie_order"]) == [0, 1, 2]
    assert sum(offtakes["loss_share"]) == pytest.approx(1e6, abs=3)


def test_the_score_is_its_parts_to_the_last_place(client: TestClient) -> None:
    """Criteria in millionths by weights in thousandths add up to the score in billionths."""
    weights, offtakes = get(client, "catchment")["weights"], get(client, "offtakes")
    for row, score in enumerate(offtakes["score"]):
        assert score == sum(weight * offtakes[name][row] for name, weight in weights.items())


def test_lines_travel_as_steps_that_add_up_to_their_places(
    client: TestClient, view: MapView
) -> None:
    """Running totals of the steps are the river's own coordinates to 1e-5 degree."""
    reaches = get(client, "reaches")
    lon, lat = (list(itertools.accumulate(reaches[axis])) for axis in ("lon", "lat"))
    lines = view.catchment.table("reaches").geometry
    assert lines is not None
    told = shapely.get_coordinates(lines)
    assert [x / 1e5 for x in lon] == pytest.approx(told[:, 0].tolist(), abs=5.1e-6)
    assert [y / 1e5 for y in lat] == pytest.approx(told[:, 1].tolist(), abs=5.1e-6)
    assert reaches["points"] == shapely.get_num_coordinates(lines).tolist()


def test_a_reachs_width_follows_its_mean_flow(client: TestClient, view: MapView) -> None:
    """The flow sent for drawing is the gauge's mean times the reach's scale."""
    means, scale = view.catchment.records.mean_flow_m3s(), view.catchment.flow_scale
    gauges = [0, 1, 0, 0, 0]
    expected = [means[gauge] * scale[reach] for reach, gauge in enumerate(gauges)]
    assert get(client, "reaches")["mean_flow_m3s"] == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("viewer", ["public", "agency", "lead"])
def test_no_secret_is_in_any_byte_of_any_answer(client: TestClient, viewer: str) -> None:
    """Landholder, licence and contact are sent to nobody: this page has no use for them."""
    for name in [*DATA, "openapi.json"]:
        answer = client.get(f"/api/{name}", params={"as": viewer})
        for secret in SECRETS.values():
            assert secret not in answer.text
            assert secret not in str(answer.headers)


def test_the_public_gets_no_private_or_agency_column(client: TestClient) -> None:
    """Capacity, volume, exact cost and what gives it away stay inside; codes and ranks go out."""
    public = get(client, "offtakes", "public")
    inside = {"capacity_m3s", "volume_ml", "capital", "life_cycle_cost", "cost", "gain_adults"}
    assert not inside & public.keys()
    assert "gain_per_1000" not in public
    assert public["offtake_id"] == ["A", "B", "C"]
    assert QUOTE not in client.get("/api/offtakes?as=public").text


def test_the_public_sees_an_offtake_at_the_middle_of_its_reach(
    client: TestClient, view: MapView
) -> None:
    """The lead sees the intake itself, the public the middle of the reach."""
    public, lead = get(client, "offtakes", "public"), get(client, "offtakes")
    lines, intakes = view.catchment.table("reaches"), view.catchment.table("offtakes")
    assert lines.geometry is not None
    assert intakes.geometry is not None
    for row, reach in enumerate(view.catchment.reach_index):
        middle = lines.geometry[reach].interpolate(0.5, normalized=True)
        intake = intakes.geometry[row]
        assert public["lon"][row] == pytest.approx(middle.x * 1e5, abs=0.51)
        assert lead["lon"][row] == pytest.approx(intake.x * 1e5, abs=0.51)
        assert lead["lat"][row] == pytest.approx(intake.y * 1e5, abs=0.51)
    assert set(public["stands_at"]) == {"reach"}
    assert set(lead["stands_at"]) == {"intake"}


def test_a_quoted_sites_cost_is_as_private_as_its_quote(client: TestClient) -> None:
    """The agency's viewer sees costs, but not the one made from a quote; the lead sees it."""
    row = 1
    lead, agency, public = (get(client, "offtakes", who) for who in ("lead", "agency", "public"))
    assert lead["capital"][row] == float(QUOTE)
    assert "gain_per_1000" not in lead  # production is an index here: shares, never adults
    for name in ("capital", "life_cycle_cost", "cost", "capital_band"):
        assert agency[name][row] is None
        assert agency[name][0] is not None
    assert public["capital_band"][row] is None


def test_a_metered_sites_volume_is_private(client: TestClient) -> None:
    """A volume into which a private metered draw went is not for the agency's viewer."""
    assert get(client, "offtakes", "agency")["volume_ml"][:2] == [None, None]
    assert get(client, "offtakes", "agency")["volume_ml"][2] is not None
    assert None not in get(client, "offtakes", "lead")["volume_ml"]


def test_the_public_is_not_told_who_declined(client: TestClient) -> None:
    """That an offer was declined stays with the agency."""
    assert get(client, "offtakes", "agency")["status"][2] == "declined"
    assert get(client, "offtakes", "public")["status"][2] is None


@pytest.mark.parametrize(
    ("path", "status", "code"),
    [
        ("/api/nothing", 404, "not_found"),
        ("/api/offtakes?as=minister", 400, "bad_request"),
        ("/assets/none.js", 404, "not_found"),
    ],
)
def test_every_error_has_one_shape(client: TestClient, path: str, status: int, code: str) -> None:
    """Whatever goes wrong leaves as a code, a sentence and nothing else."""
    answer = client.get(path)
    assert answer.status_code == status
    assert answer.json().keys() == {"error"}
    assert answer.json()["error"]["code"] == code
    assert answer.json()["error"]["message"]


def test_a_wrong_method_has_the_shape_too(client: TestClient) -> None:
    """Nothing can be written here."""
    answer = client.post("/api/catchment")
    assert (answer.status_code, answer.json()["error"]["code"]) == (405, "method_not_allowed")


def test_faults_leave_with_their_findings_and_surprises_without_details(
    monkeypatch: pytest.MonkeyPatch, client: TestClient
) -> None:
    """Faults in the data are listed one by one; an error nobody foresaw tells nothing of inside."""
    finding = Finding("reaches", 3, "r3", "slope", "-1", "negative", "a number of 0 or more")

    def faulty(*_: object) -> dict[str, Any]:
        raise InputFaults([finding])

    monkeypatch.setattr(MapView, "facts", faulty)
    answer = client.get("/api/catchment")
    assert answer.status_code == 422
    assert answer.json()["error"]["code"] == "input_faults"
    assert answer.json()["error"]["findings"] == [finding.as_dict()]

    def surprising(*_: object) -> dict[str, Any]:
        raise RuntimeError(SECRETS["landholder"])

    monkeypatch.setattr(MapView, "facts", surprising)
    answer = client.get("/api/catchment")
    assert (answer.status_code, answer.json()["error"]["code"]) == (500, "internal")
    assert SECRETS["landholder"] not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_statuses_come_from_the_one_table() -> None:
    """Each error of the tree has its status."""
    errors = [InputFaults([]), UsageError("x"), NoSetPossible([]), Cancelled("x")]
    assert [status_of(error) for error in errors] == [422, 400, 409, 499]


@pytest.mark.parametrize("path", ["/", *(f"/api/{name}" for name in DATA), "/api/nothing"])
def test_every_answer_is_guarded(client: TestClient, path: str) -> None:
    """No inline code, no guessing of types, no foreign origin, and data is kept in no cache."""
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "http" not in policy
    assert policy.startswith("default-src 'none'")
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] in {"no-store", "no-cache"}
    assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "192.168.0.7", "[", ""])
def test_a_foreign_name_for_this_machine_is_refused(client: TestClient, host: str) -> None:
    """A page that points its own name here cannot read what is served."""
    answer = client.get("/api/offtakes", headers={"Host": host})
    assert (answer.status_code, answer.json()["error"]["code"]) == (421, "foreign_host")


@pytest.mark.parametrize("host", ["localhost:1", "127.0.0.1", "[::1]:8765"])
def test_this_machines_own_names_are_answered(client: TestClient, host: str) -> None:
    """Each of its names will do, whatever the port."""
    assert client.get("/api/catchment", headers={"Host": host}).status_code == 200


def test_the_relief_is_sent_as_it_is_and_its_absence_said(client: TestClient) -> None:
    """The picture's bytes come unchanged; a catchment without one answers plainly."""
    answer = client.get("/api/relief.png")
    assert (answer.content, answer.headers["content-type"]) == (PNG, "image/png")
    bare = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    assert bare.get("/api/relief.png").status_code == 404
    assert bare.get("/api/catchment").json()["relief_bounds"] is None


def test_large_answers_travel_compressed(client: TestClient) -> None:
    """What is worth compressing is compressed where the browser can read it."""
    answer = client.get("/api/offtakes", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"


def test_the_description_names_every_answers_type(client: TestClient) -> None:
    """Each address states the shape of its answer and of its errors."""
    paths = client.get("/api/openapi.json").json()["paths"]
    assert {f"/api/{name}" for name in DATA} < paths.keys()
    for name in DATA:
        responses = paths[f"/api/{name}"]["get"]["responses"]
        assert "$ref" in responses["200"]["content"]["application/json"]["schema"]
        assert "ErrorAnswer" in str(responses["4XX"])


def test_the_description_shows_an_example_of_every_answer(client: TestClient) -> None:
    """Each address with a JSON answer shows an example, and the example is such an answer."""
    description = client.get("/api/openapi.json").json()
    schemas = description["components"]["schemas"]
    said = [
        (path, status, response["content"].get("application/json"))
        for path, methods in description["paths"].items()
        for method in methods.values()
        for status, response in method["responses"].items()
        if status in ("200", "202", "4XX")
    ]
    assert {status for _, status, _ in said} == {"200", "202", "4XX"}
    for path, status, schema in said:
        if path not in PICTURES or status != "200":
            for each in schema["schema"].get("anyOf", [schema["schema"]]):
                name = each["$ref"].rpartition("/")[2]
                for example in schemas[name]["examples"]:
                    getattr(answers, name).model_validate(example)


def test_a_taken_port_is_said_and_a_free_one_printed() -> None:
    """Port 0 takes any; a second service on the same port is told to take another."""
    with listen("127.0.0.1", 0) as listener:
        listener.listen()
        port = listener.getsockname()[1]
        assert address_of(listener) == f"http://127.0.0.1:{port}"
        with pytest.raises(UsageError, match=f"port {port} cannot be used"):
            listen("127.0.0.1", port)
        with socket.create_connection(("127.0.0.1", port), timeout=5):
            pass


def test_an_overview_of_the_rivers_stays_on_them(client: TestClient) -> None:
    """An overview of the rivers has no more points, and keeps every reach and its ends."""
    full, overview = (
        client.get(f"/api/reaches?detail={detail}").json() for detail in ("full", "overview")
    )
    assert overview["row"] == full["row"]
    assert sum(overview["points"]) <= sum(full["points"])
    for lines in (full, overview):
        lines["ends"] = []
        lon = lat = at = 0
        for points in lines["points"]:
            for i in range(points):
                lon, lat, at = lon + lines["lon"][at], lat + lines["lat"][at], at + 1
                if i in (0, points - 1):
                    lines["ends"].append((lon, lat))
    assert overview["ends"] == full["ends"]


OUTSIDE = "river.example.invalid"


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Host": OUTSIDE}, 200),
        ({"Host": OUTSIDE, "Origin": f"https://{OUTSIDE}"}, 200),
        ({"Host": "127.0.0.1:8765", "Origin": f"https://{OUTSIDE}"}, 200),
        ({"Host": "other.example.invalid"}, 421),
        ({"Host": OUTSIDE, "Origin": "https://other.example.invalid"}, 403),
        ({"Host": OUTSIDE, "Origin": "null"}, 403),
        ({"Host": f"{OUTSIDE}:99"}, 421),
    ],
)
def test_behind_a_proxy_the_outer_name_is_answered_and_no_other(
    headers: dict[str, str], status: int
) -> None:
    client = TestClient(create_app(AsRead(small_view()), Entry(outside=OUTSIDE)), base_url=HERE)
    assert client.get("/api/catchment", headers=headers).status_code == status


def test_without_a_proxy_a_page_of_no_origin_is_refused() -> None:
    client = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    assert client.get("/api/catchment", headers={"Origin": "null"}).status_code == 403


@pytest.mark.parametrize(
    "behind", ["http://a.invalid", "a.invalid", "https://u@a.invalid", "https://a.invalid/x"]
)
def test_an_outer_address_that_is_none_is_refused(behind: str) -> None:
    with pytest.raises(UsageError, match="proxy"):
        outer_name(behind)


def test_an_outer_address_gives_its_name_and_port() -> None:
    assert outer_name("https://river.example.invalid:8443/") == "river.example.invalid:8443"
    assert outer_name("") == ""
