"""The world that tests run in: a fresh database each, on SQLite and on PostgreSQL, and people who can sign in."""

import itertools
import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import uuid_utils
from flask import Flask
from sqlalchemy import create_engine, text
from werkzeug.test import TestResponse

from tests import postgres
from whetpanel.app import create_app
from whetpanel.documents import NullRenderer
from whetpanel.paths import migrations_dir
from whetpanel.services.creating_clubs import create_club
from whetpanel.settings import Settings
from whetpanel.storage.base import Database, make_engine
from whetpanel.storage.migrating import migrate
from whetpanel.storage.photo_store import MemoryPhotoStore

PASSWORD = "a long enough password"


def skip_or_fail(missing: str, install: str) -> None:
    """A test that cannot run says why and how to mend it; in CI it may not be skipped."""
    sentence = f"{missing} is not installed; {install}"
    if os.environ.get("CI"):
        pytest.fail(sentence)
    pytest.skip(sentence)


class Clock:
    """A clock that a test sets. It moves on by a second with every look, so that no two writes share a moment."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("template") / "empty.sqlite3"
    migrate(f"sqlite:///{path}", migrations_dir())
    return path


@pytest.fixture(scope="session")
def postgres_folder() -> Iterator[str]:
    if postgres.programs() is None:
        skip_or_fail("A PostgreSQL server", postgres.INSTALL)
    with postgres.throwaway_server() as folder:
        migrate(postgres.address(folder, "postgres"), migrations_dir())
        yield folder


_numbers = itertools.count()


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """An empty, migrated database."""
    if request.param == "sqlite":
        template = request.getfixturevalue("sqlite_template")
        path = tmp_path / "whetpanel.sqlite3"
        shutil.copy(template, path)
        yield f"sqlite:///{path}"
        return
    folder = request.getfixturevalue("postgres_folder")
    name = f"test_{next(_numbers)}"
    admin = create_engine(postgres.address(folder, "template1"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name} TEMPLATE postgres"))
    yield postgres.address(folder, name)
    with admin.connect() as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    admin.dispose()


@pytest.fixture
def sqlite_url(sqlite_template: Path, tmp_path: Path) -> str:
    """An empty, migrated SQLite database, for tests to which the kind of database is nothing."""
    path = tmp_path / "only.sqlite3"
    shutil.copy(sqlite_template, path)
    return f"sqlite:///{path}"


def new_id() -> str:
    """A record id as a phone makes it."""
    return str(uuid_utils.uuid7())


@dataclass
class Person:
    """A member with a signed-in client; paths are given below /api/v1."""

    app: Flask
    id: str
    name: str
    token: str = ""

    def ask(self, method: str, path: str, **kwargs: Any) -> TestResponse:
        headers = {"Authorization": f"Bearer {self.token}", **kwargs.pop("headers", {})}
        return self.app.test_client().open(f"/api/v1{path}", method=method, headers=headers, **kwargs)

    def get(self, path: str) -> TestResponse:
        return self.ask("GET", path)

    def post(self, path: str, body: dict[str, Any] | None = None) -> TestResponse:
        return self.ask("POST", path, json=body) if body is not None else self.ask("POST", path)

    def put(self, path: str, body: dict[str, Any], version: int | None = None) -> TestResponse:
        headers = {} if version is None else {"If-Match": f'"{version}"'}
        return self.ask("PUT", path, json=body, headers=headers)


@dataclass
class ClubHouse:
    """A club with a steward, a dealer and testers, and short ways to fill it."""

    app: Flask
    clock: Clock
    steward: Person
    database: Database
    dealer: Person = field(init=False)
    testers: list[Person] = field(default_factory=list)
    protocols: dict[str, dict[str, Any]] = field(default_factory=dict)
    lot_id: str = ""

    def member(self, name: str, *roles: str) -> Person:
        person = Person(self.app, new_id(), name)
        body = {
            "display_name": name.title(),
            "sign_in_name": name,
            "roles": list(roles),
            "password": PASSWORD,
        }
        answer = self.steward.put(f"/members/{person.id}", body)
        assert answer.status_code == 201, answer.json
        person.token = sign_in(self.app, name)
        return person

    def lot(self, **changes: Any) -> str:
        lot_id = new_id()
        body = {"code": f"L{next(_numbers)}", "name": "A lot", "quarry": "Upper pit", **changes}
        assert self.dealer.put(f"/lots/{lot_id}", body).status_code == 201
        return lot_id

    def stone(self, **changes: Any) -> str:
        stone_id = new_id()
        answer = self.dealer.put(f"/stones/{stone_id}", stone_body(self.lot_id, **changes))
        assert answer.status_code == 201, answer.json
        return stone_id

    def blade(self, steel: str, **changes: Any) -> str:
        blade_id = new_id()
        answer = self.dealer.put(f"/blades/{blade_id}", blade_body(steel, **changes))
        assert answer.status_code == 201, answer.json
        return blade_id

    def trial_body(self, stone_id: str, blade_id: str, **changes: Any) -> dict[str, Any]:
        protocol = self.protocols["knife"]
        return {
            "stone_id": stone_id,
            "blade_id": blade_id,
            "protocol_id": protocol["id"],
            "protocol_version": protocol["version"],
            "face": "front",
            "thickness_mm": 25,
            "started_at": "2026-03-01T10:00:00Z",
            "finished_at": "2026-03-01T10:20:00Z",
            "observations": required_observations(protocol),
            "grades": {"hardness": 3.5, "fineness": 4.0},
            "notes": "",
            **changes,
        }


def required_observations(protocol: dict[str, Any]) -> dict[str, Any]:
    """A value for each observation that the protocol asks for."""
    values: dict[str, Any] = {}
    for observation in protocol["observations"]:
        if not observation["required"]:
            continue
        values[observation["id"]] = {
            "choice": lambda o: o["choices"][0]["value"],
            "number": lambda o: o["low"] if o["low"] is not None else 1,
            "grit_band": lambda o: {"low": 3000, "high": 6000, "system": "jis"},
            "yes_no": lambda o: True,
            "text": lambda o: "seen",
        }[observation["kind"]](observation)
    return values


def stone_body(lot_id: str, **changes: Any) -> dict[str, Any]:
    """A bench stone of a common size (205 x 75 mm; common practice, no source)."""
    return {
        "code": f"S{next(_numbers)}",
        "lot_id": lot_id,
        "kind": "slate",
        "form": "bench",
        "length_mm": 205,
        "width_mm": 75,
        "thickness_mm": 25,
        "mass_g": 1010.5,
        "colour": "grey green",
        **changes,
    }


def blade_body(steel: str, **changes: Any) -> dict[str, Any]:
    return {
        "name": f"Blade of {steel}",
        "steel": steel,
        "steel_name": steel.replace("_", " "),
        "steel_class": "plain_carbon",
        "construction": "mono",
        "hardness_hrc": 61.5,
        "form": "knife",
        **changes,
    }


def sign_in(app: Flask, name: str) -> str:
    answer = app.test_client().post(
        "/api/v1/session?kind=bearer", json={"sign_in_name": name, "password": PASSWORD}
    )
    assert answer.status_code == 200, answer.json
    token: str = answer.json["token"]
    return token


def test_settings(url: str, tmp_path: Path) -> Settings:
    """Settings with a password check that costs next to nothing."""
    return Settings(
        data_dir=tmp_path, database_url=url, argon2_memory_kib=8, argon2_rounds=1, log_requests=False
    )


test_settings.__test__ = False  # type: ignore[attr-defined]


def open_house(url: str, tmp_path: Path) -> ClubHouse:
    """A club with its people, on the database at that address."""
    settings = test_settings(url, tmp_path)
    database, clock = Database(make_engine(url)), Clock()
    app = create_app(
        settings, database=database, photos=MemoryPhotoStore(), now=clock, renderer=NullRenderer()
    )
    made = create_club(
        database, clock, settings, slug="hill", name="Hill club", steward_name="steward",
        steward_display_name="Steward", password=PASSWORD,
    )  # fmt: skip
    steward = Person(app, made.steward_id, "steward", sign_in(app, "steward"))
    house = ClubHouse(app, clock, steward, database)
    house.dealer = house.member("dealer", "dealer")
    house.testers = [house.member(f"tester{n}", "tester") for n in (1, 2, 3)]
    house.protocols = {one["purpose"]: one for one in steward.get("/protocols").json["items"]}
    house.lot_id = house.lot()
    return house


@pytest.fixture
def house(database_url: str, tmp_path: Path) -> Iterator[ClubHouse]:
    """A club on each kind of database."""
    house = open_house(database_url, tmp_path)
    yield house
    house.database.dispose()


@pytest.fixture
def small_house(sqlite_url: str, tmp_path: Path) -> Iterator[ClubHouse]:
    """A club on SQLite alone."""
    house = open_house(sqlite_url, tmp_path)
    yield house
    house.database.dispose()
