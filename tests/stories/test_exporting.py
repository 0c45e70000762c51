"""What a club takes away: open tables that another program can read, and the same records as JSON.

Read back by the ``frictionless`` library, the reference reader of the open standard Data Package.
"""

import csv
import io
import json
import zipfile
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from frictionless import Package

from tests.conftest import PASSWORD, ClubHouse, new_id
from tests.services.test_bundling import full_club
from whetpanel.services.exporting import export_tables_of
from whetpanel.services.tables import TABLES
from whetpanel.services.things import THINGS

NASTY = "=1+1\n\"quoted\", 'single', a\ttab, 砥石 🪨 and\r\nWindows; +2 -3 @here\\n"


def busy_club(house: ClubHouse) -> None:
    """Everything that a club can hold, with words that break careless writers of tables."""
    _, sha256 = full_club(house)
    stone = house.stone(
        colour="=cmd", notes=NASTY, sides_sealed=True, marks=[{"face": "back", "kind": "stamp", "notes": NASTY}],
        photos=[{"sha256": sha256, "view": "front", "caption": "-1", "corners": [[0, 0], [9, 0], [9, 4.5], [0, 4.5]]},
                {"sha256": "ab" * 32, "view": "side"}],
    )  # fmt: skip
    tester, dealer = house.testers[0], house.dealer
    findings = [
        {"id": new_id(), "kind": "fissure", "points": [{"x_mm": 0, "y_mm": 5}, {"x_mm": 20.25, "y_mm": 9}],
         "depth_mm": 1.5, "catches_nail": False, "notes": "@" + NASTY},
        {"id": new_id(), "kind": "inclusion", "points": [{"x_mm": 60, "y_mm": 30}], "catches_edge": True,
         "scratches_finish": True},
    ]  # fmt: skip
    inspection = new_id()
    body = {
        "stone_id": stone, "face": "front", "inspected_at": "2026-03-02T10:00:00Z", "findings": findings,
        "water_uptake_s": 300, "tap_tone": "ring", "notes": "",
        "flatness": {"method": "grid", "readings": [{"x_mm": x, "y_mm": y, "height_um": x / 9}
                                                    for x in (5, 100, 200) for y in (5, 70)]},
    }  # fmt: skip
    judged = tester.put(f"/inspections/{inspection}", body)
    assert 201 == judged.status_code, judged.json
    verdict = next(one for one in judged.json["verdicts"] if one["finding_id"] == findings[1]["id"])
    repair = {
        "stone_id": stone, "inspection_id": inspection, "finding_id": findings[1]["id"],
        "rule_id": verdict["rule_id"], "verdict": verdict["verdict"], "outcome": "done",
        "done_at": "2026-03-02T11:00:00Z", "with_what": "=HYPERLINK(1)",
    }  # fmt: skip
    assert 201 == tester.put(f"/repairs/{new_id()}", repair).status_code
    protocol = house.protocols["razor"]
    agreed = {"stone_id": stone, "purpose": "knife", "agreed_on": "2026-02-01",
              "grades": {"hardness": {"grade": 3.25, "sd": 0.3}}}  # fmt: skip
    assert 201 == dealer.put(f"/check-stones/{new_id()}", agreed).status_code
    asked = {
        "stone_id": stone,
        "tester_id": tester.id,
        "purpose": "knife",
        "due_on": "2026-04-01",
        "notes": NASTY,
    }
    assert 201 == dealer.put(f"/assignments/{new_id()}", asked).status_code
    for holder in (tester.id, None):
        handed = {"stone_id": stone, "holder_id": holder, "handed_at": "2026-03-03T08:00:00Z"}
        assert 201 == dealer.put(f"/hand-overs/{new_id()}", handed).status_code
    offer = {
        "stone_id": stone,
        "state": "kept_back",
        "cost": 12.5,
        "price": None,
        "currency": "EUR",
        "notes": NASTY,
    }
    assert 201 == dealer.put(f"/offers/{stone}", offer).status_code
    assert 201 == tester.put(f"/consents/{tester.id}", {"names_on_slips": True}).status_code
    changed = {key: protocol[key] for key in ("name", "purpose", "reference_steels", "cautions", "steps", "scales",
                                              "observations")}  # fmt: skip
    later = house.steward.put(f"/protocols/{protocol['id']}", {**changed, "summary": NASTY}, version=1)
    assert 200 == later.status_code, later.json


