"""The dealer at the desk: narrowing the board, and acts on several stones at once, with and without a signal."""

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.conftest import new_id, stone_body
from tests.e2e.club import Club, Member, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone

pytestmark = pytest.mark.browser


@pytest.fixture
def lot(club: Club) -> Record:
    """A lot of its own, so that the board can be narrowed to this story."""
    return club.dealer.put(
        f"/lots/{new_id()}",
        {"code": f"D{new_id()[-6:]}", "name": f"Lot {new_id()[-6:]}", "quarry": "Lower pit"},
    )


def stones_of(club: Club, lot: Record, n: int, **changes: Any) -> list[Record]:
    """Stones of that lot, each with a clean look at its front."""
    made = []
    for number in range(n):
        code = f"{lot['code']}-{number + 1}"
        stone = club.dealer.put(f"/stones/{new_id()}", stone_body(lot["id"], code=code, **changes))
        look = {
            "stone_id": stone["id"], "face": "front", "inspected_at": "2026-03-01T09:00:00Z", "water_uptake_s": 40,
            "findings": [], "photos": [], "notes": "",
        }  # fmt: skip
        club.dealer.put(f"/inspections/{new_id()}", look)
        made.append(stone)
    return made


def open_desk(phone: Phone, lot: Record) -> Page:
    """The desk by the bar, narrowed to one lot."""
    page = phone.page
    page.get_by_role("link", name="Desk", exact=True).tap()
    expect(page.get_by_role("heading", name="Lot board")).to_be_visible()
    page.get_by_text("Narrow it down").tap()
    page.get_by_label("Lot", exact=True).select_option(label=f"{lot['code']} {lot['name']}")
    return page


def row(page: Page, stone: Record) -> Locator:
    """A stone's line on the board."""
    lines = page.get_by_role("list", name="Stones of the board").get_by_role("listitem")
    return lines.filter(has=page.get_by_role("checkbox", name=f"Choose {stone['code']}", exact=True))


def choose(page: Page, *stones: Record) -> None:
    """Tap the box of each, then ask what to do."""
    for stone in stones:
        row(page, stone).locator("label").tap()
    page.get_by_role("button", name=f"{len(stones)} chosen: what to do…").tap()


def test_two_stones_are_asked_for_and_one_is_kept_back(
    club: Club, lot: Record, tester: Member, new_phone: PhoneMaker
) -> None:
    """The board is narrowed by a pile; each act says what it will do first; the service has it, once."""
    first, second, third = stones_of(club, lot, 3)
    finding = {
        "id": new_id(), "kind": "inclusion", "points": [{"x_mm": 60, "y_mm": 30}], "size_mm": 2, "catches_edge": True,
        "scratches_finish": True,
    }  # fmt: skip
    look = {
        "stone_id": third["id"],
        "face": "front",
        "inspected_at": "2026-03-02T09:00:00Z",
        "findings": [finding],
    }
    club.dealer.put(f"/inspections/{new_id()}", look)
    phone = new_phone().sign_in(club.dealer)
    page = open_desk(phone, lot)

    expect(page.get_by_role("button", name="1 stone to repair")).to_be_visible()
    expect(row(page, third)).to_contain_text("Relieve below the face")
    page.get_by_role("button", name="2 stones in trial").tap()
    expect(row(page, third)).to_have_count(0)
    expect(row(page, first)).to_contain_text("ask for a first trial")

    choose(page, first, second)
    page.get_by_role("button", name="Ask for trials").tap()
    page.get_by_label("Whom do you ask?").select_option(label=tester.display_name)
    expect(page.get_by_text(f"Asks {tester.display_name} for 2 trials")).to_be_visible()
    page.get_by_role("button", name="Ask for 2 trials").tap()
    expect(page.get_by_text("2 trials are asked for.")).to_be_visible()
    page.get_by_role("button", name="Close").tap()
    expect(row(page, first)).to_contain_text("1 asked")
    expect(page.get_by_text("trial asked here, waiting")).to_have_count(0)
    asked = [
        one for one in club.dealer.get("/assignments?limit=500")["items"] if one["tester_id"] == tester.id
    ]
    assert {first["id"], second["id"]} == {one["stone_id"] for one in asked}
    assert 2 == len(asked)

    choose(page, second)
    page.get_by_role("button", name="Keep back").tap()
    page.get_by_role("button", name="Keep back 0").tap()
    expect(page.get_by_text("Give a reason; a few words will do.")).to_be_visible()
    page.get_by_label("Why are they kept back?").fill("Promised to the museum")
    page.get_by_role("button", name="Keep back 1").tap()
    expect(page.get_by_text("1 stone is kept back.")).to_be_visible()
    page.get_by_role("button", name="Close").tap()
    expect(row(page, second)).to_have_count(0)
    page.get_by_role("button", name="1 stone set aside").tap()
    expect(row(page, second)).to_contain_text("Kept back: Promised to the museum")
    expect(row(page, second)).not_to_contain_text("waiting")
    offer = club.dealer.get(f"/offers/{second['id']}")
    assert ("kept_back", "Promised to the museum") == (offer["state"], offer["notes"])
    assert [] == phone.heard.complaints


