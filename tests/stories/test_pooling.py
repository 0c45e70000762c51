"""From trials to pooled grades, through the API."""

import random
from typing import Any

from tests.conftest import ClubHouse, new_id

STEELS = ("white_carbon", "blue_alloy")


def fill(house: ClubHouse, n_stones: int = 6) -> tuple[list[str], dict[str, list[str]]]:
    """Three testers try each stone with two steels; the second is a full grade more severe than the others."""
    rng = random.Random(4)
    blades = [house.blade(steel) for steel in STEELS]
    stones = [house.stone() for _ in range(n_stones)]
    trials: dict[str, list[str]] = {}
    for n, stone in enumerate(stones):
        true = 2.0 + 2.0 * n / (n_stones - 1)
        for t, tester in enumerate(house.testers):
            for blade in blades:
                lean = -1.0 if t == 1 else 0.0
                grade = min(5.0, max(1.0, round(2 * (true + lean + rng.gauss(0, 0.2))) / 2))
                trial = new_id()
                body = house.trial_body(stone, blade, grades={"hardness": grade, "fineness": grade})
                assert tester.put(f"/trials/{trial}", body).status_code == 201
                trials.setdefault(stone, []).append(trial)
    return stones, trials


def hardness(answer: Any) -> dict[str, Any]:
    return next(scale for scale in answer.json["scales"] if scale["scale"] == "hardness")


def test_the_dealer_sees_grades_intervals_and_evidence(house: ClubHouse) -> None:
    """Stones come out in their true order, severity is found, and each grade says what it rests on."""
    stones, _ = fill(house)

    pooled = hardness(house.dealer.get("/pooled?purpose=knife"))

    grades = {stone["stone_id"]: stone for stone in pooled["stones"]}
    assert stones == sorted(stones, key=lambda stone: grades[stone]["grade"])
    for stone in stones:
        one = grades[stone]
        assert one["low90"] < one["grade"] < one["high90"]
        assert (6, 3, 2) == (one["n_trials"], one["n_testers"], one["n_steels"])
        assert set(STEELS) <= {cell["steel"] for cell in one["by_steel"]}
    severity = {tester["tester_id"]: tester["severity"] for tester in pooled["testers"]}
    # Simulated with a lean of one grade; the estimate is drawn a little towards the group.
    assert 0.6 < severity[house.testers[1].id] - severity[house.testers[0].id] < 1.2
    assert "No check stone" in pooled["level_note"]


def test_a_new_trial_makes_a_new_result(house: ClubHouse) -> None:
    """The result names the revision it rests on; the same records give the same digest."""
    stones, _ = fill(house, 3)
    first = house.dealer.get("/pooled?purpose=knife")
    again = house.dealer.get("/pooled?purpose=knife")
    blade = house.blade("powder")
    house.testers[0].put(f"/trials/{new_id()}", house.trial_body(stones[0], blade, grades={"hardness": 5.0}))

    after = house.dealer.get("/pooled?purpose=knife")

    assert first.json == again.json
    assert first.json["revision"] < after.json["revision"]
    assert hardness(first)["inputs_digest"] != hardness(after)["inputs_digest"]
    assert not after.json["behind"]


def test_excluding_a_trial_equals_the_what_if(house: ClubHouse) -> None:
    """What the dealer was shown beforehand is what comes out; the what-if itself stores nothing."""
    stones, trials = fill(house, 3)
    trial = trials[stones[0]][0]
    before = house.dealer.get("/pooled?purpose=knife")

    shown = house.dealer.post("/pooled/what-if", {"purpose": "knife", "exclude_trials": [trial]})
    untouched = house.dealer.get("/pooled?purpose=knife")
    house.dealer.post(f"/trials/{trial}/exclude", {"reason": "The blade was chipped"})
    after = house.dealer.get("/pooled?purpose=knife")

    assert before.json == untouched.json
    assert hardness(shown)["inputs_digest"] == hardness(after)["inputs_digest"]
    assert 5 == next(s for s in hardness(after)["stones"] if s["stone_id"] == stones[0])["n_trials"]
    differences = [
        abs(a["grade"] - b["grade"])
        for a, b in zip(hardness(shown)["stones"], hardness(after)["stones"], strict=True)
    ]
    assert max(differences) < 2e-3  # both fits stop within their tolerance


def test_a_stones_page_explains_its_trials(house: ClubHouse) -> None:
    """Each trial of the stone has its residual and its pull on the grade."""
    stones, trials = fill(house, 3)

    panel = hardness(house.dealer.get(f"/stones/{stones[1]}/panel?purpose=knife"))

    assert sorted(trials[stones[1]]) == sorted(reading["trial_id"] for reading in panel["trials"])
    assert [stones[1]] == [stone["stone_id"] for stone in panel["stones"]]


