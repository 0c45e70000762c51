"""A small client of the service: sign in, put, list. It stands alone: copy it for a program of your own."""

import time
from collections.abc import Callable, Iterator
from typing import Any

import requests


class ApiProblem(Exception):
    """The service refused. Carries the RFC 9457 problem as it came: status, code, detail, errors, current."""

    def __init__(self, method: str, path: str, response: requests.Response) -> None:
        try:
            body: dict[str, Any] = response.json()
        except ValueError:
            body = {}
        self.status = response.status_code
        self.code: str | None = body.get("code")
        self.detail: str = body.get("detail") or response.reason or "no detail given"
        self.errors: list[dict[str, str]] = body.get("errors") or []
        self.current: dict[str, Any] | None = body.get("current")
        fields = "".join(f"\n  {e.get('field')}: {e.get('message')}" for e in self.errors)
        super().__init__(f"{method} {path}: {self.status} {self.code or ''} {self.detail}{fields}")


class Client:
    """One member's way in. Every write names its own id, so it may be sent again; on 503 it is."""

    TRIES = 6
    LONGEST_WAIT_S = 15.0

    def __init__(
        self,
        base_url: str,
        session: requests.Session,
        *,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self.root = base_url.rstrip("/") + "/api/v1"
        self.session = session
        self.sleep = sleep
        self.token: str | None = None

    def sign_in(self, club: str, sign_in_name: str, password: str) -> dict[str, Any]:
        """Ask for a bearer token and use it from now on. Returns {member, club, view, token}."""
        answer = self.send(
            "POST",
            "/session",
            params={"kind": "bearer"},
            json={"club": club, "sign_in_name": sign_in_name, "password": password, "device": "demo loader"},
        ).json()
        self.token = answer["token"]
        return dict(answer)

    def sign_out(self) -> None:
        """End the session, so that no token outlives the work."""
        self.send("DELETE", "/session")
        self.token = None

    def get(self, path: str, **params: str | int) -> dict[str, Any]:
        return dict(self.send("GET", path, params=params).json())

    def every(self, path: str) -> Iterator[dict[str, Any]]:
        """Every item of a list, page after page; the next page stands in the Link header (RFC 8288)."""
        response = self.send("GET", path, params={"limit": 500})
        while True:
            yield from response.json()["items"]
            onward = response.links.get("next")
            if onward is None:
                return
            response = self.send("GET", requests.compat.urljoin(response.url, onward["url"]))

    def put(
        self, path: str, record: dict[str, Any], *, if_match: str | None = None
    ) -> tuple[dict[str, Any], bool]:
        """Put a record. Returns it as served, and whether it is new; sending the same again is harmless."""
        headers = {"If-Match": if_match} if if_match else {}
        response = self.send("PUT", path, json=record, headers=headers)
        return dict(response.json()), response.status_code == 201

    def put_bytes(self, path: str, data: bytes, media_type: str) -> bool:
        """Put raw bytes. Returns whether they are new."""
        response = self.send("PUT", path, data=data, headers={"Content-Type": media_type})
        return response.status_code == 201

    def post(self, path: str, body: dict[str, Any]) -> None:
        self.send("POST", path, json=body)

    def send(
        self, method: str, path: str, *, headers: dict[str, str] | None = None, **kwargs: Any
    ) -> requests.Response:
        """One request, repeated while the service is busy (503, or 429 on sign-in) or cannot be reached."""
        url = path if path.startswith("http") else self.root + path
        headers = dict(headers or {})
        if self.token:
            headers["Authorization"] = f"Bearer {self.token}"
        for attempt in range(1, self.TRIES + 1):
            try:
                response = self.session.request(method, url, headers=headers, timeout=60, **kwargs)
            except requests.ConnectionError:
                if attempt == self.TRIES:
                    raise
                self.sleep(0.1 * 2**attempt)
                continue
            if response.status_code in (429, 503) and attempt < self.TRIES:
                self.sleep(min(self.LONGEST_WAIT_S, retry_after_s(response, 0.25 * 2**attempt)))
                continue
            break
        if response.status_code >= 400:
            raise ApiProblem(method, path, response)
        return response


def retry_after_s(response: requests.Response, otherwise: float) -> float:
    """The wait the service asks for, in seconds; its other form, a date, is not used by this service."""
    try:
        return max(0.0, float(response.headers.get("Retry-After", "")))
    except ValueError:
        return otherwise
