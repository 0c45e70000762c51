"""The dealer answers for the grades; a tester stays blind. Seen in the browser and on the wire."""

import json
import time

import pytest
from playwright.sync_api import expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.wire import wire_to

pytestmark = pytest.mark.browser


def test_the_dealer_sees_pooled_grades_and_prints_the_sheet(club: Club, new_phone: PhoneMaker) -> None:
    """Chart and table say what the service computed, and the link on the protocol gives a PDF."""
    stones = [club.stone() for _ in range(3)]
    testers = [club.tester() for _ in range(3)]
    for number, stone in enumerate(stones):
        for lean, one in enumerate(testers):
            grades = {"hardness": 2 + number + lean / 2, "fineness": 3.0, "ease": 4 - number + lean / 2}
            blade = club.blades[lean % 2]
            one.put(f"/trials/{new_id()}", club.trial_body(stone, blade, grades=grades))

    # The screen shows at once what is pooled, and says so where newer trials are not in it yet.
    while club.dealer.get("/pooled?purpose=knife")["behind"]:
        time.sleep(0.2)
    phone = new_phone().sign_in(club.dealer)
    page = phone.page
    page.get_by_role("link", name="Grades", exact=True).tap()
    expect(page.get_by_role("heading", name="Pooled grades")).to_be_visible()
    expect(page.get_by_text("Computed", exact=False)).to_be_visible()
    expect(page.get_by_role("img", name="stones by")).to_be_visible()

    pooled = club.dealer.get("/pooled?purpose=knife")
    hardness = next(one for one in pooled["scales"] if one["scale"] == "hardness")
    table = page.get_by_role("table", name="Pooled grades")
    for stone in stones:
        grade = next(one for one in hardness["stones"] if one["stone_id"] == stone["id"])
        row = table.get_by_role("row").filter(has=page.get_by_role("link", name=stone["code"]))
        expect(row).to_contain_text(f"{grade['grade']:.1f}")
        expect(row).to_contain_text("3 trials · 3 testers · 2 steels")
        label = f"{grade['grade']:.1f}, 90 % interval from {grade['low90']:.1f} to {grade['high90']:.1f}"
        expect(row.get_by_role("img", name=label)).not_to_have_count(0)

    page.get_by_role("link", name="Desk", exact=True).tap()
    page.get_by_role("link", name="Protocols").tap()
    page.get_by_role("link", name=club.protocol["name"]).tap()
    link = page.get_by_role("link", name="Sheet, A4")
    sheet = page.request.get(link.get_attribute("href") or "")
    assert 200 == sheet.status
    assert "application/pdf" == sheet.headers["content-type"]
    assert b"%PDF-" == sheet.body()[:5]


def test_no_grade_of_another_tester_reaches_a_testers_phone(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """Every answer that the phone gets, on every screen, is searched for what others wrote."""
    stone, other = club.stone(), club.tester()
    secret = "what the other tester thought of it"
    other_trial, check_stone = new_id(), new_id()
    other.put(f"/trials/{other_trial}", club.trial_body(stone, notes=secret, grades={"hardness": 4.5}))
    club.dealer.put(
        f"/check-stones/{check_stone}",
        {
            "stone_id": stone["id"],
            "purpose": "knife",
            "grades": {"hardness": {"grade": 4.5, "sd": 0.2}},
            "agreed_on": "2026-02-01",
            "notes": f"agreed: {secret}",
        },
    )

    with wire_to(club.service.url) as wire:
        phone = new_phone(wire.url).sign_in(tester)
        walk_everywhere(phone, stone["id"])
    blind = tester.ask("GET", f"/stones/{stone['id']}/panel?purpose=knife")
    assert (403, "blind") == (blind.status_code, blind.json()["code"])
    # The phone did get the stone itself, so an answer without the grades is an answer that left them out.
    assert any(stone["id"].encode() in body for _, body in wire.answers)
    for request, body in wire.answers:
        for hidden in (secret, other_trial, check_stone):
            assert hidden.encode() not in body, request
        assert stone["id"] not in graded_stones(body), request


def graded_stones(body: bytes) -> set[str]:
    """The stones for which an answer carries a pooled grade; none if it is not about pooling."""
    answer = json.loads(body) if body.startswith(b"{") else {}
    scales = answer.get("scales", []) if isinstance(answer, dict) else []
    return {one["stone_id"] for scale in scales for one in scale.get("stones", [])}


def walk_everywhere(phone: Phone, stone_id: str) -> None:
    """Every screen a tester can reach, also by typing the dealer's address."""
    places = {
        "/": "Bench",
        "/stones": "Stones",
        f"/stones/{stone_id}": "Your trials",
        f"/stones/{stone_id}/trial": "Try",
        "/pooled": "Pooled grades",
        "/plan": "Plan trials",
        "/agreement": "How far the panel agrees",
        "/testers": "How I grade",
        "/protocols": "Protocols",
        "/me": "What waits, as a file",
    }
    for path, heading in places.items():
        phone.page.goto(path)
        expect(phone.page.get_by_role("heading", name=heading).first).to_be_visible()
        phone.page.wait_for_load_state("networkidle")