def test_a_tester_sees_only_tried_stones_and_the_own_calibration(house: ClubHouse) -> None:
    """Others' severity is private; a stone the tester has not tried is not there."""
    stones, _ = fill(house, 3)
    fresh = house.member("fresh", "tester")
    blade = house.blade("powder")
    fresh.put(f"/trials/{new_id()}", house.trial_body(stones[2], blade))

    pooled = hardness(fresh.get("/pooled?purpose=knife"))
    calibration = hardness(fresh.get("/calibration?purpose=knife"))

    assert [stones[2]] == [stone["stone_id"] for stone in pooled["stones"]]
    assert [fresh.id] == [tester["tester_id"] for tester in pooled["testers"]]
    assert [fresh.id] == [tester["tester_id"] for tester in calibration["testers"]]
    assert 403 == fresh.get(f"/stones/{stones[0]}/panel?purpose=knife").status_code
    assert 403 == fresh.post("/pooled/what-if", {"purpose": "knife", "exclude_trials": []}).status_code


def test_a_check_stone_holds_the_level(house: ClubHouse) -> None:
    """With an agreed grade the whole panel moves towards it; before, its level was the testers' average."""
    stones, _ = fill(house, 4)
    before = hardness(house.dealer.get("/pooled?purpose=knife"))
    agreed = {"hardness": {"grade": 3.0, "sd": 0.05}}
    body = {"stone_id": stones[0], "purpose": "knife", "grades": agreed, "agreed_on": "2026-02-01"}
    assert 201 == house.dealer.put(f"/check-stones/{new_id()}", body).status_code

    after = hardness(house.dealer.get("/pooled?purpose=knife"))

    def level(scale: dict[str, Any]) -> float:
        return next(stone["grade"] for stone in scale["stones"] if stone["stone_id"] == stones[0])

    assert abs(level(after) - 3.0) < 0.15 < abs(level(before) - 3.0)
    assert "check stone" in after["level_note"]


def test_a_tester_does_not_learn_which_stones_are_check_stones(house: ClubHouse) -> None:
    """The dealer sees the chart of the check stones point by point; the tester only whether it moved."""
    stones, _ = fill(house, 4)
    body = {
        "stone_id": stones[0], "purpose": "knife", "grades": {"hardness": {"grade": 2.0, "sd": 0.1}},
        "agreed_on": "2026-02-01",
    }  # fmt: skip
    assert 201 == house.dealer.put(f"/check-stones/{new_id()}", body).status_code
    tester = house.testers[0]

    own = hardness(tester.get("/calibration?purpose=knife"))["testers"][0]["check_drift"]
    seen = hardness(house.dealer.get("/calibration?purpose=knife"))["testers"]

    # A count would tell it too: it rises with a trial of a check stone and with no other.
    assert (None, []) == (own["n_trials"], own["points"])
    assert 2 == len(next(one for one in seen if one["tester_id"] == tester.id)["check_drift"]["points"])


def test_calibration_and_agreement_come_with_their_counts(house: ClubHouse) -> None:
    """Severity, steadiness and drift for each tester; alpha with its interval for the panel."""
    fill(house)

    calibration = hardness(house.dealer.get("/calibration?purpose=knife"))
    agreement = hardness(house.dealer.get("/agreement?purpose=knife"))

    severe = next(t for t in calibration["testers"] if t["tester_id"] == house.testers[1].id)
    assert severe["severity_low90"] > 0
    assert (12, "steady") == (severe["n_trials"], severe["drift"]["state"])
    assert 12 == len(severe["drift"]["points"])
    assert 36 == agreement["n_ratings"]
    alpha = agreement["report"]["alpha"]
    assert alpha["low95"] <= alpha["alpha"] <= alpha["high95"]
    assert 403 == house.testers[0].get("/agreement?purpose=knife").status_code


def test_an_empty_club_has_an_honest_answer(house: ClubHouse) -> None:
    """No trial yet: no grade, no error."""
    for path in ("/pooled", "/calibration", "/agreement"):
        answer = house.dealer.get(f"{path}?purpose=razor")
        assert (path, 200) == (path, answer.status_code)
    assert [] == hardness(house.dealer.get("/pooled?purpose=razor"))["stones"]


def test_the_plan_names_trials_under_the_clubs_limits(house: ClubHouse) -> None:
    """Wide stones come first; a tester who is busy gets no more than the load; who has left gets none."""
    fill(house, 3)
    untried = [house.stone(), house.stone()]
    first, _, third = house.testers
    member = third.get("/session").json["member"]
    body = {key: member[key] for key in ("display_name", "sign_in_name", "roles")}
    house.steward.put(f"/members/{third.id}", {**body, "active": False}, version=1)

    answer = house.dealer.post("/plan", {"purpose": "knife", "n": 6, "most_trials": {first.id: 1}})

    trials = answer.json["trials"]
    assert 200 == answer.status_code
    assert 0.5 == answer.json["target_half_width"]
    assert set(untried) <= {trial["stone_id"] for trial in trials}
    assert trials[0]["stone_id"] in untried
    testers = [trial["tester_id"] for trial in trials]
    assert testers.count(first.id) <= 1
    assert third.id not in testers
    assert all(trial["half_width_after"] < trial["half_width_before"] for trial in trials)
    assert 403 == first.post("/plan", {"purpose": "knife"}).status_code


def test_a_plan_for_a_club_without_trials_is_empty(house: ClubHouse) -> None:
    """There is nothing to learn from yet: the first trials need no plan."""
    house.stone()

    assert [] == house.dealer.post("/plan", {"purpose": "razor"}).json["trials"]
