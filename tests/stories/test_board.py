"""A stone goes through every state of the lot board, moved by records alone. The states are common practice."""

from datetime import timedelta
from typing import Any

from tests.conftest import ClubHouse, Person, new_id, stone_body
from tests.stories.test_pooling import fill
from tests.stories.test_publishing import publish, wide_rules
from tests.stories.test_repairs import inclusion, inspection_body

STATES = {"to_inspect", "to_repair", "in_trial", "ready", "published", "set_aside"}


def board(house: ClubHouse, purpose: str = "knife", **query: str) -> dict[str, Any]:
    """The board once its grades are those of the records."""
    more = "".join(f"&{name}={value}" for name, value in query.items())
    for _ in range(50):
        answer = house.dealer.get(f"/board?purpose={purpose}{more}")
        assert 200 == answer.status_code, answer.json
        if not answer.json["behind"]:
            break
    body: dict[str, Any] = answer.json
    assert sum(body["counts"].values()) + body["n_sold"] == len(body["stones"])
    return body


def row(house: ClubHouse, stone: str) -> dict[str, Any]:
    """One stone's line."""
    found: dict[str, Any] = next(one for one in board(house)["stones"] if one["stone_id"] == stone)
    return found


def look(person: Person, stone: str, day: int, **changes: Any) -> dict[str, Any]:
    """An inspection, as it is answered."""
    body = inspection_body(stone, inspected_at=f"2026-03-{day:02}T10:00:00Z", **changes)
    answer = person.put(f"/inspections/{new_id()}", body)
    assert 201 == answer.status_code, answer.json
    sent: dict[str, Any] = answer.json
    return sent


def repair(
    house: ClubHouse, inspection: dict[str, Any], verdict: dict[str, Any], day: int, **changes: Any
) -> None:
    """The answer to one verdict."""
    body = {
        "stone_id": inspection["stone_id"], "inspection_id": inspection["id"], "finding_id": verdict["finding_id"],
        "rule_id": verdict["rule_id"], "verdict": verdict["verdict"], "outcome": "done",
        "done_at": f"2026-03-{day:02}T12:00:00Z", "with_what": "a carbide point", **changes,
    }  # fmt: skip
    assert 201 == house.dealer.put(f"/repairs/{new_id()}", body).status_code


def test_a_stone_walks_through_every_state(house: ClubHouse) -> None:
    """Nobody types a state in: each step below is a record, and the board follows."""
    others, _ = fill(house, 4)
    wide_rules(house)
    for one in others:
        look(house.testers[0], one, 1)
    stone, tester = house.stone(), house.testers[0]
    seen = []

    def stands() -> dict[str, Any]:
        found = row(house, stone)
        seen.append(found["state"])
        return found

    assert "Nobody has inspected the front yet" in stands()["blocks"][0]

    finding = inclusion()
    first = look(tester, stone, 2, findings=[finding])
    blocked = stands()
    assert "Relieve below the face (front)" in blocked["blocks"][0]
    assert 1 == blocked["n_open_work"]

    verdict = next(one for one in first["verdicts"] if one["urgency"] == "before_use")
    repair(house, first, verdict, 3)
    assert "A repair is done" in stands()["blocks"][0]

    clean = inclusion(id=finding["id"], relieved=True, catches_edge=False, scratches_finish=False)
    look(tester, stone, 4, findings=[clean])
    assert "ask for a first trial" in stands()["blocks"][0]

    blades = [blade["id"] for blade in house.dealer.get("/blades").json["items"]]
    for one in house.testers:
        for blade in blades:
            trial = house.trial_body(stone, blade, grades={"hardness": 3.0, "fineness": 3.0})
            assert 201 == one.put(f"/trials/{new_id()}", trial).status_code
    ready = stands()
    assert ([], 6, 3) == (ready["blocks"], ready["n_trials"], ready["n_testers"])

    slip = publish(house, stone)
    assert 201 == slip.status_code, slip.json
    published = stands()
    assert (slip.json["id"], False) == (published["slip_id"], published["moved"])

    offer = {"stone_id": stone, "state": "kept_back", "currency": "EUR", "notes": "Promised to the museum"}
    assert 201 == house.dealer.put(f"/offers/{stone}", offer).status_code
    assert "Kept back: Promised to the museum." in stands()["blocks"][0]

    assert 200 == house.dealer.put(f"/offers/{stone}", {**offer, "state": "for_sale"}, 1).status_code
    stands()

    assert [
        "to_inspect", "to_repair", "to_inspect", "in_trial", "ready", "published", "set_aside", "published",
    ] == seen  # fmt: skip
    assert set(seen) == STATES


def test_a_slip_that_later_trials_moved_asks_to_be_issued_anew(house: ClubHouse) -> None:
    """It counts as ready again, says from what to what, and agrees with the list of slips to reissue."""
    stones, trials = fill(house, 3)
    wide_rules(house)
    for stone in stones:
        look(house.testers[0], stone, 1)
        assert 201 == publish(house, stone).status_code
    assert {"published"} == {one["state"] for one in board(house)["stones"]}
    for trial in trials[stones[0]]:
        house.dealer.post(f"/trials/{trial}/exclude", {"reason": "Wrong stone on the bench"})
    for blade in [blade["id"] for blade in house.dealer.get("/blades").json["items"]]:
        for tester in house.testers:
            body = house.trial_body(stones[0], blade, grades={"hardness": 5.0, "fineness": 5.0})
            assert 201 == tester.put(f"/trials/{new_id()}", body).status_code

    told = board(house)

    moved = [one for one in told["stones"] if one["moved"]]
    to_reissue = {item["stone_id"] for item in house.dealer.get("/slips/to-reissue").json["items"]}
    assert to_reissue == {one["stone_id"] for one in moved} == {stones[0]}
    assert 1 == told["n_to_reissue"]
    assert "ready" == moved[0]["state"], moved[0]["blocks"]
    assert all("issue the slip anew" in block for block in moved[0]["blocks"])


