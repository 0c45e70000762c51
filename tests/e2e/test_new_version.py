"""The app is updated while records wait and a form is open."""

import pytest
from playwright.sync_api import Page, expect

from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.waiting import queue_file, some_trials
from tests.e2e.wire import wire_to

pytestmark = pytest.mark.browser

LOOK_FOR_UPDATE = (
    "() => navigator.serviceWorker.getRegistration().then((one) => one.update()).then(() => null)"
)


def edition(page: Page) -> str | None:
    mark = page.locator('meta[name="edition"]')
    return mark.get_attribute("content") if mark.count() else None


def test_a_new_version_asks_first_and_the_queue_outlives_it(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """The offer waits, never shows over an open form, and changing over leaves queue and draft whole."""
    trials = some_trials(club, 8)
    stone = club.stone()
    with wire_to(club.service.url) as wire:
        phone = new_phone(wire.url).sign_in(tester)
        page = phone.page
        club_id = phone.club_id()
        wire.api_is_cut = True
        phone.read_queue_file(queue_file(tester, club_id, trials))
        phone.bench()
        phone.expect_waiting(8)
        page.goto(f"/stones/{stone['id']}/inspect")
        page.get_by_label("Notes", exact=True).fill("Half typed when the new version came.")
        phone.until_draft_says("notes", "Half typed when the new version came.")

        wire.edition = 2
        page.evaluate(LOOK_FOR_UPDATE)
        offer = page.get_by_role("button", name="Change over now")
        page.get_by_role("link", name=f"Stone {stone['code']}").tap()
        expect(offer).to_be_visible()
        page.reload()
        assert edition(page) is None
        page.get_by_role("link", name="Go on inspecting").tap()
        expect(page.get_by_label("Notes", exact=True)).to_have_value("Half typed when the new version came.")
        expect(offer).to_have_count(0)

        phone.bench()
        phone.expect_waiting(8)
        offer.tap()
        expect(page.locator('meta[name="edition"]')).to_have_attribute("content", "2")
        phone.expect_waiting(8)
        expect(page.get_by_role("link", name=f"Inspection of {stone['code']}")).to_be_visible()
        expect(offer).to_have_count(0)
        assert [] == tester.own("trials")

        wire.api_is_cut = False
        phone.sync_now()
        phone.expect_waiting(0)
        club.once(tester, trials)
