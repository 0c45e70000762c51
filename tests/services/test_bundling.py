"""A club leaves as one file and comes back the same, on whichever database it lands."""

import hashlib
import io
import json
import shutil
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from tests.conftest import PASSWORD, Clock, ClubHouse, Person, new_id, test_settings
from tests.stories.test_matching import shortlist
from tests.stories.test_pooling import fill
from whetpanel.app import create_app
from whetpanel.documents import NullRenderer
from whetpanel.errors import Conflict, Invalid, NotFound
from whetpanel.services.bundling import export_club, import_club
from whetpanel.services.exporting import export_tables_of
from whetpanel.services.things import THINGS
from whetpanel.storage.base import Database, make_engine
from whetpanel.storage.photo_store import MemoryPhotoStore
from whetpanel.storage.schema import RECORDS


def full_club(house: ClubHouse) -> tuple[Person, str]:
    """Something of everything: trials amended, excluded and withdrawn, an inspection, a lapping, a photo, a slip, an
    offer, a consent, a shortlist.
    """
    stones, trials = fill(house, 2)
    first, second = trials[stones[0]][:2]
    record = house.testers[0].get(f"/trials/{first}").json
    blade, protocol = record["blade_id"], record["protocol_id"]
    amended = house.trial_body(stones[0], blade, protocol_id=protocol, notes="Rinsed first")
    assert house.testers[0].put(f"/trials/{first}", amended, version=1).status_code == 200
    assert house.dealer.post(f"/trials/{first}/exclude", {"reason": "Chipped edge"}).status_code == 200
    assert house.testers[0].post(f"/trials/{second}/withdraw", {"reason": "Wrong stone"}).status_code == 200
    finding = {"id": new_id(), "kind": "line", "points": [{"x_mm": 10, "y_mm": 10}, {"x_mm": 40, "y_mm": 12}]}
    inspection = {
        "stone_id": stones[0],
        "face": "front",
        "inspected_at": "2026-03-01T10:00:00Z",
        "findings": [finding],
    }
    assert house.testers[1].put(f"/inspections/{new_id()}", inspection).status_code == 201
    lapping = {
        "stone_id": stones[0], "face": "front", "lapped_at": "2026-03-01T10:00:00Z", "grit_system": "fepa_p",
        "grit_number": 220,
    }  # fmt: skip
    assert house.testers[1].put(f"/lappings/{new_id()}", lapping).status_code == 201
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), (90, 80, 70)).save(picture, "PNG")
    sha256 = hashlib.sha256(picture.getvalue()).hexdigest()
    sent = house.testers[1].ask(
        "PUT", f"/photos/{sha256}", data=picture.getvalue(), headers={"Content-Type": "image/png"}
    )
    assert sent.status_code == 201
    slip = {"stone_id": stones[0], "purpose": "knife", "override_reason": "For the test"}
    assert house.dealer.put(f"/slips/{new_id()}", slip).status_code == 201
    offer = {"stone_id": stones[1], "state": "for_sale", "cost": 12.5, "price": 60.0, "currency": "EUR"}
    assert house.dealer.put(f"/offers/{stones[1]}", offer).status_code == 201
    tester = house.testers[2]
    assert tester.put(f"/consents/{tester.id}", {"names_on_slips": True}).status_code == 201
    assert shortlist(house, [stones[1]]).status_code == 201
    return house.dealer, sha256


def photos_of(house: ClubHouse) -> MemoryPhotoStore:
    store: MemoryPhotoStore = house.app.extensions["whetpanel"].photos
    return store


@pytest.fixture
def empty(tmp_path: Path, sqlite_template: Path) -> Database:
    path = tmp_path / "other.sqlite3"
    shutil.copy(sqlite_template, path)
    return Database(make_engine(f"sqlite:///{path}"))