def package_of(house: ClubHouse, folder: Path) -> Path:
    """The dealer's download, as a file."""
    answer = house.dealer.get("/export/data-package.zip")
    assert 200 == answer.status_code, answer.json
    path = folder / "tables.zip"
    path.write_bytes(answer.data)
    return path


def rows_of(path: Path, table: str) -> list[dict[str, str]]:
    """A table's cells as they stand in the file."""
    with zipfile.ZipFile(path) as package:
        text = package.read(f"data/{table}.csv").decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def typed(path: Path) -> dict[str, list[dict[str, Any]]]:
    """Every table as the standard's own reader understands it."""
    package = Package(str(path))
    return {resource.name: [row.to_dict() for row in resource.read_rows()] for resource in package.resources}


def test_the_standards_own_reader_finds_nothing_wrong(house: ClubHouse, tmp_path: Path) -> None:
    """Types, keys, references between tables, enumerations, sizes and hashes: no error, whatever members wrote."""
    busy_club(house)
    report = Package(str(package_of(house, tmp_path))).validate()

    assert [] == [error.to_dict() for task in report.tasks for error in task.errors]
    assert (True, len(TABLES)) == (report.valid, report.stats["tasks"])
    assert [] == report.warnings


def test_the_reader_would_have_found_a_broken_package(small_house: ClubHouse, tmp_path: Path) -> None:
    """A changed cell, a row that names a stone that is not there, a word that is none of the few: each is found."""
    busy_club(small_house)
    good = package_of(small_house, tmp_path)
    for n, (table, change) in enumerate(
        (
            ("trials", lambda text: text.replace("front", "upper", 1)),
            ("stones", lambda text: "\r\n".join(text.split("\r\n")[:2]) + "\r\n"),
            ("trial_grades", lambda text: text.replace("hardness", "hardnesx")),
        )
    ):
        bad = tmp_path / f"bad{n}.zip"
        with zipfile.ZipFile(good) as package, zipfile.ZipFile(bad, "w") as spoiled:
            for name in package.namelist():
                text = package.read(name).decode()
                if name == f"data/{table}.csv":
                    text = change(text)
                if name == "datapackage.json":  # so that it is not the hash alone that gives it away
                    descriptor = json.loads(text)
                    for resource in descriptor["resources"]:
                        del resource["hash"], resource["bytes"]
                    text = json.dumps(descriptor)
                spoiled.writestr(name, text)

        assert not Package(str(bad)).validate().valid, table


def test_cells_read_back_are_the_records_as_served(house: ClubHouse, tmp_path: Path) -> None:
    """Every own field of every record comes back from its table, by the standard's reader, as the API serves it."""
    busy_club(house)
    path = package_of(house, tmp_path)
    tables = typed(path)
    by_name = {table.name: table for table in TABLES}
    n_compared = 0
    for table in TABLES:
        if table.source not in THINGS or table.key != ("id",):
            continue
        served = served_records(house, table.source)
        read = {row["id"]: row for row in tables[table.name]}
        assert served.keys() == read.keys(), table.name
        for record_id, record in served.items():
            for column in by_name[table.name].columns:
                expected, got = column.value(record), read[record_id][column.name]
                assert as_read(expected, column.kind) == as_number(got), (table.name, column.name)
                n_compared += 1
    assert n_compared > 700


def served_records(house: ClubHouse, thing: str) -> dict[str, dict[str, Any]]:
    """A kind of record by id as the API serves it, withdrawn ones too."""
    changes = house.dealer.get("/changes?limit=1000").json
    assert not changes["more"]
    return {one["id"]: one["record"] for one in changes["changes"] if one["thing"] == thing}


