"""A phone sends until it hears an answer. Whatever happens on the way, a record exists once."""

import threading
from typing import Any

from tests.conftest import ClubHouse, new_id


def trials_of(house: ClubHouse, stone: str) -> list[dict[str, Any]]:
    items: list[dict[str, Any]] = house.dealer.get(f"/stones/{stone}/trials").json["items"]
    return items


def test_a_trial_sent_twice_exists_once(house: ClubHouse) -> None:
    """The second answer is 200 with the same record, and no revision is taken."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    body = house.trial_body(stone, blade)

    first = house.testers[0].put(f"/trials/{trial}", body)
    revision = house.steward.get("/changes").json["next_after"]
    second = house.testers[0].put(f"/trials/{trial}", body)

    assert (201, 200) == (first.status_code, second.status_code)
    assert first.json == second.json
    assert [trial] == [one["id"] for one in trials_of(house, stone)]
    assert revision == house.steward.get("/changes").json["next_after"]


def test_a_trial_sent_from_two_tabs_at_once_exists_once(house: ClubHouse) -> None:
    """Eight senders at the same moment: one creates, the others are told that it is there."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    body = house.trial_body(stone, blade)
    statuses: list[int] = []

    def send() -> None:
        statuses.append(house.testers[0].put(f"/trials/{trial}", body).status_code)

    threads = [threading.Thread(target=send) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [200] * 7 + [201] == sorted(statuses)
    assert 1 == len(trials_of(house, stone))


def test_a_change_whose_answer_was_lost_is_taken_once(house: ClubHouse) -> None:
    """The amended trial is sent again with the version it was made from, which is no longer current."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade))
    amended = house.trial_body(stone, blade, grades={"hardness": 4.0, "fineness": 4.0})

    first = tester.put(f"/trials/{trial}", amended, version=1)
    again = tester.put(f"/trials/{trial}", amended, version=1)

    assert (200, 200) == (first.status_code, again.status_code)
    assert 2 == again.json["version"]
    assert [1, 2] == [one["version"] for one in house.dealer.get(f"/trials/{trial}/versions").json["items"]]


def test_a_resent_creation_does_not_undo_a_later_change(house: ClubHouse) -> None:
    """The first write arrives once more after the record was amended: it changes nothing."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    created = house.trial_body(stone, blade)
    tester.put(f"/trials/{trial}", created)
    tester.put(f"/trials/{trial}", {**created, "notes": "Rinsed between blades."}, version=1)

    late = tester.put(f"/trials/{trial}", created)

    assert 200 == late.status_code
    assert (2, "Rinsed between blades.") == (late.json["version"], late.json["notes"])


def test_other_content_without_a_version_is_refused_and_shows_what_is_there(house: ClubHouse) -> None:
    """428 with the present record, so that the phone can show both."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade))

    answer = tester.put(f"/trials/{trial}", house.trial_body(stone, blade, notes="Other"))

    assert (428, "precondition_missing") == (answer.status_code, answer.json["code"])
    assert "" == answer.json["current"]["notes"]
    assert '"1"' == answer.headers["ETag"]


def test_two_devices_amend_the_same_trial(house: ClubHouse) -> None:
    """The second hears 412 with the first one's change; nothing is overwritten."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade))
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade, notes="From the phone"), version=1)

    answer = tester.put(
        f"/trials/{trial}", house.trial_body(stone, blade, notes="From the tablet"), version=1
    )

    assert (412, "From the phone") == (answer.status_code, answer.json["current"]["notes"])
    assert "From the phone" == tester.get(f"/trials/{trial}").json["notes"]


def test_a_refused_record_of_another_member_is_not_shown(house: ClubHouse) -> None:
    """Writing to somebody else's trial id tells nothing of that trial: its grades are hidden from a tester."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    house.testers[0].put(f"/trials/{trial}", house.trial_body(stone, blade))

    answer = house.testers[1].put(f"/trials/{trial}", house.trial_body(stone, blade, notes="mine?"))

    assert (403, "not_allowed") == (answer.status_code, answer.json["code"])
    assert "current" not in answer.json


def test_whole_numbers_count_the_same_with_or_without_a_point(house: ClubHouse) -> None:
    """JSON does not tell 4 from 4.0 (RFC 8259, section 6), so neither may a resend."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    house.testers[0].put(f"/trials/{trial}", house.trial_body(stone, blade, grades={"hardness": 4}))

    again = house.testers[0].put(f"/trials/{trial}", house.trial_body(stone, blade, grades={"hardness": 4.0}))

    assert (200, 1) == (again.status_code, again.json["version"])


def test_withdrawing_keeps_the_record_readable(house: ClubHouse) -> None:
    """It carries who, when and why; withdrawing again changes nothing; it no longer counts as an own trial."""
    stone, blade, trial = house.stone(), house.blade("white_carbon"), new_id()
    tester = house.testers[0]
    tester.put(f"/trials/{trial}", house.trial_body(stone, blade))

    first = tester.post(f"/trials/{trial}/withdraw", {"reason": "Wrong stone on the bench"})
    again = tester.post(f"/trials/{trial}/withdraw", {"reason": "Wrong stone on the bench"})

    assert ("Wrong stone on the bench", tester.id) == (
        first.json["withdrawn"]["reason"],
        first.json["withdrawn"]["by"],
    )
    assert first.json == again.json
    assert 200 == tester.get(f"/trials/{trial}").status_code
    assert "blind" == tester.get(f"/stones/{stone}/trials").json["code"]
