"""What is done about a finding: repaired, taken off the list, lapped, and judged by rules that a steward sets."""

import re

import pytest
from playwright.sync_api import expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.looked_over import inspection_with, scratching_inclusion
from tests.e2e.phone import Phone
from tests.e2e.screens import choose, find_stone
from tests.e2e.stone_photo import of_mud_and_card

pytestmark = pytest.mark.browser


def test_a_repair_done_without_a_signal_asks_for_a_fresh_look(
    club: Club, tester: Member, phone: Phone
) -> None:
    """With what, photos before and after: kept on the phone, then with the club; the list asks to inspect again."""
    stone = club.stone()
    tester.put(f"/inspections/{new_id()}", inspection_with(stone, findings=[scratching_inclusion()]))
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="1 repair is open").tap()
    item = page.get_by_role("article").filter(has=page.get_by_role("heading", name="Relieve below the face"))
    expect(item.get_by_role("button", name="Not needed")).to_have_count(0)
    item.get_by_role("button", name="Done").tap()
    page.get_by_label("With what").fill("carbide point")
    for view in ("before the work", "after the work"):
        photo = of_mud_and_card(90 if view.startswith("b") else 120, 200)
        page.get_by_label(f"Photo {view}").set_input_files(
            {"name": "IMG.jpg", "mimeType": "image/jpeg", "buffer": photo}
        )
        expect(page.get_by_role("img", name=f"Photo {view}")).to_be_visible()
    page.get_by_role("button", name="Save as done").tap()

    expect(page.get_by_role("heading", name="Inspect again")).to_be_visible()
    expect(page.get_by_role("heading", name="Relieve below the face")).to_have_count(0)
    again = page.get_by_role("link", name="Inspect again")
    expect(again).to_have_attribute("href", f"/stones/{stone['id']}/inspect")
    choose(page, "Show", "Answered (1)")
    expect(page.get_by_text("carbide point")).to_be_visible()
    expect(page.get_by_text("waiting", exact=True)).to_be_visible()

    phone.go_online()
    phone.bench()
    phone.expect_waiting(0)
    (repair,) = tester.own("repairs")
    assert ("done", "carbide point") == (repair["outcome"], repair["with_what"])
    assert ["before", "after"] == [photo["view"] for photo in repair["photos"]]
    (left,) = [one for one in tester.get("/work")["items"] if one["stone_id"] == stone["id"]]
    assert ("inspect again", None) == (left["verdict"], left["rule_id"])


