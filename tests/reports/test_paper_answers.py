"""The door to paper and files: for the lead alone, of a saved case, never kept by caches."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest
from starlette.testclient import TestClient

from slackwater.api.app import create_app
from slackwater.api.guards import CONTENT_POLICY
from slackwater.desk.showing import AsRead
from slackwater.desk.working import Working
from tests.contracts.small_register import HERE, client_of, edited, ended, new_id, small_working
from tests.contracts.small_view import small_view

PAGES = ("/print/fund/{}", "/print/board/{}", "/print/landholder/{}/A",
         "/print/landholder/{}/A?version=public")  # fmt: skip
FILES = ("/files/{}.xlsx", "/files/{}.html", "/files/{}.html?version=private")
TRIAL = {"weights": {"risk": 500, "overlap": 200, "cost": 300}, "budget": 62_000.0, "way": "best"}


@pytest.fixture(scope="module")
def working(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Working]:
    made = small_working(tmp_path_factory.mktemp("paper") / "small.sqlite")
    yield made
    made.close()


@pytest.fixture(scope="module")
def client(working: Working) -> TestClient:
    return client_of(working)


@pytest.fixture(scope="module")
def case_id(client: TestClient) -> str:
    """A saved case whose name fits no header."""
    body = {"id": new_id(), "name": 'Röund "one"; ../x', "trial": TRIAL}
    work = ended(client, "/api/cases", body)
    assert work["state"] == "done", work["error"]
    return str(work["answer"]["id"])


@pytest.mark.parametrize("address", PAGES)
def test_a_page_prints_without_a_script(client: TestClient, case_id: str, address: str) -> None:
    """HTML whose only other request is its own style sheet; the content policy stands."""
    answer = client.get(address.format(case_id))
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"].startswith("text/html")
    assert answer.headers["content-security-policy"] == CONTENT_POLICY
    assert answer.headers["cache-control"] == "no-store"
    assert "<script" not in answer.text
    assert " style=" not in answer.text
    assert answer.text.count("<link ") == 1
    assert 'href="/print/look.css"' in answer.text
    assert client.get("/print/look.css").headers["content-type"].startswith("text/css")


@pytest.mark.parametrize("address", FILES)
def test_a_file_is_given_to_be_saved(client: TestClient, case_id: str, address: str) -> None:
    """An attachment with a safe name, kept by no cache, and never sniffed into something else."""
    answer = client.get(address.format(case_id))
    assert answer.status_code == 200, answer.text
    ending = "xlsx" if ".xlsx" in address else "html"
    said = answer.headers["content-disposition"]
    assert said == f'attachment; filename="small-river-r-und-one-x.{ending}"'
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-security-policy"] == CONTENT_POLICY


def test_the_workbook_that_is_sent_opens(client: TestClient, case_id: str) -> None:
    """With the list on its first sheet."""
    book = openpyxl.load_workbook(BytesIO(client.get(f"/files/{case_id}.xlsx").content))
    assert book.sheetnames[0] == "list"
    assert book["list"].max_row == 4


@pytest.mark.parametrize("viewer", ["public", "agency"])
@pytest.mark.parametrize("address", [*PAGES, *FILES])
def test_it_is_for_the_lead_alone(
    client: TestClient, case_id: str, address: str, viewer: str
) -> None:
    """Everyone else is refused, also the public version: whom it is given to the lead decides."""
    mark = "&" if "?" in address else "?"
    answer = client.get(f"{address.format(case_id)}{mark}as={viewer}")
    assert (answer.status_code, answer.json()["error"]["code"]) == (403, "forbidden")


@pytest.mark.parametrize("address", [*PAGES, *FILES])
def test_a_case_that_is_not_there_is_said(client: TestClient, address: str) -> None:
    """404 in the one shape."""
    answer = client.get(address.format(new_id()))
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "not_here")


@pytest.mark.parametrize("address", [*PAGES, *FILES])
def test_a_catchment_read_from_a_file_has_no_paper(address: str) -> None:
    """There are no cases to print; a database is needed."""
    read_only = TestClient(create_app(AsRead(small_view())), base_url=HERE)
    answer = read_only.get(address.format(new_id()))
    assert (answer.status_code, answer.json()["error"]["code"]) == (404, "read_only")


def test_a_wrong_offtake_or_version_is_said(client: TestClient, case_id: str) -> None:
    """404 for a code that is not there, 400 for a version that does not exist."""
    assert client.get(f"/print/landholder/{case_id}/none").status_code == 404
    assert client.get(f"/files/{case_id}.html?version=all").status_code == 400


def test_a_page_keeps_to_the_data_its_case_was_saved_on(tmp_path: Path) -> None:
    """After an edit the same case prints the same numbers, and says that the data has moved on."""
    working = small_working(tmp_path / "small.sqlite")
    client = client_of(working)
    work = ended(client, "/api/cases", {"id": new_id(), "name": "Round one", "trial": TRIAL})
    case_id = work["answer"]["id"]
    before = client.get(f"/print/landholder/{case_id}/A").text
    assert "5,500" in before
    edited(client, "A", "capacity_m3s", 0.2, 0.6)
    after = client.get(f"/print/landholder/{case_id}/A").text
    assert "The data has changed since; these numbers have not." in after
    assert "5,500" in after
    assert "17.3" in after  # ML/d of 0.2 m3/s, as it was
    working.close()