def test_without_a_signal_the_board_is_there_and_what_is_done_waits(
    club: Club, lot: Record, new_phone: PhoneMaker
) -> None:
    """With its age; a price set there is marked as waiting and goes out later; a hand-over likewise."""
    stones = stones_of(club, lot, 2)
    tester = club.tester()
    phone = new_phone().sign_in(club.dealer)
    page = open_desk(phone, lot)
    expect(page.get_by_text("As the service has it now.")).to_be_visible()
    phone.go_offline()
    page.reload()
    expect(page.get_by_text("Kept on this phone, read")).to_be_visible()
    expect(page.get_by_text("No signal just now.", exact=False).first).to_be_visible()

    choose(page, *stones)
    page.get_by_role("button", name="Set a price").tap()
    page.get_by_label("Price of each").fill("85")
    page.get_by_role("button", name="Set the price of 2").tap()
    expect(page.get_by_text("2 prices are set.")).to_be_visible()
    expect(page.get_by_text("sent as soon as there is a signal")).to_be_visible()
    page.get_by_role("button", name="Close").tap()
    choose(page, stones[0])
    page.get_by_role("button", name="Hand them over").tap()
    page.get_by_label("Who gets them?").select_option(label=tester.display_name)
    page.get_by_role("button", name="Hand over 1").tap()
    page.get_by_role("button", name="Close").tap()
    expect(row(page, stones[0])).to_contain_text("handed over here, waiting")
    expect(row(page, stones[0])).to_contain_text(tester.display_name)
    expect(row(page, stones[1])).to_contain_text("offer changed here, waiting")
    assert 404 == club.dealer.ask("GET", f"/offers/{stones[1]['id']}").status_code

    phone.go_online()
    expect(row(page, stones[1])).to_contain_text("85 EUR")
    expect(page.get_by_text("here, waiting")).to_have_count(0)
    assert [85, 85] == [club.dealer.get(f"/offers/{stone['id']}")["price"] for stone in stones]
    given = club.dealer.get(f"/hand-overs?stone_id={stones[0]['id']}")["items"]
    assert [tester.id] == [one["holder_id"] for one in given]
    assert [] == phone.heard.complaints


def test_what_is_ready_is_published_and_the_rest_is_named_and_left_alone(
    lone_club: Club, new_phone: PhoneMaker
) -> None:
    """Each by a slip of its own; a stone that wants testers says so and gets none."""
    club = lone_club
    lot = {"code": "L1", "name": "First lot", "id": club.lot_id}
    stones = stones_of(club, lot, 3)
    testers = [club.tester() for _ in range(3)]
    for stone in stones[:2]:
        for lean, one in enumerate(testers):
            for blade in club.blades[:2]:
                grades = {"hardness": 3.0 + lean / 2, "fineness": 3.5, "ease": 4.0}
                one.put(f"/trials/{new_id()}", club.trial_body(stone, blade, grades=grades))
    testers[0].put(f"/trials/{new_id()}", club.trial_body(stones[2]))
    before = club.steward.get("/club")
    rules = {"min_testers": 3, "min_steels": 2, "max_half_width": 2.0}
    changed = {"name": before["name"], "confirm_depth_mm": before["confirm_depth_mm"], "publish_rules": rules}
    club.steward.put("/club", changed, before["version"])

    phone = new_phone(club.service.url).sign_in(club.dealer)
    page = open_desk(phone, lot)
    page.get_by_role("link", name="2 ready to publish").tap()
    page.get_by_role("button", name="2 stones ready").tap()
    page.get_by_role("button", name="Choose all 3 shown").tap()
    page.get_by_role("button", name="3 chosen: what to do…").tap()
    page.get_by_role("button", name="Publish what is ready").tap()
    expect(page.get_by_text("Publishes 2 stones")).to_be_visible()
    expect(page.get_by_text(f"{stones[2]['code']}: 1 of 3 testers have tried it")).to_be_visible()
    page.get_by_role("button", name="Publish 2").tap()
    expect(page.get_by_text("2 slips are on the way.")).to_be_visible()
    page.get_by_role("button", name="Close").tap()
    expect(page.get_by_role("button", name="2 stones published")).to_be_visible()
    expect(row(page, stones[0])).to_contain_text("Published")

    slips = club.dealer.get("/slips")["items"]
    assert {stones[0]["id"], stones[1]["id"]} == {slip["stone_id"] for slip in slips}
    assert [None, None] == [slip["override_reason"] for slip in slips]
    assert [] == phone.heard.complaints