def test_the_dealer_takes_work_off_the_list_with_a_reason(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """Without a reason it stays; with one it is gone, and the reason stands on record."""
    stone = club.stone()
    tester.put(f"/inspections/{new_id()}", inspection_with(stone, findings=[scratching_inclusion()]))
    phone = new_phone().sign_in(club.dealer)
    page = phone.page
    page.goto(f"/work?stone={stone['id']}")
    page.get_by_role("button", name="Not needed").tap()
    expect(page.get_by_role("button", name="Take it off the list")).to_be_disabled()
    page.get_by_label("Why is it not needed?").fill("It goes to a bed of sand, no edge meets it.")
    page.get_by_role("button", name="Take it off the list").tap()

    expect(page.get_by_text("Nothing is to be done to this stone.")).to_be_visible()
    phone.bench()
    phone.expect_waiting(0)
    repair = next(one for one in club.dealer.own("repairs") if one["stone_id"] == stone["id"])
    assert ("not_needed", "It goes to a bed of sand, no edge meets it.") == (
        repair["outcome"],
        repair["notes"],
    )
    assert [] == [one for one in club.dealer.get("/work")["items"] if one["stone_id"] == stone["id"]]


def test_a_steward_sees_what_a_threshold_does_before_it_is_saved(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """A face 100 µm out of flat passes at 150 µm and not at 80; the rules as they were stay readable."""
    stone = club.stone()
    heights = [(10, 10, 100), (100, 10, 0), (195, 10, 100), (10, 65, 100), (100, 65, 0), (195, 65, 100)]
    readings = [{"x_mm": x, "y_mm": y, "height_um": z} for x, y, z in heights]
    tester.put(
        f"/inspections/{new_id()}", inspection_with(stone, flatness={"method": "grid", "readings": readings})
    )
    (before,) = club.steward.get("/rule-sets")["items"]
    phone = new_phone().sign_in(club.steward)
    page = phone.page
    page.goto("/rules")
    rule = page.get_by_role("article").filter(
        has_text="The face is ‹the flatness› µm out of flat (‹its shape›); the club"
    )
    rule.get_by_label("Out of flat from").fill("9000")
    expect(page.get_by_role("button", name="Save", exact=True)).to_be_disabled()
    rule.get_by_label("Out of flat from").fill("80")
    page.get_by_role("button", name="See the effect").tap()

    row = page.get_by_role("listitem").filter(has=page.get_by_role("link", name=stone["code"]))
    expect(row.first).to_contain_text("gains Lap, before use")
    assert before["version"] == club.steward.get(f"/rule-sets/{before['id']}")["version"]
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_text("Saved. The rules go to the club")).to_be_visible()
    phone.bench()
    phone.expect_waiting(0)
    page.goto("/rules")
    page.get_by_role("button", name="Show earlier versions").tap()
    expect(page.get_by_text("Lap. Out of flat from: 150 → 80 µm")).to_be_visible()
    after = club.steward.get(f"/rule-sets/{before['id']}")
    assert before["version"] + 1 == after["version"]
    changed = [
        (new["id"], one["value"])
        for old, new in zip(before["rules"], after["rules"], strict=True)
        for was, one in zip(old["parameters"], new["parameters"], strict=True)
        if was["value"] != one["value"]
    ]
    assert [("out_of_flat", 80)] == changed
    # The other stories judge by the rules a club begins with.
    club.steward.put(
        f"/rule-sets/{before['id']}", {"name": before["name"], "rules": before["rules"]}, after["version"]
    )


def test_rules_that_two_stewards_changed_are_compared_threshold_by_threshold(
    club: Club, new_phone: PhoneMaker
) -> None:
    """The one that waited is not sent over the other unseen; kept on purpose, the other stays a version."""
    (before,) = club.steward.get("/rule-sets")["items"]
    phone = new_phone().sign_in(club.steward)
    page = phone.page
    phone.go_offline()
    page.goto("/rules")
    rule = page.get_by_role("article").filter(has_text="the club watches fissures from")
    rule.get_by_label("Watch from").fill("45")
    page.get_by_role("button", name="Save", exact=True).tap()
    expect(page.get_by_text("Saved. The rules go to the club")).to_be_visible()
    theirs = [
        {
            **one,
            "parameters": [{**p, "value": 90} if p["name"] == "long_mm" else p for p in one["parameters"]],
        }
        for one in before["rules"]
    ]
    path = f"/rule-sets/{before['id']}"
    between = club.steward.put(path, {"name": before["name"], "rules": theirs}, before["version"])

    phone.go_online()
    phone.bench()
    page.get_by_role("link", name="Open", exact=True).tap()
    clash = page.get_by_role("alert")
    expect(clash).to_contain_text("changed the rules while yours waited")
    expect(clash.get_by_role("listitem")).to_have_text(["Watch. Watch from: 90 → 45 mm"])
    assert between["version"] == club.steward.get(path)["version"]
    clash.get_by_role("button", name="Keep mine").tap()
    expect(page.get_by_role("alert")).to_have_count(0)
    phone.bench()
    phone.expect_waiting(0)

    kept = club.steward.get(path)
    assert between["version"] + 1 == kept["version"]
    assert [45] == [p["value"] for one in kept["rules"] for p in one["parameters"] if p["name"] == "long_mm"]
    # The other stories judge by the rules a club begins with.
    club.steward.put(path, {"name": before["name"], "rules": before["rules"]}, kept["version"])


def test_a_lapping_is_planned_and_logged_and_a_stamped_face_asks_first(
    club: Club, tester: Member, phone: Phone
) -> None:
    """A hollow of 100 µm: the figures by hand; the stamped back is planned only after the dealer's word."""
    stone = club.stone(marks=[{"face": "back", "kind": "stamp", "notes": ""}])
    rows = [(y, x, 100 * ((x - 102.5) / 102.5) ** 2) for y in (0, 37.5, 75) for x in (0, 102.5, 205)]
    readings = [{"x_mm": x, "y_mm": y, "height_um": round(z, 3)} for y, x, z in rows]
    tester.put(
        f"/inspections/{new_id()}", inspection_with(stone, flatness={"method": "grid", "readings": readings})
    )
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Plan a lapping").tap()
    expect(page.get_by_role("img", name="Heights of the face")).to_be_visible()
    figures = page.locator("#main").inner_text()
    assert re.search(r"Flatness, minimum zone\s+100 µm", figures), figures
    assert re.search(r"Dish along the length\s+100 µm hollow", figures)
    # A parabolic cylinder: one third of area × height lies above its lowest line; times the stone's density.
    grams = 205 * 75 * 0.1 / 3 * (1010.5 / (205 * 75 * 25))
    assert re.search(rf"To remove in all\s+{grams:.1f} g", figures)
    expect(page.get_by_text("Strokes by a first guess")).to_be_visible()
    expect(page.get_by_text("crystalline silica")).to_be_visible()

    page.get_by_label("Grit number").fill("220")
    page.get_by_label("Strokes", exact=True).fill("300")
    page.get_by_label("What came off").fill("60")
    page.get_by_role("button", name="Save this lapping").tap()
    expect(page.get_by_text("P220, 300 strokes, 60 µm off")).to_be_visible()
    expect(page.get_by_text("the club's own rate from 1 logged lapping")).to_be_visible()
    expect(page.get_by_text("Read it again before you go on")).to_be_visible()
    choose(page, "Face", "Back")
    expect(page.get_by_text("This face carries a quarry stamp")).to_be_visible()
    expect(page.get_by_role("button", name="Save this lapping")).to_have_count(0)

    phone.go_online()
    phone.bench()
    phone.expect_waiting(0)
    (lapping,) = tester.own("lappings")
    assert ("front", "fepa_p", 220, 300, 60, False) == tuple(
        lapping[name]
        for name in ("face", "grit_system", "grit_number", "strokes", "removed_um", "marked_face_agreed")
    )
