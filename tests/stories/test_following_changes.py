"""A phone follows the club by a cursor: everything once, in its latest state, nothing missed."""

import threading
from typing import Any

from tests.conftest import ClubHouse, Person, new_id


def follow(
    person: Person, after: int = 0, limit: int = 7
) -> tuple[dict[tuple[str, str], dict[str, Any]], int]:
    """Walk the pages to the end, as a phone does."""
    known: dict[tuple[str, str], dict[str, Any]] = {}
    while True:
        page = person.get(f"/changes?after={after}&limit={limit}").json
        for change in page["changes"]:
            known[change["thing"], change["id"]] = change["record"]
        after = page["next_after"]
        if not page["more"]:
            return known, after


def test_a_new_phone_gets_everything_in_pages(house: ClubHouse) -> None:
    """Small pages and one large page give the same picture."""
    house.stone()

    small, _ = follow(house.dealer, limit=3)
    large, _ = follow(house.dealer, limit=1000)

    assert large == small
    assert {"club", "member", "lot", "stone", "protocol", "rule_set"} == {thing for thing, _ in small}


def test_only_what_changed_comes_next_time(house: ClubHouse) -> None:
    """A changed record comes once more, in its latest state only."""
    lot = house.lot(code="K1")
    _, cursor = follow(house.dealer)
    body = {"code": "K1", "name": "A lot", "quarry": "Upper pit"}
    house.dealer.put(f"/lots/{lot}", {**body, "notes": "one"}, version=1)
    house.dealer.put(f"/lots/{lot}", {**body, "notes": "two"}, version=2)

    known, _ = follow(house.dealer, cursor)

    assert [("lot", lot)] == list(known)
    assert "two" == known["lot", lot]["notes"]


def test_a_withdrawn_record_comes_as_withdrawn(house: ClubHouse) -> None:
    """A phone learns that a record is out of use; it does not just stay away."""
    stone = house.stone()
    _, cursor = follow(house.testers[0])
    house.dealer.post(f"/stones/{stone}/withdraw", {"reason": "Sold unseen"})

    known, _ = follow(house.testers[0], cursor)

    assert "Sold unseen" == known["stone", stone]["withdrawn"]["reason"]


def test_a_testers_phone_holds_no_other_grades(house: ClubHouse) -> None:
    """Others' trials and the agreed grades of check stones never reach a tester's device; the dealer gets both."""
    stone, blade = house.stone(), house.blade("white_carbon")
    mine, other = new_id(), new_id()
    house.testers[0].put(f"/trials/{mine}", house.trial_body(stone, blade))
    house.testers[1].put(f"/trials/{other}", house.trial_body(stone, blade))
    check = {
        "stone_id": stone, "purpose": "knife", "grades": {"hardness": {"grade": 3.5, "sd": 0.1}},
        "agreed_on": "2026-02-01",
    }  # fmt: skip
    assert 201 == house.dealer.put(f"/check-stones/{new_id()}", check).status_code

    tester, _ = follow(house.testers[0])
    dealer, _ = follow(house.dealer)

    assert {mine} == {record for thing, record in tester if thing == "trial"}
    assert {mine, other} == {record for thing, record in dealer if thing == "trial"}
    assert {"check_stone"} == {thing for thing, _ in dealer} - {thing for thing, _ in tester}


def test_the_view_says_what_a_phone_may_hold(house: ClubHouse) -> None:
    """It changes with the roles, and so tells the phone to start afresh."""
    tester = house.testers[0]
    before = tester.get("/changes").json["view"]
    member = tester.get("/session").json["member"]
    body = {key: member[key] for key in ("display_name", "sign_in_name", "active")}
    house.steward.put(f"/members/{tester.id}", {**body, "roles": ["tester", "dealer"]}, version=1)

    assert ("tester", "dealer") == (before, tester.get("/changes").json["view"])


def test_a_cursor_never_skips_a_late_commit(house: ClubHouse) -> None:
    """Four writers and a reader that follows all the while: it ends with every record, and revisions have no gap."""
    written: list[str] = []
    seen: dict[str, int] = {}
    done = threading.Event()
    start = house.dealer.get("/changes?limit=1000").json["next_after"]

    def write() -> None:
        for _ in range(12):
            lot = new_id()
            answer = house.dealer.put(f"/lots/{lot}", {"code": f"W{lot[-10:]}", "name": "A lot"})
            assert answer.status_code == 201, answer.json
            written.append(lot)

    def read() -> None:
        cursor = start
        while True:
            last_round = done.is_set()
            page = house.dealer.get(f"/changes?after={cursor}&limit=5").json
            for change in page["changes"]:
                seen[change["id"]] = change["revision"]
            cursor = page["next_after"]
            if last_round and not page["more"]:
                return

    writers = [threading.Thread(target=write) for _ in range(4)]
    reader = threading.Thread(target=read)
    for thread in [*writers, reader]:
        thread.start()
    for thread in writers:
        thread.join()
    done.set()
    reader.join()

    assert set(written) == set(seen)
    assert list(range(start + 1, start + 49)) == sorted(seen.values())