def test_a_stone_worn_past_the_clubs_depth_asks_for_a_confirming_trial(house: ClubHouse) -> None:
    """By a later measuring, and by a logged lapping; a trial at the new face settles it."""
    stones, _ = fill(house, 3)
    wide_rules(house)
    for stone in stones:
        look(house.testers[0], stone, 1, thickness_mm=25)
    look(house.testers[0], stones[0], 5, thickness_mm=22.4)
    lapping = {
        "stone_id": stones[1], "face": "front", "lapped_at": "2026-03-05T10:00:00Z", "grit_system": "jis",
        "grit_number": 400, "removed_um": 2400,
    }  # fmt: skip
    assert 201 == house.testers[0].put(f"/lappings/{new_id()}", lapping).status_code

    worn, lapped, whole = (row(house, stone) for stone in stones)
    refused = publish(house, stones[0])
    blade = house.dealer.get("/blades").json["items"][0]["id"]
    again = house.trial_body(stones[0], blade, finished_at="2026-03-06T10:00:00Z", thickness_mm=22.4)
    assert 201 == house.testers[0].put(f"/trials/{new_id()}", again).status_code

    assert ["in_trial", "in_trial", "ready"] == [one["state"] for one in (worn, lapped, whole)]
    assert "2.6 mm are gone from the front" in worn["blocks"][0]
    assert 409 == refused.status_code
    assert worn["blocks"] == [error["message"] for error in refused.json["errors"]]
    assert "2.4 mm are lapped off the front" in lapped["blocks"][0]
    assert "ready" == row(house, stones[0])["state"]


def test_a_rejected_stone_stays_aside_after_it_was_put_there(house: ClubHouse) -> None:
    """Doing what the verdict says frees no stone; a look at the face does."""
    stones, _ = fill(house, 3)
    wide_rules(house)
    split = {
        "id": new_id(), "kind": "fissure", "points": [{"x_mm": 100, "y_mm": 0}, {"x_mm": 100, "y_mm": 75}],
        "catches_nail": True, "moves_when_pressed": True,
    }  # fmt: skip
    looked = look(house.testers[0], stones[0], 2, findings=[split])
    verdict = next(one for one in looked["verdicts"] if one["urgency"] == "reject")
    before = row(house, stones[0])
    repair(house, looked, verdict, 3)
    after = row(house, stones[0])
    look(house.testers[0], stones[0], 4)

    assert ["set_aside", "set_aside"] == [before["state"], after["state"]]
    assert "It lies aside" in after["blocks"][0]
    assert "ready" == row(house, stones[0])["state"]


def test_the_board_tells_who_has_what_and_what_is_asked(house: ClubHouse) -> None:
    """Asked and overdue trials, the holder, and a sold stone, which is counted apart."""
    stones, tester = [house.stone() for _ in range(3)], house.testers[0]
    given = {"stone_id": stones[0], "holder_id": tester.id, "handed_at": "2026-03-01T10:00:00Z"}
    assert 201 == house.dealer.put(f"/hand-overs/{new_id()}", given).status_code
    today = house.clock().date()
    for days in (-1, 3):
        asked = {
            "stone_id": stones[0], "tester_id": tester.id, "purpose": "knife", "steel": None,
            "due_on": (today + timedelta(days=days)).isoformat(),
        }  # fmt: skip
        assert 201 == house.dealer.put(f"/assignments/{new_id()}", asked).status_code
    sold = {"stone_id": stones[1], "state": "sold", "price": 80, "currency": "EUR", "notes": ""}
    assert 201 == house.dealer.put(f"/offers/{stones[1]}", sold).status_code

    told = board(house)

    first, second, third = (
        next(one for one in told["stones"] if one["stone_id"] == stone) for stone in stones
    )
    assert (tester.id, 2, 1) == (first["holder_id"], first["n_asked"], first["n_overdue"])
    assert ("sold", None) == (second["offer_state"], third["offer_state"])
    assert (1, 2, 1) == (told["n_sold"], told["n_asked"], told["n_overdue"])
    assert 2 == sum(told["counts"].values())


def test_the_board_of_one_lot_is_that_lot(house: ClubHouse) -> None:
    """With the same states as on the whole board."""
    stones, _ = fill(house, 3)
    other = house.lot()
    lone = new_id()
    assert 201 == house.dealer.put(f"/stones/{lone}", stone_body(other)).status_code
    whole = {one["stone_id"]: one for one in board(house)["stones"]}

    of_lot = board(house, lot_id=other)

    assert {*stones, lone} == set(whole)
    assert [whole[lone]] == of_lot["stones"]


def test_the_board_is_for_whoever_answers_for_the_grades(house: ClubHouse) -> None:
    """A tester would learn which stones are graded how; and an unknown purpose is refused."""
    assert 403 == house.testers[0].get("/board?purpose=knife").status_code
    assert 200 == house.steward.get("/board?purpose=razor").status_code
    assert 422 == house.dealer.get("/board?purpose=scythe").status_code
