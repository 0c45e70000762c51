"""A club on a running service, filled over HTTP as any other program would fill it."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import requests

from tests.conftest import PASSWORD, blade_body, new_id, required_observations, stone_body
from tests.service import Service

Record = dict[str, Any]

_numbers = itertools.count(1)


@dataclass
class Member:
    """A member who asks the service with a bearer token; paths are given below /api/v1."""

    service: Service
    id: str
    sign_in_name: str
    display_name: str
    session: requests.Session = field(default_factory=requests.Session)

    def sign_in(self) -> "Member":
        answer = requests.post(
            f"{self.service.url}/api/v1/session?kind=bearer",
            json={"sign_in_name": self.sign_in_name, "password": PASSWORD},
            timeout=30,
        )
        answer.raise_for_status()
        self.session.headers["Authorization"] = f"Bearer {answer.json()['token']}"
        self.id = answer.json()["member"]["id"]
        return self

    def ask(self, method: str, path: str, **kwargs: Any) -> requests.Response:
        return self.session.request(method, f"{self.service.url}/api/v1{path}", timeout=30, **kwargs)

    def get(self, path: str) -> Any:
        answer = self.ask("GET", path)
        assert answer.ok, answer.text
        return answer.json()

    def put(self, path: str, body: Record, version: int | None = None) -> Record:
        headers = {} if version is None else {"If-Match": f'"{version}"'}
        answer = self.ask("PUT", path, json=body, headers=headers)
        assert answer.ok, answer.text
        record: Record = answer.json()
        return record

    def own(self, thing: str) -> list[Record]:
        """Every record of a thing that this member wrote, across the pages of the list."""
        items: list[Record] = []
        answer = self.ask("GET", f"/{thing}?limit=500")
        while True:
            assert answer.ok, answer.text
            items += answer.json()["items"]
            following = answer.links.get("next")
            if following is None:
                return [item for item in items if item["created_by"] == self.id]
            answer = self.session.get(requests.compat.urljoin(answer.url, following["url"]), timeout=30)


@dataclass
class Club:
    """A small club: a steward, a dealer, one lot, three steels; testers and stones as a story asks for them."""

    service: Service
    steward: Member
    dealer: Member = field(init=False)
    protocol: Record = field(init=False)
    lot_id: str = field(init=False)
    blades: list[Record] = field(init=False)

    def __post_init__(self) -> None:
        self.dealer = self.member("dealer", "dealer")
        knives = [one for one in self.steward.get("/protocols")["items"] if one["purpose"] == "knife"]
        self.protocol = knives[0]
        self.lot_id = new_id()
        self.dealer.put(f"/lots/{self.lot_id}", {"code": "L1", "name": "First lot", "quarry": "Upper pit"})
        self.blades = [self.blade(steel) for steel in ("white_carbon", "tungsten_alloy", "fine_stainless")]

    def member(self, name: str, *roles: str) -> Member:
        body = {
            "display_name": name.title(),
            "sign_in_name": name,
            "roles": list(roles),
            "password": PASSWORD,
        }
        record = self.steward.put(f"/members/{new_id()}", body)
        return Member(self.service, record["id"], name, body["display_name"]).sign_in()

    def tester(self) -> Member:
        """A tester nobody has met yet, so that stories do not meet each other's records."""
        return self.member(f"tester{next(_numbers)}", "tester")

    def blade(self, steel: str) -> Record:
        return self.dealer.put(f"/blades/{new_id()}", blade_body(steel))

    def stone(self, **changes: Any) -> Record:
        """A bench stone with a code of its own."""
        body = stone_body(self.lot_id, code=f"E{next(_numbers):03}", **changes)
        return self.dealer.put(f"/stones/{new_id()}", body)

    def trial_body(self, stone: Record, blade: Record | None = None, **changes: Any) -> Record:
        """A whole trial by the knife protocol, for those that no hand has to tap."""
        return {
            "stone_id": stone["id"],
            "blade_id": (blade or self.blades[0])["id"],
            "protocol_id": self.protocol["id"],
            "protocol_version": self.protocol["version"],
            "face": "front",
            "thickness_mm": 25,
            "started_at": "2026-03-01T10:00:00Z",
            "finished_at": "2026-03-01T10:20:00Z",
            "observations": required_observations(self.protocol),
            "grades": {"hardness": 3.5, "fineness": 4.0},
            "photos": [],
            "notes": "",
            **changes,
        }

    def once(self, member: Member, ids: Iterable[str], thing: str = "trials") -> None:
        """Claim: the service holds each of these records once, written once, and nothing else of this member's."""
        held = member.own(thing)
        assert sorted(ids) == sorted(record["id"] for record in held)
        assert {1} == {record["version"] for record in held}
        for record in held:
            versions = member.get(f"/{thing}/{record['id']}/versions")["items"]
            assert 1 == len(versions)