def as_read(value: Any, kind: str) -> Any:
    """A served value as the reader gives it back: moments and days are read as such, numbers as decimals."""
    if value is None:
        return None
    if kind == "moment":
        return datetime.fromisoformat(value).astimezone(UTC)
    if kind == "day":
        return datetime.fromisoformat(value).date()
    return value


def as_number(value: Any) -> Any:
    """The reader's decimals as the numbers that JSON has."""
    return float(value) if isinstance(value, Decimal) else value


def test_parts_of_records_come_back_too(small_house: ClubHouse, tmp_path: Path) -> None:
    """Grades, observations, findings with their points, readings, verdicts, marks: as many and the same as served."""
    busy_club(small_house)
    tables = typed(package_of(small_house, tmp_path))
    trials, inspections = served_records(small_house, "trial"), served_records(small_house, "inspection")
    stones = served_records(small_house, "stone")

    grades = {(row["trial_id"], row["scale"]): float(row["grade"]) for row in tables["trial_grades"]}
    assert {(t, s): g for t, one in trials.items() for s, g in one["grades"].items()} == grades
    observed: dict[str, dict[str, Any]] = {trial: {} for trial in trials}
    for row in tables["trial_observations"]:
        band = {key: row[f"grit_{key}"] for key in ("low", "high", "system")}
        value = band if band["system"] is not None else next(
            (row[kind] for kind in ("number", "text", "yes_no") if row[kind] is not None), None
        )  # fmt: skip
        if isinstance(value, dict):
            value = {key: as_number(one) for key, one in value.items()}
        observed[row["trial_id"]][row["observation"]] = as_number(value)
    assert {trial: one["observations"] for trial, one in trials.items()} == observed
    for table, part in (("findings", "findings"), ("verdicts", "verdicts")):
        expected = {one: list(record[part]) for one, record in inspections.items()}
        for row in tables[table]:
            found = expected[row["inspection_id"]][row["position"] - 1]
            for name in set(found) & set(row):
                assert found[name] == as_number(row[name]), (table, name)
        assert sum(len(parts) for parts in expected.values()) == len(tables[table])
    points = [
        (one, finding["id"], point["x_mm"], point["y_mm"])
        for one, record in inspections.items() for finding in record["findings"] for point in finding["points"]
    ]  # fmt: skip
    told = [
        (r["inspection_id"], r["finding_id"], float(r["x_mm"]), float(r["y_mm"]))
        for r in tables["finding_points"]
    ]
    assert sorted(points) == sorted(told)
    readings = [r for one in inspections.values() for r in (one["flatness"] or {"readings": []})["readings"]]
    assert [r["height_um"] for r in readings] == [float(r["height_um"]) for r in tables["flatness_readings"]]
    marks = [(stone, m["face"], m["notes"]) for stone, one in stones.items() for m in one["marks"]]
    assert marks == [(r["stone_id"], r["face"], r["notes"]) for r in tables["stone_marks"]]
    assert {(None, True), (None, False)} >= {
        (r["steel"], r["withdrawn_at"] is None) for r in tables["assignments"]
    }
    assert len(tables["record_photos"]) == 2


def test_text_stands_as_it_was_written_even_where_it_looks_like_a_formula(
    small_house: ClubHouse, tmp_path: Path
) -> None:
    """No quote is put before it, since it would then be another text; the dictionary warns instead."""
    busy_club(small_house)
    path = package_of(small_house, tmp_path)

    assert "=cmd" in {row["colour"] for row in rows_of(path, "stones")}
    assert NASTY in {row["notes"] for row in rows_of(path, "stones")}
    assert "@" + NASTY in {row["notes"] for row in rows_of(path, "findings")}
    with zipfile.ZipFile(path) as package:
        words = package.read("DICTIONARY.md").decode()
    assert "for a formula" in words