def test_a_club_comes_back_the_same(house: ClubHouse, empty: Database, tmp_path: Path) -> None:
    """Exported, imported elsewhere and exported again: the same bytes. Members sign in; every record reads the same."""
    dealer, sha256 = full_club(house)
    first, second = tmp_path / "first.zip", tmp_path / "second.zip"
    export_club(house.database, photos_of(house), "hill", first)
    photos = MemoryPhotoStore()

    manifest = import_club(empty, photos, first)
    export_club(empty, photos, "hill", second)

    assert first.read_bytes() == second.read_bytes()
    # The open tables, pooled grades among them, come out the same there too, though the database is another kind.
    export_tables_of(house.database, "hill", tmp_path / "tables.zip")
    export_tables_of(empty, "hill", tmp_path / "tables_there.zip")
    assert (tmp_path / "tables.zip").read_bytes() == (tmp_path / "tables_there.zip").read_bytes()
    assert (1, []) == (manifest["n_photos"], manifest["missing_photos"])
    settings = test_settings(str(empty.engine.url), tmp_path)
    app = create_app(settings, database=empty, photos=photos, now=Clock(), renderer=NullRenderer())
    signed = app.test_client().post(
        "/api/v1/session?kind=bearer", json={"sign_in_name": "dealer", "password": PASSWORD}
    )
    there = Person(app, dealer.id, "dealer", signed.json["token"])
    for path in (
        "/changes?limit=1000",
        "/trials?limit=500",
        "/inspections",
        "/lappings",
        "/slips",
        "/offers",
        "/consents",
        "/shortlists",
        "/stones",
        "/work",
    ):
        assert dealer.get(path).json == there.get(path).json, path
    code = dealer.get("/slips").json["items"][0]["code"]
    slip, there_too = (one.app.test_client().get(f"/api/v1/published/{code}").json for one in (dealer, there))
    assert (["Tester3"], slip) == (slip["testers"], there_too)
    assert dealer.get(f"/photos/{sha256}").data == there.get(f"/photos/{sha256}").data
    pooled, again = (one.get("/pooled?purpose=knife").json["scales"] for one in (dealer, there))
    assert [scale["inputs_digest"] for scale in pooled] == [scale["inputs_digest"] for scale in again]
    empty.dispose()


def test_every_kind_of_record_can_come_back() -> None:
    """A kind that the service writes but the bundle's reader does not know would be lost on the way."""
    assert set(THINGS) == set(RECORDS)


def test_a_club_is_not_imported_over_itself(house: ClubHouse, tmp_path: Path) -> None:
    """The service that has the club refuses the bundle; nothing is overwritten."""
    bundle = tmp_path / "club.zip"
    export_club(house.database, photos_of(house), "hill", bundle)

    with pytest.raises(Conflict, match="already"):
        import_club(house.database, MemoryPhotoStore(), bundle)


def test_a_damaged_bundle_changes_nothing(house: ClubHouse, empty: Database, tmp_path: Path) -> None:
    """A changed byte, a missing part, a file that is no bundle: refused, and the database stays empty."""
    bundle, damaged, none = tmp_path / "club.zip", tmp_path / "damaged.zip", tmp_path / "none.zip"
    full_club(house)
    export_club(house.database, photos_of(house), "hill", bundle)
    with zipfile.ZipFile(bundle) as whole, zipfile.ZipFile(damaged, "w") as part:
        for name in whole.namelist():
            content = whole.read(name)
            part.writestr(
                name,
                content.replace(b"Rinsed first", b"Rinsed never") if name == "journal.jsonl" else content,
            )
    none.write_text("hello")

    for path in (damaged, none):
        with pytest.raises(Invalid):
            import_club(empty, MemoryPhotoStore(), path)
    with pytest.raises(NotFound):
        export_club(empty, MemoryPhotoStore(), "hill", tmp_path / "again.zip")
    empty.dispose()


def test_a_bundle_can_be_read_without_this_program(house: ClubHouse, tmp_path: Path) -> None:
    """A ZIP of JSON lines: each state of each record with its revision, in order."""
    full_club(house)
    bundle = tmp_path / "club.zip"
    manifest = export_club(house.database, photos_of(house), "hill", bundle)

    with zipfile.ZipFile(bundle) as file:
        lines = [json.loads(line) for line in file.read("journal.jsonl").splitlines()]

    assert manifest["n_entries"] == len(lines)
    assert list(range(1, manifest["revision"] + 1)) == [line["revision"] for line in lines]
    assert {"trial", "inspection", "lapping", "slip"} <= {line["thing"] for line in lines}
