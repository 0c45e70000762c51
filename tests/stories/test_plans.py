"""The dealer asks for trials; everybody sees who has which stone."""

from tests.conftest import ClubHouse, new_id


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
    assert [first.id, second.id, None] == [one["holder_id"] for one in sorted(log, key=lambda one: one["handed_at"])]
