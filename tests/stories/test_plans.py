"""The dealer asks for trials; everybody sees who has which stone."""

from datetime import timedelta
from typing import Any

import pytest

from tests.conftest import ClubHouse, new_id
from tests.stories.test_pooling import fill


@pytest.fixture
def house(small_house: ClubHouse) -> ClubHouse:
    """On SQLite alone: what these stories claim is worked out above the database, and a fit takes its time."""
    return small_house


def test_an_assignment_reaches_the_testers_phone(house: ClubHouse) -> None:
    """It comes with the changes; only dealer and steward ask; a member who is no tester cannot be asked."""
    stone, tester = house.stone(), house.testers[0]
    body = {"stone_id": stone, "tester_id": tester.id, "purpose": "knife", "steel": "white_carbon"}
    asked = new_id()

    sent = house.dealer.put(f"/assignments/{asked}", body)
    by_tester = tester.put(f"/assignments/{new_id()}", body)
    to_dealer = house.dealer.put(f"/assignments/{new_id()}", {**body, "tester_id": house.dealer.id})

    assert (201, 403, 409) == (sent.status_code, by_tester.status_code, to_dealer.status_code)
    changes = tester.get("/changes?limit=1000").json["changes"]
    assert [asked] == [change["id"] for change in changes if change["thing"] == "assignment"]


def test_a_stone_changes_hands(house: ClubHouse) -> None:
    """A tester passes it on; only the dealer takes it back; the log keeps every step."""
    stone, (first, second, _) = house.stone(), house.testers
    given = {"stone_id": stone, "holder_id": first.id, "handed_at": "2026-03-01T10:00:00Z"}
    passed = {"stone_id": stone, "holder_id": second.id, "handed_at": "2026-03-02T10:00:00Z"}
    back = {"stone_id": stone, "holder_id": None, "handed_at": "2026-03-03T10:00:00Z"}

    statuses = [
        person.put(f"/hand-overs/{new_id()}", body).status_code
        for person, body in ((house.dealer, given), (first, passed), (second, back), (house.dealer, back))
    ]

    assert [201, 201, 422, 201] == statuses
    log = house.dealer.get(f"/hand-overs?stone_id={stone}").json["items"]
    assert [first.id, second.id, None] == [
        one["holder_id"] for one in sorted(log, key=lambda one: one["handed_at"])
    ]


def half_known(house: ClubHouse) -> tuple[list[str], list[str]]:
    """Three stones that all have tried with two steels, and one that a single tester tried with one of them."""
    stones, _ = fill(house, 4)
    blades = [blade["id"] for blade in house.dealer.get("/blades").json["items"]]
    thin = house.stone()
    house.testers[0].put(f"/trials/{new_id()}", house.trial_body(thin, blades[0]))
    return [*stones, thin], blades


def plan(house: ClubHouse, **limits: Any) -> dict[str, Any]:
    answer = house.dealer.post("/plan", {"purpose": "knife", "n": 6, **limits})
    assert 200 == answer.status_code, answer.json
    body: dict[str, Any] = answer.json
    return body


def rules(house: ClubHouse, **changes: Any) -> None:
    club = house.steward.get("/club").json
    body = {key: club[key] for key in ("name", "invented", "publish_rules", "confirm_depth_mm")}
    body["publish_rules"] = {**body["publish_rules"], **changes}
    answer = house.steward.put("/club", body, version=club["version"])
    assert 200 == answer.status_code, answer.json


def whats(body: dict[str, Any]) -> list[tuple[str, str, str]]:
    return [(one["tester_id"], one["stone_id"], one["steel"]) for one in body["trials"]]


def test_the_plan_says_what_each_trial_brings(house: ClubHouse) -> None:
    """Narrowing with its figures, a second tester, a first with a steel; each sentence true of the club's rules."""
    stones, _ = half_known(house)
    rules(house, min_testers=2, min_steels=2, max_half_width=0.5)

    body = plan(house, stone_ids=[stones[-1]], n=3)

    first = body["trials"][0]
    said = " ".join(first["why"])
    assert house.testers[0].id != first["tester_id"]
    assert "Second tester of the 2 that the club asks for." in first["why"]
    assert f"Narrows {body['scale']}" in said
    assert "from ±" in said
    assert any(
        "First with this steel: second of the 2" in why for one in body["trials"] for why in one["why"]
    )
    assert 1 == body["groups"]


def test_a_narrow_stone_that_lacks_a_tester_is_planned_for(house: ClubHouse) -> None:
    """A rule that no interval can miss: only the missing tester is left, and one trial brings it."""
    stones, _ = half_known(house)
    rules(house, min_testers=2, min_steels=1, max_half_width=2.0)

    body = plan(house)

    assert [stones[-1]] == [one["stone_id"] for one in body["trials"]]
    assert ["Second tester of the 2 that the club asks for."] == body["trials"][0]["why"]
    rules(house, min_testers=1)
    assert [] == plan(house)["trials"]


