"""Every figure on a review page follows from the exported tables: recomputed for the demo club, figure by figure."""

import csv
import io
import subprocess
import sys
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests
from seed.client import Client
from seed.load import load_demo
from seed.scenario import PEOPLE

from tests.recompute import Pooled, Tables, pool_purpose, read_package, review
from tests.service import PASSWORD, running_club

FIGURE = 2e-3
"""Grades. The page may show a fit that started from an earlier one; both stop within their tolerance, so that grades
agree to a few thousandths, of which the tenth is shown. What is counted, named or a state agrees exactly."""

SCORE = 1e-2
"""Standard deviations, for residuals told as normal scores: they divide by a spread of about a fifth of a grade."""

PURPOSES = ("knife", "razor", "plane_iron")
HEAD = {"revision", "computed_at", "behind"}
"""Say when the page was made; no figures of the stone."""


class Exported:
    """The demo club's download, and what its review pages show."""

    def __init__(self, dealer: Client, path: Path) -> None:
        self.dealer, self.path = dealer, path
        answer = dealer.send("GET", "/export/data-package.zip")
        path.write_bytes(answer.content)
        self.tables: Tables = read_package(path)

    def page(self, stone: str, purpose: str) -> dict[str, Any]:
        shown: dict[str, Any] = self.dealer.get(f"/stones/{stone}/review", purpose=purpose)
        return shown


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Exported]:
    folder = tmp_path_factory.mktemp("recompute")
    with running_club(folder) as service:
        load_demo(service.url, "hill", "steward", PASSWORD)
        dealer = Client(service.url, requests.Session())
        dealer.sign_in("hill", "edda", next(person.password for person in PEOPLE if person.key == "edda"))
        yield Exported(dealer, folder / "tables.zip")


def chosen(tables: Tables) -> list[str]:
    """Stones of every sort: agreed grades, trials left out, inspected, many steels, few trials, none."""
    n_trials = Counter(row["stone_id"] for row in tables["trials"])
    left_out = [row["stone_id"] for row in tables["trials"] if row["excluded_at"] is not None]
    agreed = [row["stone_id"] for row in tables["check_stones"]]
    looked = [row["stone_id"] for row in tables["inspections"]]
    untried = [row["id"] for row in tables["stones"] if row["id"] not in n_trials]
    by_number = [stone for stone, _ in n_trials.most_common()]
    assert left_out
    assert agreed
    assert looked
    return list(
        dict.fromkeys(
            [*left_out[:2], *agreed[:2], *looked[:2], *by_number[:2], *by_number[-2:], *untried[:1]]
        )
    )


def differences(shown: Any, own: Any, at: str = "") -> tuple[list[str], int]:
    """Where two answers differ, and how many values were compared. A figure left out on either side is a difference."""
    if isinstance(shown, dict) and isinstance(own, dict):
        found = [f"{at}.{name}: only on one side" for name in set(shown) ^ set(own)]
        n = 0
        for name in set(shown) & set(own):
            more, compared = differences(shown[name], own[name], f"{at}.{name}")
            found, n = found + more, n + compared
        return found, n
    if isinstance(shown, list) and isinstance(own, list):
        if len(shown) != len(own):
            return [f"{at}: {len(shown)} and {len(own)}"], 0
        pairs = [
            differences(one, other, f"{at}[{k}]")
            for k, (one, other) in enumerate(zip(shown, own, strict=True))
        ]
        return [one for found, _ in pairs for one in found], sum(n for _, n in pairs)
    figures = [isinstance(one, float | int) and not isinstance(one, bool) for one in (shown, own)]
    within = SCORE if at.endswith((".standardised", ".z")) else FIGURE
    same = abs(shown - own) <= within if all(figures) else shown == own
    return ([] if same else [f"{at}: {shown!r} and {own!r}"]), 1


def compared(exported: Exported, pooled: list[Pooled], stone: str, purpose: str) -> tuple[list[str], int]:
    shown = {name: value for name, value in exported.page(stone, purpose).items() if name not in HEAD}
    own = review(pooled, stone, purpose)
    for scale in shown["scales"]:
        scale.pop("method_version")
        if scale["signs"]["check"] is not None:
            assert scale["signs"]["check"].pop("stone_id") == stone
        if scale["stone"] is not None:
            assert scale["stone"].pop("stone_id") == stone
    return differences(shown, own)


