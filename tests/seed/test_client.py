"""The example client: waits when asked to, tells the server's words, follows pages, doubles no write."""

import json
from collections.abc import Iterable
from typing import Any

import pytest
import requests
from seed.client import ApiProblem, Client


def answer(
    status: int, body: object = None, *, headers: dict[str, str] | None = None, url: str = "http://club/"
) -> requests.Response:
    response = requests.Response()
    response.status_code = status
    response.url = url
    response.headers.update(headers or {})
    response._content = b"" if body is None else json.dumps(body).encode()
    return response


class Script(requests.Session):
    """A session that answers from a list and remembers what it was asked."""

    def __init__(self, answers: Iterable[requests.Response | Exception]) -> None:
        super().__init__()
        self.answers = list(answers)
        self.asked: list[tuple[str, str, dict[str, Any]]] = []

    def request(self, method, url, **kwargs):  # type: ignore[no-untyped-def, override]
        self.asked.append((method, url, kwargs))
        one = self.answers.pop(0)
        if isinstance(one, Exception):
            raise one
        return one


def client_with(*answers: requests.Response | Exception) -> tuple[Client, Script, list[float]]:
    script, slept = Script(answers), []
    return Client("http://club/", script, sleep=slept.append), script, slept


def test_waits_as_long_as_it_is_told_and_sends_again():
    """503 with Retry-After (RFC 9110, section 10.2.3): the same request again, after that many seconds."""
    client, script, slept = client_with(
        answer(503, headers={"Retry-After": "2"}),
        answer(503, headers={"Retry-After": "3"}),
        answer(201, {"id": "x"}),
    )

    assert client.put("/lots/x", {"code": "A"}) == ({"id": "x"}, True)
    assert slept == [2.0, 3.0]
    assert len({json.dumps(kwargs["json"]) for _, _, kwargs in script.asked}) == 1
    assert len(script.asked) == 3


def test_never_waits_for_ever():
    """A service that stays busy is told of, in its words, after a few tries; a long wait is cut short."""
    client, script, slept = client_with(
        *[answer(503, {"detail": "Busy."}, headers={"Retry-After": "900"})] * 6
    )

    with pytest.raises(ApiProblem, match="Busy") as caught:
        client.put("/lots/x", {})
    assert caught.value.status == 503
    assert len(script.asked) == Client.TRIES
    assert max(slept) <= Client.LONGEST_WAIT_S


def test_a_lost_connection_is_tried_again():
    """The id is in the path, so a write whose answer was lost may be sent again."""
    client, script, _ = client_with(requests.ConnectionError("gone"), answer(200, {"id": "x"}))

    assert client.put("/lots/x", {"code": "A"}) == ({"id": "x"}, False)
    assert len(script.asked) == 2


@pytest.mark.parametrize("status", [400, 401, 403, 404, 409, 412, 422, 428, 500])
def test_a_refusal_is_raised_at_once_in_the_server_s_words(status):
    """Only 503 and 429 are worth another try. The problem carries code, fields and the present record."""
    problem = {
        "code": "invalid",
        "detail": "Give the mass in grams.",
        "errors": [{"field": "mass_g", "message": "Not a number."}],
        "current": {"id": "x", "version": 4},
    }
    client, script, slept = client_with(answer(status, problem))

    with pytest.raises(ApiProblem) as caught:
        client.put("/stones/x", {})
    assert len(script.asked) == 1
    assert not slept
    assert caught.value.code == "invalid"
    assert caught.value.current == {"id": "x", "version": 4}
    for words in ("Give the mass in grams.", "mass_g", "Not a number."):
        assert words in str(caught.value)


def test_a_refusal_without_a_body_still_says_something():
    client, _, _ = client_with(answer(502))

    with pytest.raises(ApiProblem, match="502"):
        client.get("/club")


def test_follows_the_link_to_the_next_page():
    """RFC 8288: rel="next", relative to the page it stands on."""
    client, script, _ = client_with(
        answer(
            200,
            {"items": [{"id": "a"}]},
            headers={"Link": '</api/v1/lots?cursor=a>; rel="next"'},
            url="http://club/api/v1/lots?limit=500",
        ),
        answer(200, {"items": [{"id": "b"}]}, url="http://club/api/v1/lots?cursor=a"),
    )

    assert [item["id"] for item in client.every("/lots")] == ["a", "b"]
    assert script.asked[1][1] == "http://club/api/v1/lots?cursor=a"


def test_the_token_is_sent_once_signed_in_and_dropped_at_the_end():
    client, script, _ = client_with(
        answer(200, {"token": "t"}), answer(200, {}), answer(204), answer(200, {})
    )
    client.sign_in("alderbeck", "edda", "secret words here")
    client.get("/club")
    client.sign_out()
    client.get("/service")
    sent = [kwargs["headers"].get("Authorization") for _, _, kwargs in script.asked]

    assert sent == [None, "Bearer t", "Bearer t", None]