def test_what_is_asked_already_is_not_proposed_again_until_it_is_done(house: ClubHouse) -> None:
    """An open assignment counts as done in the plan; withdrawn, its trial is proposed again."""
    stones, _ = half_known(house)
    rules(house, min_testers=2, min_steels=1, max_half_width=2.0)
    (one,) = plan(house)["trials"]
    asked = new_id()
    wanted = {
        "stone_id": one["stone_id"],
        "tester_id": one["tester_id"],
        "purpose": "knife",
        "steel": one["steel"],
    }
    assert 201 == house.dealer.put(f"/assignments/{asked}", wanted).status_code

    while_asked = plan(house)
    house.dealer.post(f"/assignments/{asked}/withdraw", {"reason": "On holiday"})
    after = plan(house)

    assert ([], 1) == (while_asked["trials"], while_asked["underway"])
    assert ([stones[-1]], 0) == ([one["stone_id"] for one in after["trials"]], after["underway"])


def test_a_done_trial_closes_what_was_asked(house: ClubHouse) -> None:
    """Only the asked tester's trial with the asked steel does; the count of what is underway says so."""
    stones, blades = half_known(house)
    steel = house.dealer.get(f"/blades/{blades[1]}").json["steel"]
    first, second, _ = house.testers
    house.clock.now += timedelta(days=1)
    wanted = {"stone_id": stones[-1], "tester_id": second.id, "purpose": "knife", "steel": steel}
    house.dealer.put(f"/assignments/{new_id()}", wanted)
    house.clock.now += timedelta(days=1)
    later = {"started_at": "2030-03-01T10:00:00Z", "finished_at": "2030-03-01T10:20:00Z"}

    def underway() -> int:
        found: int = plan(house)["underway"]
        return found

    counts = [underway()]
    for person, blade in ((first, blades[1]), (second, blades[0]), (second, blades[1])):
        body = house.trial_body(stones[-1], blade, **later)
        assert 201 == person.put(f"/trials/{new_id()}", body).status_code
        counts.append(underway())

    assert [1, 1, 1, 0] == counts


def test_a_stone_that_needs_a_hand_first_is_left_out_and_said(house: ClubHouse) -> None:
    """An open urgent repair, kept back, sold; named by the dealer, it is planned for all the same."""
    stones, _ = half_known(house)
    thin = stones[-1]
    untried, kept, sold = house.stone(), house.stone(), house.stone()
    split = {
        "stone_id": untried, "face": "front", "inspected_at": "2026-03-01T10:00:00Z",
        "findings": [
            {
                "id": new_id(), "kind": "fissure", "catches_nail": True, "moves_when_pressed": True,
                "points": [{"x_mm": 0, "y_mm": 30}, {"x_mm": 205, "y_mm": 34}],
            }
        ],
    }  # fmt: skip
    assert 201 == house.testers[0].put(f"/inspections/{new_id()}", split).status_code
    for stone, state, notes in ((kept, "kept_back", "My own"), (sold, "sold", "")):
        offer = {"stone_id": stone, "state": state, "currency": "EUR", "notes": notes}
        assert 201 == house.dealer.put(f"/offers/{stone}", offer).status_code

    body = plan(house, n=30)
    named = plan(house, n=30, stone_ids=[untried])

    because = {one["stone_id"]: one["because"] for one in body["left_out"]}
    assert {untried, kept, sold} == set(because)
    assert ("You keep it back: My own", "It is sold.") == (because[kept], because[sold])
    assert "(front): " in because[untried]
    assert thin in {one["stone_id"] for one in body["trials"]}
    assert not {untried, kept, sold} & {one["stone_id"] for one in body["trials"]}
    assert {untried} == {one["stone_id"] for one in named["trials"]}
    assert [] == named["left_out"]


def test_linking_trials_come_first(house: ClubHouse) -> None:
    """Two halves of the club that never met: the plan begins with the trial that lets them be compared."""
    blade = house.blade("white_carbon")
    here, there = [house.stone() for _ in range(3)], [house.stone() for _ in range(3)]
    for tester, stones in ((house.testers[0], here), (house.testers[1], there)):
        for n, stone in enumerate(stones):
            grades = {"hardness": 2.0 + n, "fineness": 2.0 + n}
            assert (
                201
                == tester.put(
                    f"/trials/{new_id()}", house.trial_body(stone, blade, grades=grades)
                ).status_code
            )

    body = plan(house, n=4)
    trials = body["trials"]

    assert 2 == body["groups"]
    assert [True, False, False, False] == [one["links"] for one in trials]
    assert "Links groups" in trials[0]["why"][0]
    # Kept by the dealer, it is still the one that links; another in its place that links nothing is not.
    kept = plan(
        house, n=1, settled=[dict(zip(("tester_id", "stone_id", "steel"), whats(body)[0], strict=True))]
    )
    third = {"tester_id": house.testers[2].id, "stone_id": here[0], "steel": "white_carbon"}
    other = plan(house, n=2, settled=[third])
    assert [True] == [one["links"] for one in kept["trials"]]
    assert [False, True] == [one["links"] for one in other["trials"]]
    # Its tester goes to the other half.
    own = here if trials[0]["tester_id"] == house.testers[0].id else there
    assert trials[0]["stone_id"] not in own
    trial = house.trial_body(trials[0]["stone_id"], blade, grades={"hardness": 3.0, "fineness": 3.0})
    who = next(person for person in house.testers if person.id == trials[0]["tester_id"])
    assert 201 == who.put(f"/trials/{new_id()}", trial).status_code
    assert 1 == plan(house)["groups"]