def test_every_figure_of_a_review_page_can_be_recomputed(exported: Exported) -> None:
    """All figures of all scales and purposes, for stones of every sort; names, states and counts exactly."""
    n = 0
    for purpose in PURPOSES:
        pooled = pool_purpose(exported.tables, purpose)
        for stone in chosen(exported.tables):
            found, compared_here = compared(exported, pooled, stone, purpose)
            assert [] == found, (stone, purpose)
            n += compared_here
    assert n > 3000


def changed(path: Path, to: Path, table: str, key: str, column: str, value: str) -> None:
    """The package with one cell of one table altered; the row's key stands in its first column."""
    with zipfile.ZipFile(path) as package, zipfile.ZipFile(to, "w") as other:
        for name in package.namelist():
            text = package.read(name).decode()
            if name == f"data/{table}.csv":
                rows = list(csv.reader(io.StringIO(text, newline="")))
                row = next(row for row in rows if row[0] == key)
                assert row[rows[0].index(column)] != value
                row[rows[0].index(column)] = value
                out = io.StringIO(newline="")
                csv.writer(out).writerows(rows)
                text = out.getvalue()
            other.writestr(name, text)


def from_file(path: Path, purpose: str) -> list[Pooled]:
    """Pooled anew from a package."""
    return pool_purpose(read_package(path), purpose)


def test_an_altered_grade_in_the_export_is_found(exported: Exported, tmp_path: Path) -> None:
    """One grade of one trial, a step away: the figures of its stone are no longer those of the page."""
    stone = chosen(exported.tables)[0]
    trial = next(
        row for row in exported.tables["trials"] if row["stone_id"] == stone and row["excluded_at"] is None
    )
    grade = next(row for row in exported.tables["trial_grades"] if row["trial_id"] == trial["id"])
    purpose = next(
        row["purpose"] for row in exported.tables["protocols"] if row["id"] == trial["protocol_id"]
    )
    other = grade["grade"] - 0.5 if grade["grade"] > 1 else grade["grade"] + 0.5
    changed(exported.path, tmp_path / "altered.zip", "trial_grades", trial["id"], "grade", str(other))

    found, _ = compared(exported, from_file(tmp_path / "altered.zip", purpose), stone, purpose)

    names = {one.split(":")[0].rsplit(".", 1)[-1] for one in found}
    assert {"grade", "reported", "inputs_digest", "residual", "corrected", "pull"} <= names


def test_a_trial_taken_back_in_and_a_moved_check_stone_are_found(exported: Exported, tmp_path: Path) -> None:
    """Not only grades count: so does what the dealer left out and what the club agreed on."""
    left_out = next(row for row in exported.tables["trials"] if row["excluded_at"] is not None)
    agreed = exported.tables["check_grades"][0]
    check = next(row for row in exported.tables["check_stones"] if row["id"] == agreed["check_stone_id"])
    protocols = {row["id"]: row["purpose"] for row in exported.tables["protocols"]}
    changed(exported.path, tmp_path / "in.zip", "trials", left_out["id"], "excluded_at", "")
    changed(
        exported.path,
        tmp_path / "moved.zip",
        "check_grades",
        check["id"],
        "grade",
        str(agreed["grade"] + 0.5),
    )

    purpose = protocols[left_out["protocol_id"]]

    in_again, _ = compared(exported, from_file(tmp_path / "in.zip", purpose), left_out["stone_id"], purpose)
    moved, _ = compared(
        exported, from_file(tmp_path / "moved.zip", check["purpose"]), check["stone_id"], check["purpose"]
    )

    assert any(".state:" in one for one in in_again)
    assert any(".grade:" in one for one in moved)


def test_it_runs_as_a_script(exported: Exported) -> None:
    """By a stone's code, without the service."""
    code = next(row["code"] for row in exported.tables["stones"])
    script = Path(__file__).parents[1] / "recompute.py"

    run = subprocess.run(
        [sys.executable, str(script), str(exported.path), code, "knife"],
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip

    assert '"scale": "hardness"' in run.stdout
