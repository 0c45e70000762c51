"""The club's picture of itself: testers against check stones, and how far all agree."""

from typing import Any

import pytest

from tests.conftest import ClubHouse, new_id
from tests.stories.test_pooling import STEELS, fill, hardness


@pytest.fixture
def house(small_house: ClubHouse) -> ClubHouse:
    """On SQLite alone: what these stories claim is worked out above the database, and a fit takes its time."""
    return small_house


def with_check_stones(house: ClubHouse) -> tuple[list[str], list[str]]:
    """Four stones that all have tried with two steels; the first and the third hold agreed grades."""
    stones, _ = fill(house, 4)
    checks = [stones[0], stones[2]]
    for n, stone in enumerate(checks):
        grades = {"hardness": {"grade": 2.0 + n, "sd": 0.1}}
        body = {"stone_id": stone, "purpose": "knife", "grades": grades, "agreed_on": "2026-02-01"}
        assert 201 == house.dealer.put(f"/check-stones/{new_id()}", body).status_code
    return stones, checks


def of_tester(answer: Any, tester_id: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in hardness(answer)["testers"] if one["tester_id"] == tester_id)
    return found


def test_the_dealer_reads_each_trial_of_a_check_stone_against_its_agreed_grade(house: ClubHouse) -> None:
    """Reported less agreed, the oldest first; trials of other stones are not among them, nor excluded ones."""
    _, checks = with_check_stones(house)
    tester = house.testers[1]

    seen = of_tester(house.dealer.get("/calibration?purpose=knife"), tester.id)
    record = seen["check_record"]

    trials = {
        one["id"]: one
        for stone in checks
        for one in house.dealer.get(f"/stones/{stone}/trials").json["items"]
        if one["created_by"] == tester.id
    }
    assert set(trials) == {one["trial_id"] for one in record}
    assert 4 == len(record)
    for one in record:
        agreed = 2.0 + checks.index(one["stone_id"])
        reported = trials[one["trial_id"]]["grades"]["hardness"]
        assert (agreed, 0.1, reported, reported - agreed) == (
            one["agreed"], one["agreed_sd"], one["reported"], one["difference"],
        )  # fmt: skip
        assert one["steel"] in STEELS
    assert [] == [one for one in record if one["scale"] != "hardness"]
    house.dealer.post(f"/trials/{record[0]['trial_id']}/exclude", {"reason": "A chipped blade"})
    after = of_tester(house.dealer.get("/calibration?purpose=knife"), tester.id)
    assert 3 == len(after["check_record"])


def test_a_tester_learns_nothing_of_the_agreed_grades(house: ClubHouse) -> None:
    """The own view holds no check stone, no agreed grade, no difference and no count; others' views do not exist.

    What agreed grades are there must not change a word of it, as long as the level is not settled.
    """
    stones, checks = with_check_stones(house)
    tester = house.testers[0]

    def own() -> dict[str, Any]:
        scales = tester.get("/calibration?purpose=knife").json["scales"]
        return {scale["scale"]: scale["testers"] for scale in scales}

    before = own()
    (mine,) = before["hardness"]

    assert [] == mine["check_record"]
    assert {"n_trials": None, "since": None, "moved_by": None, "note": "", "points": []} == {
        key: value for key, value in mine["check_drift"].items() if key != "state"
    }
    # Another trial of a check stone and another of a plain one leave the same trace.
    blade = house.dealer.get("/blades").json["items"][0]["id"]
    seen = []
    for stone in (checks[0], stones[1]):
        body = house.trial_body(stone, blade, grades={"hardness": 2.5, "fineness": 2.5})
        assert 201 == tester.put(f"/trials/{new_id()}", body).status_code
        (now,) = own()["hardness"]
        told = ("check_record", "check_level", "check_drift")
        seen.append({key: now[key] for key in told})
    assert seen[0] == seen[1]
    # The dealer's view tells them apart, so there was something to tell.
    assert 5 == len(of_tester(house.dealer.get("/calibration?purpose=knife"), tester.id)["check_record"])


def test_agreement_names_whose_grades_it_rests_on(house: ClubHouse) -> None:
    """A table with gaps still has ICC and W for the testers who share the most stones; a fourth stays out."""
    fill(house, 4)
    fourth = house.member("fourth", "tester")
    extra = house.stone()
    blade = house.dealer.get("/blades").json["items"][0]["id"]
    fourth.put(f"/trials/{new_id()}", house.trial_body(extra, blade))

    report = hardness(house.dealer.get("/agreement?purpose=knife"))["report"]

    assert sorted(person.id for person in house.testers) == sorted(report["block"]["tester_ids"])
    assert 8 == report["block"]["n_units"]  # four stones with two steels each
    assert report["icc"]["n_targets"] == 8
    # One tester grades a whole grade lower: consistent in order, not in level.
    assert report["icc"]["three_1"]["icc"] > report["icc"]["two_1"]["icc"]
    assert 0 < report["kendall_w"]["w"] <= 1
    assert report["precision"] is None
    assert "twice" in report["why_not"]["precision"]


def test_agreement_of_a_single_trial_says_why_there_is_no_figure(house: ClubHouse) -> None:
    """Nothing to compare: each figure is absent with its reason."""
    blade, stone = house.blade("white_carbon"), house.stone()
    house.testers[0].put(f"/trials/{new_id()}", house.trial_body(stone, blade))

    report = hardness(house.dealer.get("/agreement?purpose=knife"))["report"]

    assert (None, None, None) == (report["alpha"]["alpha"], report["icc"], report["kendall_w"])
    assert {"alpha", "icc", "kendall_w", "precision"} == set(report["why_not"])
    assert {"tester_ids": [], "n_units": 0} == report["block"]
