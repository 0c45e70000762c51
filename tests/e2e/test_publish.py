"""A dealer publishes a stone from the phone; a buyer without an account reads the page behind the code, also later."""

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.conftest import new_id
from tests.e2e.club import Club, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.looked_over import inspection_with
from tests.e2e.phone import Phone

pytestmark = pytest.mark.browser


@pytest.fixture
def tried_stone(lone_club: Club) -> Record:
    """A stone that four testers have tried with three steels, beside two others that tie them together."""
    club = lone_club
    stones = [club.stone() for _ in range(3)]
    testers = [club.tester() for _ in range(4)]
    for number, stone in enumerate(stones):
        for lean, one in enumerate(testers):
            for blade in club.blades:
                grades = {"hardness": 2.5 + number / 2, "fineness": 4.0, "ease": 3.0 + (lean % 2) / 2}
                one.put(f"/trials/{new_id()}", club.trial_body(stone, blade, grades=grades))
    testers[0].put(f"/inspections/{new_id()}", inspection_with(stones[0]))
    return stones[0]


def at_the_desk(club: Club, new_phone: PhoneMaker, stone: Record) -> Phone:
    phone = new_phone(club.service.url).sign_in(club.dealer)
    phone.page.goto(f"/stones/{stone['id']}/publish?purpose=knife")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text(stone["code"])
    return phone


def issued_code(page: Page) -> tuple[str, str]:
    """The code of the slip that stands, and the address of its page, once the service has issued it."""
    article = page.get_by_role("article")
    expect(article).to_be_visible()
    link = article.locator("a[href^='/s/']").first
    address = link.get_attribute("href") or ""
    code = address.removeprefix("/s/")
    expect(article.get_by_text(code, exact=True)).to_be_visible()
    return code, address


def test_a_ready_stone_is_published_read_by_a_buyer_and_withdrawn(
    lone_club: Club, new_phone: PhoneMaker, browser: Browser, tried_stone: Record
) -> None:
    """The page behind the code shows the grades that the service holds; once withdrawn it says so, and why."""
    club = lone_club
    ready = club.dealer.get(f"/stones/{tried_stone['id']}/readiness?purpose=knife")
    assert (True, []) == (ready["ready"], ready["blocks"])
    phone = at_the_desk(club, new_phone, tried_stone)
    page = phone.page
    page.get_by_role("button", name="Publish", exact=True).tap()
    code, address = issued_code(page)

    (slip,) = [one for one in club.dealer.own("slips") if one["stone_id"] == tried_stone["id"]]
    assert (code, None, 12, 4, 3) == (
        slip["code"],
        slip["override_reason"],
        *(slip["evidence"][what] for what in ("n_trials", "n_testers", "n_steels")),
    )
    # Somebody who has never been here: no cookies, no worker, no store.
    buyer = browser.new_context(base_url=club.service.url, service_workers="block")
    public = buyer.new_page()
    assert 200 == (public.goto(address) or pytest.fail("no answer")).status
    expect(public.get_by_role("heading", level=1)).to_have_text(tried_stone["code"])
    grades = public.get_by_role("region", name="Grades").get_by_role("article")
    for grade in slip["grades"]:
        one = grades.filter(has=public.get_by_role("heading", name=grade["name"]))
        expect(one).to_contain_text(f"{grade['grade']:.1f}")
    expect(public.get_by_role("heading", name="Withdrawn")).to_have_count(0)
    pdf = public.request.get(f"{address}.pdf?paper=a4")
    assert (200, b"%PDF-") == (pdf.status, pdf.body()[:5])
    assert [] == buyer.cookies()

    page.get_by_role("button", name="Withdraw").tap()
    page.get_by_role("textbox").fill("It was lapped down since.")
    page.get_by_role("button", name="Withdraw", exact=True).tap()
    expect(page.get_by_text("It was lapped down since.")).to_be_visible()
    phone.bench()
    phone.sync_now()
    phone.expect_waiting(0)
    public.reload()
    gone = public.get_by_role("region", name="Withdrawn")
    expect(gone).to_contain_text("It was lapped down since.")
    assert f"/s/{code}" in public.url
    buyer.close()


def test_publishing_against_the_rule_asks_for_a_reason_that_buyers_read(
    club: Club, new_phone: PhoneMaker, browser: Browser
) -> None:
    """One trial is not enough for the club's rule: without a reason nothing goes out, with one the page carries it."""
    stone = club.stone()
    club.tester().put(f"/trials/{new_id()}", club.trial_body(stone))
    ready = club.dealer.get(f"/stones/{stone['id']}/readiness?purpose=knife")
    assert not ready["ready"]
    phone = at_the_desk(club, new_phone, stone)
    page = phone.page
    for block in ready["blocks"]:
        expect(page.get_by_text(block)).to_be_visible()
    go = page.get_by_role("button", name="Publish with a reason")
    go.tap()
    why = page.get_by_role("textbox")
    if not why.is_visible():
        go.tap()
    expect(why).to_be_visible()
    go.tap()
    expect(page.get_by_role("alert")).to_be_visible()
    assert [] == phone.puts("/slips/")
    why.fill("The buyer asked for it as it is.")
    go.tap()
    code, address = issued_code(page)

    (slip,) = [one for one in club.dealer.own("slips") if one["stone_id"] == stone["id"]]
    assert (code, "The buyer asked for it as it is.") == (slip["code"], slip["override_reason"])
    buyer = browser.new_context(base_url=club.service.url, service_workers="block")
    public = buyer.new_page()
    public.goto(address)
    expect(public.get_by_text("The buyer asked for it as it is.")).to_be_visible()
    buyer.close()
