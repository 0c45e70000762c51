"""A practised tester is not kept tapping: every touch between "Try" and "saved" is counted by the page itself."""

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member, Record
from tests.e2e.phone import Phone
from tests.e2e.screens import choose, find_stone, save_trial, set_grade

pytestmark = pytest.mark.browser

#: What a person's finger does: a click that came from the label's own radio button is not a second touch.
COUNT = """() => {
  sessionStorage.setItem("taps", "0");
  if (window.counting) return;
  window.counting = true;
  const one = () => sessionStorage.setItem("taps", String(Number(sessionStorage.getItem("taps")) + 1));
  addEventListener("pointerdown", one, true);
}"""
TAPS = "() => Number(sessionStorage.getItem('taps'))"

GRADES = {"hardness": 3.5, "fineness": 4.0, "ease": 2.5}


def walk_the_short_way(page: Page, protocol: Record) -> None:
    """Every question the protocol asks is answered, notes and photos apart; strokes are made, not tapped."""
    asked = {one["id"]: one for one in protocol["observations"]}
    at_step = page.get_by_role("heading", level=1)
    onward = page.get_by_role("button", name="Next").or_(page.get_by_role("button", name="Review"))

    def tap_choice(name: str, words: str) -> None:
        one = asked[name]
        choose(page, f"{one['name']} (needed)" if one["required"] else one["name"], words)

    expect(at_step).to_have_text("Time a drop")
    page.get_by_role("button", name="Drop is set: start").tap()
    page.get_by_role("button", name="Shine is gone: stop").tap()
    expect(at_step).to_have_text("Work with water only")
    tap_choice("feel", "silky")
    onward.tap()
    tap_choice("mud_shade", asked["mud_shade"]["choices"][2]["words"])
    tap_choice("metal_share", asked["metal_share"]["choices"][1]["words"])
    onward.tap()
    choice = asked["pressure_sensitivity"]
    group = page.get_by_role("group", name=choice["name"], exact=True)
    group.locator("label").filter(has_text=choice["choices"][1]["words"]).tap()
    expect(at_step).to_have_text("Work the mud down")
    page.get_by_role("group", name=asked["refines"]["name"], exact=True).locator("label").first.tap()
    expect(at_step).to_have_text("Read the finish")
    tap_choice("contrast", asked["contrast"]["choices"][1]["words"])
    tap_choice("scratches_seen", "No")
    rungs = page.get_by_role("group", name=asked["finish_band"]["name"])
    for grit in ("#3000", "#6000"):
        rungs.get_by_role("button", name=grit, exact=True).tap()
    onward.tap()
    for scale in protocol["scales"]:
        set_grade(page, scale, GRADES[scale["id"]])
    onward.tap()
    save_trial(page)


def test_a_practised_tester_needs_few_taps(club: Club, tester: Member, phone: Phone) -> None:
    """With every question answered (strokes until mud apart): 23 taps for a first blade, 20 for the next one."""
    tester.put(f"/trials/{new_id()}", club.trial_body(club.stone()))
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    find_stone(page, stone["code"])
    page.evaluate(COUNT)
    page.get_by_role("link", name="Try", exact=True).tap()
    choose(page, "Which blade?", club.blades[0]["name"])
    choose(page, "Which face do you work?", "Front")
    page.get_by_role("button", name="Begin").tap()
    walk_the_short_way(page, club.protocol)
    first = page.evaluate(TAPS)

    page.evaluate(COUNT)
    page.get_by_role("group", name="Same stone, next blade").locator("label").first.tap()
    walk_the_short_way(page, club.protocol)
    second = page.evaluate(TAPS)
    assert (23, 20) == (first, second)

    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    held = [one for one in tester.own("trials") if one["stone_id"] == stone["id"]]
    assert [GRADES, GRADES] == [one["grades"] for one in held]
    assert {club.protocol["id"]} == {one["protocol_id"] for one in held}
