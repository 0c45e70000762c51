"""What stones cost is the dealer's business, and nobody agrees for another. House rules: no source."""

from tests.conftest import ClubHouse


def offer(stone_id: str, **changes: object) -> dict[str, object]:
    """An offer as a dealer's phone sends it."""
    return {
        "stone_id": stone_id, "state": "for_sale", "cost": 20.0, "price": 60.0, "currency": "EUR", **changes,
    }  # fmt: skip


def test_a_tester_never_learns_what_a_stone_cost(house: ClubHouse) -> None:
    """Neither as a record, nor in a list, nor among the changes."""
    stone, tester = house.stone(), house.testers[0]
    assert house.dealer.put(f"/offers/{stone}", offer(stone)).status_code == 201

    assert 403 == tester.get(f"/offers/{stone}").status_code
    assert 403 == tester.get("/offers").status_code
    assert 403 == tester.put(f"/offers/{stone}", offer(stone, price=1.0), 1).status_code
    things = {entry["thing"] for entry in tester.get("/changes?after=0").json["changes"]}
    assert "stone" in things
    assert "offer" not in things


def test_a_stone_has_one_offer(house: ClubHouse) -> None:
    """Its id is the stone's, so two phones cannot make two."""
    stone, other = house.stone(), house.stone(code="S-78")

    answer = house.dealer.put(f"/offers/{other}", offer(stone))

    assert 422 == answer.status_code
    assert "stone_id" == answer.json["errors"][0]["field"]


def test_a_stone_is_kept_back_for_a_reason(house: ClubHouse) -> None:
    """Whoever finds it set aside reads why."""
    stone = house.stone()

    assert 422 == house.dealer.put(f"/offers/{stone}", offer(stone, state="kept_back")).status_code
    kept = house.dealer.put(f"/offers/{stone}", offer(stone, state="kept_back", notes="A leaf lifts."))
    assert 201 == kept.status_code


def test_a_member_agrees_for_nobody_else(house: ClubHouse) -> None:
    """Not even a steward does; the dealer reads it, another tester does not."""
    one, other = house.testers[0], house.testers[1]
    assert 201 == one.put(f"/consents/{one.id}", {"names_on_slips": True}).status_code

    assert 403 == house.steward.put(f"/consents/{other.id}", {"names_on_slips": True}).status_code
    assert 403 == house.steward.put(f"/consents/{one.id}", {"names_on_slips": False}, 1).status_code
    assert 403 == other.get(f"/consents/{one.id}").status_code
    assert [] == other.get("/consents").json["items"]
    assert house.dealer.get(f"/consents/{one.id}").json["names_on_slips"] is True
    assert "consent" not in {entry["thing"] for entry in other.get("/changes?after=0").json["changes"]}
    assert "consent" in {entry["thing"] for entry in one.get("/changes?after=0").json["changes"]}
