"""What can be wrong with the phone: its clock, its room, a change begun before its record was sent."""

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.e2e.pictures import from_a_camera
from tests.e2e.screens import begin_trial, change_grade, find_stone, save_trial, walk_steps
from tests.e2e.waiting import wait_on

pytestmark = pytest.mark.browser

#: Chromium does not hold IndexedDB to the quota that its developer tools can set (seen with 156), so the store is
#: made to answer as a browser without room does: QuotaExceededError (Indexed Database API 3.0, W3C).
FILL_UP = """() => {
  const store = IDBObjectStore.prototype;
  window.emptied = { add: store.add, put: store.put };
  store.add = store.put = () => { throw new DOMException("The quota has been exceeded.", "QuotaExceededError"); };
}"""
MAKE_ROOM = "() => { Object.assign(IDBObjectStore.prototype, window.emptied); }"

ANSWERS = {"mud_shade": 2, "contrast": "bright", "scratches_seen": False}


def make_a_trial(club: Club, phone: Phone, stone_code: str, hardness: float) -> None:
    find_stone(phone.page, stone_code)
    begin_trial(phone.page, club.protocol, club.blades[0])
    walk_steps(phone.page, club.protocol, ANSWERS, {"hardness": hardness})
    save_trial(phone.page)


def test_a_clock_wrong_by_a_day_keeps_nothing_back(club: Club, tester: Member, phone: Phone) -> None:
    """A trial made a day ahead arrives; a pause that was noted a day ahead does not last a day."""
    stone = club.stone()
    phone.bench()
    phone.sync_now()
    phone.go_offline()
    right = datetime.now(UTC)
    phone.page.clock.set_system_time(right + timedelta(days=1))
    make_a_trial(club, phone, stone["code"], 4.0)

    phone.context.route(
        "**/api/v1/trials/*",
        lambda route: route.fulfill(status=503, headers={"Retry-After": "1800"}, body="later"),
    )
    phone.go_online()
    phone.bench()
    # Leaving the page may have cut off the try that the signal's return began; asking does not wait for the next.
    phone.sync_now()
    expect(phone.page.get_by_text("The service asks to wait until")).to_be_visible()
    phone.context.unroute("**/api/v1/trials/*")
    phone.page.clock.set_system_time(datetime.now(UTC))
    phone.sync_now()
    phone.expect_waiting(0)
    (held,) = tester.own("trials")
    club.once(tester, [held["id"]])
    assert {"hardness": 4.0} == held["grades"]
    assert right + timedelta(hours=23) < datetime.fromisoformat(held["finished_at"])


def test_a_full_phone_says_so_and_loses_nothing(club: Club, tester: Member, phone: Phone) -> None:
    """With no room left a save is refused aloud, what was typed stays, and it can be saved once there is room."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    page.get_by_label("Notes", exact=True).fill("Typed while there was room.")
    phone.until_draft_says("notes", "Typed while there was room.")
    page.evaluate(FILL_UP)
    chooser = page.get_by_label("Photograph this face")
    camera = from_a_camera((2400, 1200))
    photo = {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": camera}
    chooser.set_input_files(photo)
    expect(page.get_by_text("no room left").first).to_be_visible()
    expect(page.get_by_role("link", name="Show me how")).to_be_visible()
    expect(page.get_by_label("Notes", exact=True)).to_have_value("Typed while there was room.")

    page.evaluate(MAKE_ROOM)
    chooser.set_input_files(photo)
    expect(page.get_by_text("Photograph it again")).to_be_visible()
    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_role("heading", name="Inspection saved")).to_be_visible()
    phone.go_online()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    phone.bench()
    phone.expect_waiting(0)
    (held,) = tester.own("inspections")
    club.once(tester, [held["id"]], "inspections")
    assert "Typed while there was room." == held["notes"]
    assert tester.ask("GET", f"/photos/{held['photos'][0]['sha256']}").ok


def test_a_change_begun_before_its_record_was_sent_goes_on_top_of_it(
    club: Club, tester: Member, phone: Phone
) -> None:
    """The record goes out while the tester is changing it: one record, two versions, nobody is asked to choose."""
    stone, trial_id = club.stone(), new_id()
    page = phone.bench()
    phone.sync_now()
    wait_on(phone, tester, {trial_id: club.trial_body(stone, grades={"hardness": 3.5})})
    phone.expect_waiting(1)
    find_stone(page, stone["code"])
    change_grade(
        page, club.protocol, "hardness", 2.5, meanwhile=lambda: go_online_and_send(club, tester, phone)
    )
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    versions = tester.get(f"/trials/{trial_id}/versions")["items"]
    assert [3.5, 2.5] == [version["grades"]["hardness"] for version in versions]


def go_online_and_send(club: Club, tester: Member, phone: Phone) -> None:
    with phone.page.expect_response(lambda answer: "/changes" in answer.url):
        phone.go_online()
    assert 1 == len(tester.own("trials"))
