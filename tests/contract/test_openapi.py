"""The API's description matches the service, and every failure has the one shape."""

import json
from pathlib import Path
from typing import Any

import pytest

import whetpanel
from tests.conftest import ClubHouse, new_id
from whetpanel.web.api import description
from whetpanel.web.errors import HTTP_CODES, TABLE

SNAPSHOT = Path(whetpanel.__file__).parent / "web" / "openapi.json"
CODES = {code for _, code in TABLE.values()} | set(HTTP_CODES.values())


def test_the_committed_description_is_current(small_house: ClubHouse) -> None:
    """If this fails: whetpanel openapi server/whetpanel/web/openapi.json, then npm run api:types in pwa/."""
    assert json.loads(SNAPSHOT.read_text()) == json.loads(description(small_house.app))


def test_it_is_served_and_browsable(small_house: ClubHouse) -> None:
    """The description under /api/openapi.json, a page to browse it under /api/docs that needs nothing from outside."""
    client = small_house.app.test_client()

    served = client.get("/api/openapi.json")
    page = client.get("/api/docs")

    assert json.loads(SNAPSHOT.read_text()) == served.json
    assert 200 == page.status_code
    assert b"://" not in page.data


def test_every_operation_says_what_it_is() -> None:
    """Each has a summary and an id of its own, which the phone's client is made from."""
    operations = [
        operation
        for path in json.loads(SNAPSHOT.read_text())["paths"].values()
        for method, operation in path.items()
        if method != "parameters"
    ]

    ids = [operation["operationId"] for operation in operations]
    assert len(ids) == len(set(ids))
    assert all(operation.get("summary") for operation in operations)


def assert_problem(answer: Any, status: int, code: str) -> None:
    """RFC 9457, section 3.1: type, title, status, detail; our own code, errors and current beside them."""
    assert (status, "application/problem+json") == (answer.status_code, answer.content_type)
    assert {"type", "title", "status", "detail", "code"} <= set(answer.json)
    assert set(answer.json) <= {"type", "title", "status", "detail", "code", "errors", "current"}
    assert (status, code) == (answer.json["status"], answer.json["code"])
    assert code in CODES
    assert answer.json["detail"].rstrip().endswith(".")


@pytest.mark.parametrize(
    ("method", "path", "body", "status", "code"),
    [
        ("GET", "/nowhere", None, 404, "not_found"),
        ("GET", "/stones/not-an-id", None, 404, "not_found"),
        ("GET", f"/stones/{new_id()}", None, 404, "not_found"),
        ("DELETE", "/stones", None, 405, "not_allowed_here"),
        ("GET", "/stones?limit=0", None, 422, "invalid"),
        ("GET", "/stones?cursor=x", None, 422, "invalid"),
        ("GET", "/pooled?purpose=bread", None, 422, "invalid"),
        ("PUT", f"/lots/{new_id()}", b"{", 400, "malformed"),
        ("PUT", f"/lots/{new_id()}", b"[]", 422, "invalid"),
        ("PUT", f"/lots/{new_id()}", b"{}", 422, "invalid"),
        ("PUT", f"/lots/{new_id()}", b'{"code": "A", "name": NaN}', 400, "malformed"),
        ("PUT", f"/lots/{new_id()}", b'{"code": "A", "name": "a\\u0000b"}', 422, "invalid"),
        ("PUT", f"/lots/{new_id()}", b'{"code": "A", "name": "a\\ud800b"}', 422, "invalid"),
        ("PUT", f"/lots/{new_id()}", b"[" * 100_000, 400, "malformed"),
        ("PUT", f"/lots/{new_id()}", b'{"name": "' + b"x" * 1_100_000 + b'"}', 413, "too_large"),
        ("POST", f"/trials/{new_id()}/withdraw", b'{"reason": "x"}', 404, "not_found"),
        ("GET", "/protocols/" + new_id() + "/sheet.pdf", None, 404, "not_found"),
    ],
)  # fmt: skip
def test_every_failure_has_the_one_shape(
    small_house: ClubHouse, method: str, path: str, body: bytes | None, status: int, code: str
) -> None:
    """Whatever is wrong, a program finds the same members and a person a sentence that says what to do."""
    answer = small_house.dealer.ask(method, path, data=body, headers={"Content-Type": "application/json"})

    assert_problem(answer, status, code)


def test_a_method_that_is_refused_names_those_that_are_taken(small_house: ClubHouse) -> None:
    """RFC 9110, section 15.5.6: a 405 carries Allow."""
    answer = small_house.dealer.ask("DELETE", "/stones")

    assert {"GET", "HEAD", "OPTIONS"} == set(answer.headers["Allow"].split(", "))


def test_without_a_session_nothing_is_told(small_house: ClubHouse) -> None:
    """Every operation but signing in and the service's own name asks who you are before it looks at anything."""
    client = small_house.app.test_client()
    open_paths = {
        ("get", "/api/v1/service"),
        ("post", "/api/v1/session"),
        ("get", "/api/v1/joining/{token}"),
        ("post", "/api/v1/joining/{token}"),
        ("get", "/api/v1/published/{code}"),
        ("get", "/api/v1/shortlists/by-code/{code}"),
    }
    for path, operations in json.loads(SNAPSHOT.read_text())["paths"].items():
        for method in operations:
            if method == "parameters" or (method, path) in open_paths:
                continue
            address = path.replace("{record_id}", new_id()).replace("{sha256}", "0" * 64)
            address = address.replace("{invitation_id}", new_id())

            answer = client.open(address, method=method.upper())

            assert (path, 401, "not_signed_in") == (path, answer.status_code, answer.json["code"])


def test_a_mistake_of_ours_tells_nothing_but_that(
    small_house: ClubHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unexpected exception is one of the shapes too, without its text."""
    from whetpanel.services import reading

    def broken(*_args: object, **_kwargs: object) -> None:
        raise RuntimeError("secret inner words")

    monkeypatch.setattr(reading, "get_record", broken)

    answer = small_house.dealer.get(f"/stones/{new_id()}")

    assert_problem(answer, 500, "server_error")
    assert b"secret" not in answer.data


def test_a_list_links_to_its_next_page(house: ClubHouse) -> None:
    """RFC 8288; the pages together are the list, each record once."""
    made = {house.stone() for _ in range(5)}
    found: list[str] = []
    path: str | None = "/stones?limit=2"
    while path is not None:
        answer = house.dealer.get(path)
        found += [stone["id"] for stone in answer.json["items"]]
        link = answer.headers.get("Link")
        path = link.split(">")[0].removeprefix("</api/v1") if link else None

    assert sorted(made) == sorted(found)