def test_the_dealers_own_trials_come_first_with_their_figures(house: ClubHouse) -> None:
    """What was changed in a plan is weighed anew beside the rest; nobody outside the club can be sent."""
    half_known(house)
    rules(house, min_testers=3, min_steels=2, max_half_width=0.3)
    first = plan(house, n=3)
    tester, stone, steel = whats(first)[0]
    other = next(person.id for person in house.testers if person.id not in (tester, house.testers[0].id))
    changed = [(other, stone, steel), *whats(first)[1:]]

    body = plan(
        house, n=len(changed), settled=[{"tester_id": a, "stone_id": b, "steel": c} for a, b, c in changed],
        most_trials={other: 0},
    )  # fmt: skip
    wrong = house.dealer.post(
        "/plan",
        {
            "purpose": "knife",
            "settled": [{"tester_id": house.dealer.id, "stone_id": stone, "steel": "unheard_of"}],
        },
    )

    assert changed == whats(body)
    assert all(one["settled"] for one in body["trials"])
    assert all(one["half_width_after"] < one["half_width_before"] for one in body["trials"])
    assert 422 == wrong.status_code
    assert {"settled.0.tester_id", "settled.0.steel"} == {one["field"] for one in wrong.json["errors"]}


def test_a_chosen_trial_that_is_asked_already_counts_once(house: ClubHouse) -> None:
    """Asking for it changes none of its figures."""
    half_known(house)
    rules(house, min_testers=3, min_steels=2, max_half_width=0.3)
    tester, stone, steel = whats(plan(house, n=1))[0]
    chosen = [{"tester_id": tester, "stone_id": stone, "steel": steel}]
    before = plan(house, n=1, settled=chosen)
    house.dealer.put(f"/assignments/{new_id()}", {**chosen[0], "purpose": "knife"})

    after = plan(house, n=1, settled=chosen)

    assert before["trials"] == after["trials"]


def test_a_tester_who_has_the_stone_is_told_of(house: ClubHouse) -> None:
    """Who has a stone is the last hand-over's; the plan says so where it sends that tester."""
    stones, _ = half_known(house)
    rules(house, min_testers=2, min_steels=1, max_half_width=2.0)
    free = plan(house)["trials"][0]
    other = next(person.id for person in house.testers[1:] if person.id != free["tester_id"])
    given = {"stone_id": stones[-1], "holder_id": other, "handed_at": "2026-03-01T10:00:00Z"}
    house.dealer.put(f"/hand-overs/{new_id()}", given)

    held = plan(house)["trials"][0]

    assert (False, True) == (free["in_hands"], held["in_hands"])
    assert other == held["tester_id"]
    assert "The stone is in this tester's hands already." in held["why"]


def test_every_scale_counts(house: ClubHouse) -> None:
    """A stone of which all have graded the hardness and one the fineness lacks testers, and is planned for on fineness.

    Trials that a first scale asks for count as done for the next, so nothing is proposed twice.
    """
    fill(house, 4)
    blades = [blade["id"] for blade in house.dealer.get("/blades").json["items"]]
    stone = house.stone()
    for n, tester in enumerate(house.testers):
        for blade in blades:
            grades = {"hardness": 3.0, "fineness": 3.0} if n == 0 else {"hardness": 3.0}
            body = house.trial_body(stone, blade, grades=grades)
            assert 201 == tester.put(f"/trials/{new_id()}", body).status_code
    rules(house, min_testers=3, min_steels=2, max_half_width=2.0)

    by_count = plan(house, stone_ids=[stone])
    rules(house, min_testers=1, min_steels=1, max_half_width=0.35)
    by_width = plan(house, stone_ids=[stone])
    of_hardness = plan(house, stone_ids=[stone], scale="hardness")

    assert {person.id for person in house.testers[1:]} == {one["tester_id"] for one in by_count["trials"]}
    assert 2 == len(by_count["trials"])
    assert "fineness" in {one["scale"] for one in by_width["trials"]}
    assert len(whats(by_width)) == len(set(whats(by_width)))
    assert "fineness" not in {one["scale"] for one in of_hardness["trials"]}