def test_the_json_files_hold_the_records_as_served(small_house: ClubHouse, tmp_path: Path) -> None:
    """One array for each kind; every kind of record is there."""
    busy_club(small_house)
    with zipfile.ZipFile(package_of(small_house, tmp_path)) as package:
        arrays = {thing: json.loads(package.read(f"records/{thing}.json")) for thing in THINGS}

    for thing, records in arrays.items():
        assert served_records(small_house, thing) == {record["id"]: record for record in records}, thing
    assert all(arrays.values())


def test_the_pooled_tables_are_the_pooled_grades(small_house: ClubHouse, tmp_path: Path) -> None:
    """Grades, testers and groups are those that the service shows; the fit is a fresh one, so within its tolerance."""
    busy_club(small_house)
    tables = typed(package_of(small_house, tmp_path))
    shown = small_house.dealer.get("/pooled?purpose=knife").json

    n = 0
    for scale in shown["scales"]:
        for stone in scale["stones"]:
            row = next(r for r in tables["pooled_grades"] if (r["purpose"], r["scale"], r["stone_id"]) == (
                "knife", scale["scale"], stone["stone_id"]))  # fmt: skip
            for name in ("grade", "low90", "high90", "sd"):
                assert float(row[name]) == pytest.approx(stone[name], abs=2e-3)
            assert [stone[k] for k in ("n_trials", "n_testers", "n_steels", "group", "at_end", "note")] == [
                row[k] for k in ("n_trials", "n_testers", "n_steels", "group", "at_end", "note")
            ]
            n += 1
    assert n > 2
    head = tables["pooled_scales"][0]
    assert (shown["method_version"], shown["revision"]) == (head["method_version"], head["revision"])


def test_the_same_state_of_a_club_gives_the_same_bytes(house: ClubHouse, tmp_path: Path) -> None:
    """From the API and from the command line, asked again later, on either database."""
    busy_club(house)
    first = package_of(house, tmp_path).read_bytes()
    house.clock.now += timedelta(hours=1)

    again = package_of(house, tmp_path).read_bytes()
    about = export_tables_of(house.database, "hill", tmp_path / "cli.zip")

    assert first == again == (tmp_path / "cli.zip").read_bytes()
    assert not list(tmp_path.glob("*.part"))
    assert sum(about["n_rows"].values()) > 500


def test_an_empty_club_has_an_empty_package(small_house: ClubHouse, tmp_path: Path) -> None:
    """Headers and no rows, and still nothing wrong with it."""
    path = package_of(small_house, tmp_path)

    assert Package(str(path)).validate().valid
    assert [] == rows_of(path, "trials")
    with zipfile.ZipFile(path) as package:
        assert [] == json.loads(package.read("records/trial.json"))


def test_only_dealer_and_steward_take_the_tables_and_the_steward_alone_the_whole_club(
    small_house: ClubHouse,
) -> None:
    """The whole club holds everybody's sign-in, so it asks for the steward's own password once more."""
    ask = {"password": PASSWORD}

    assert 403 == small_house.testers[0].get("/export/data-package.zip").status_code
    assert 401 == small_house.app.test_client().get("/api/v1/export/data-package.zip").status_code
    assert 200 == small_house.steward.get("/export/data-package.zip").status_code
    assert 403 == small_house.dealer.post("/export/club.zip", ask).status_code
    refused = small_house.steward.post("/export/club.zip", {"password": "somebody else's"})
    assert (403, "Your password is not right.") == (refused.status_code, refused.json["detail"])
    bundle = small_house.steward.post("/export/club.zip", ask)
    assert 200 == bundle.status_code
    with zipfile.ZipFile(io.BytesIO(bundle.data)) as whole:
        assert {"journal.jsonl", "sign_ins.jsonl", "photos.jsonl", "manifest.json"} <= set(whole.namelist())


def test_no_password_is_in_the_tables(small_house: ClubHouse, tmp_path: Path) -> None:
    """Neither a hash nor a session nor an invitation."""
    busy_club(small_house)
    with zipfile.ZipFile(package_of(small_house, tmp_path)) as package:
        everything = b"".join(package.read(name) for name in package.namelist())

    assert b"argon2" not in everything
    assert b"password_hash" not in everything
    assert small_house.dealer.token.encode() not in everything
