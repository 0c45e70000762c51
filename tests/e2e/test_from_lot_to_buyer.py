"""A whole season: a lot comes in, is looked at, repaired, tried, planned, published, and finds its buyer."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.conftest import new_id
from tests.documents.pdf_reading import accessibility_faults, squeezed, words_of
from tests.documents.picture import picture_of
from tests.e2e.club import Club, Member, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.screens import begin_trial, choose, find_stone, probe, save_trial, trace, walk_steps

pytestmark = pytest.mark.browser

LOT = """code,kind,form,length_mm,width_mm,thickness_mm,mass_g,cost,price EUR
A-1,slate,bench,205,75,25,1040,20,80
A-2,slate,bench,200,70,24,910,18,60
A-3,slate,bench,190,70,22,790,15,40
"""

#: What the three stones are like, so that the panel can tell them apart: hardness, fineness, ease.
LIKE = {"A-1": (3.5, 4.0, 3.5), "A-2": (2.5, 2.5, 4.0), "A-3": (4.5, 4.5, 2.5)}
#: How much higher each tester grades than the others: what the panel takes out again.
LEAN = (0.0, 0.5, -0.5)
ANSWERS = {"mud_shade": 3, "contrast": "haze", "scratches_seen": False, "feel": "silky"}


def all_sent(phone: Phone) -> None:
    phone.bench()
    phone.sync_now()
    phone.expect_waiting(0)


def take_in(page: Page) -> None:
    """The lot by CSV: previewed, then taken in."""
    page.goto("/intake")
    page.get_by_label("Lot", exact=True).select_option("new")
    page.get_by_label("Lot code").fill("A")
    page.get_by_label("Lot name").fill("Autumn slates")
    chooser = page.get_by_label("Read a CSV file")
    if not chooser.is_visible():
        page.get_by_text("From a spreadsheet").tap()
    chooser.set_input_files({"name": "lot.csv", "mimeType": "text/csv", "buffer": LOT.encode()})
    page.get_by_role("button", name="Put 3 stones into the grid").tap()
    page.get_by_role("button", name="Take in 3 stones").tap()
    expect(page.get_by_text("All of them are on the service.")).to_be_visible()


def on_the_board(page: Page, code: str) -> Locator:
    """The stone's row on the lot board, as the service has it now."""
    page.goto("/desk?purpose=knife")
    expect(page.get_by_text("As the service has it now.")).to_be_visible()
    return (
        page.get_by_role("list", name="Stones of the board")
        .get_by_role("listitem")
        .filter(has=page.get_by_text(code, exact=True))
    )


def grades_of(code: str, lean: float) -> dict[str, float]:
    hardness, fineness, ease = LIKE[code]
    return {
        scale: min(5.0, max(1.0, value + lean))
        for scale, value in (("hardness", hardness), ("fineness", fineness), ("ease", ease))
    }


def try_it(phone: Phone, club: Club, code: str, blade: Record, grades: dict[str, float]) -> None:
    """A trial by hand, from the bench to sent."""
    page = phone.bench()
    phone.sync_now()
    find_stone(page, code)
    begin_trial(page, club.protocol, blade)
    walk_steps(page, club.protocol, ANSWERS, grades)
    save_trial(page)
    all_sent(phone)


def look_over(phone: Phone, stone: Record, *, with_inclusion: bool) -> None:
    """An inspection by hand: the drop is timed, and an inclusion that scratches is traced if there is one."""
    page = phone.bench()
    phone.sync_now()
    find_stone(page, stone["code"])
    page.get_by_role("link", name=re.compile("^Inspect( again)?$")).first.tap()
    expect(page.get_by_role("heading", name="Inspect", level=1)).to_be_visible()
    choose(page, "Face", "Front")
    if with_inclusion:
        trace(page, stone, "Inclusion", [(60, 30)])
        probe(page, "A soft edge catches on it", "Yes")
        probe(page, "It scratches the finish", "Yes")
        page.get_by_role("button", name="Done with this one").tap()
        expect(page.get_by_role("heading", name="Relieve below the face")).to_be_visible()
    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_role("heading", name="Inspection saved")).to_be_visible()
    all_sent(phone)


def test_a_lot_goes_all_the_way_to_its_buyer(
    lone_club: Club, new_phone: PhoneMaker, browser: Browser, tmp_path: Path
) -> None:
    """Lot by CSV, three testers, a repair, the plan followed, published, read from the QR code, matched, printed."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    club, url = lone_club, lone_club.service.url
    desk = new_phone(url).sign_in(club.dealer)
    page = desk.page

    take_in(page)
    stones = {stone["code"]: stone for stone in club.dealer.own("stones")}
    assert sorted(LIKE) == sorted(stones)
    stone = stones["A-1"]
    expect(on_the_board(page, "A-1")).to_contain_text("Nobody has inspected the front yet")

    testers = [club.tester() for _ in LEAN]
    phones = [new_phone(url).sign_in(tester) for tester in testers]
    look_over(phones[0], stone, with_inclusion=True)
    for number, phone in enumerate(phones):
        try_it(phone, club, "A-1", club.blades[number % 2], grades_of("A-1", LEAN[number]))
    expect(on_the_board(page, "A-1")).to_contain_text("Relieve below the face")

    mend(phones[0].page, stone)
    all_sent(phones[0])
    look_over(phones[0], stone, with_inclusion=False)
    expect(on_the_board(page, "A-1")).not_to_contain_text("Relieve below the face")

    # The other stones tie the panel together: their trials come from the same phones, over the same interface.
    for code in ("A-2", "A-3"):
        for tester, lean in zip(testers, LEAN, strict=True):
            for blade in club.blades[:2]:
                body = club.trial_body(stones[code], blade, grades=grades_of(code, lean))
                tester.put(f"/trials/{new_id()}", body)

    follow_the_plan(desk, club, stone, testers, phones)
    code, address = publish(page, stone)
    (slip,) = club.dealer.own("slips")
    assert (stone["id"], code, None) == (slip["stone_id"], slip["code"], slip["override_reason"])

    # The printed slip is looked at as a picture, as a buyer's camera does, and its QR code is followed.
    pdf = page.request.get(f"{url}{address}.pdf?paper=a4").body()
    assert [] == accessibility_faults(pdf)
    printed = squeezed(words_of(pdf))
    for grade in slip["grades"]:
        assert f"{grade['grade']:.1f}" in printed
    assert code in printed
    (scanned,) = {one.text for one in zxingcpp.read_barcodes(picture_of(pdf, tmp_path))}
    buyer = browser.new_context(base_url=url, service_workers="block")
    public = buyer.new_page()
    answer = public.goto(scanned)
    assert answer is not None
    assert 200 == answer.status
    expect(public.get_by_role("heading", level=1)).to_have_text("A-1")
    for grade in slip["grades"]:
        one = public.get_by_role("article").filter(has=public.get_by_role("heading", name=grade["name"]))
        expect(one).to_contain_text(f"{grade['grade']:.1f}")

    shortlist = match(page)
    all_sent(desk)
    page.goto(shortlist)
    link = page.get_by_role("link", name="Open the page").get_attribute("href") or ""
    answer = public.goto(link)
    assert answer is not None
    assert 200 == answer.status
    expect(public.get_by_role("heading", name="A-1")).to_be_visible()
    expect(public.locator(f"a[href*='{code}']").first).to_be_visible()
    assert [] == buyer.cookies()
    buyer.close()


def mend(page: Page, stone: Record) -> None:
    """The repair, from the work list."""
    page.goto(f"/work?stone={stone['id']}")
    item = page.get_by_role("article").filter(has=page.get_by_role("heading", name="Relieve below the face"))
    item.get_by_role("button", name="Done").tap()
    page.get_by_label("With what").fill("carbide point")
    page.get_by_role("button", name="Save as done").tap()
    expect(page.get_by_role("heading", name="Inspect again")).to_be_visible()


def follow_the_plan(
    desk: Phone, club: Club, stone: Record, testers: list[Member], phones: list[Phone]
) -> None:
    """What the plan proposes for the stone is asked for and done, until the club may publish it."""
    page = desk.page
    by_id = {tester.id: number for number, tester in enumerate(testers)}
    by_hand = True
    for _ in range(6):
        if club.dealer.get(f"/stones/{stone['id']}/readiness?purpose=knife")["ready"]:
            return
        page.goto(f"/plan?purpose=knife&stone={stone['id']}")
        page.get_by_role("button", name=re.compile("^Propose")).tap()
        asking = page.get_by_role("button", name=re.compile(f"^Ask Tester.* to try {stone['code']}$"))
        expect(asking.first).to_be_visible()
        asking.first.tap()
        expect(page.get_by_text("Asked", exact=True).first).to_be_visible()
        all_sent(desk)
        done = {trial["id"] for tester in testers for trial in tester.own("trials")}
        asked = max(
            club.dealer.get(f"/assignments?stone_id={stone['id']}")["items"],
            key=lambda one: one["created_at"],
        )
        number = by_id[asked["tester_id"]]
        blade = next(one for one in club.blades if one["steel"] == asked["steel"])
        grades = grades_of("A-1", LEAN[number])
        if by_hand:
            bench = phones[number].bench()
            phones[number].sync_now()
            expect(bench.get_by_role("heading", name="Asked of you")).to_be_visible()
            try_it(phones[number], club, "A-1", blade, grades)
            expect(bench.get_by_role("heading", name="Asked of you")).to_have_count(0)
            by_hand = False
        else:
            testers[number].put(f"/trials/{new_id()}", club.trial_body(stone, blade, grades=grades))
        assert len(done) + 1 == len({trial["id"] for tester in testers for trial in tester.own("trials")})
    pytest.fail(str(club.dealer.get(f"/stones/{stone['id']}/readiness?purpose=knife")["blocks"]))


def publish(page: Page, stone: Record) -> tuple[str, str]:
    """Without a reason, as the rule is met; answers the code and its page's address."""
    page.goto(f"/stones/{stone['id']}/publish?purpose=knife")
    page.get_by_role("button", name="Publish", exact=True).tap()
    link = page.get_by_role("article").locator("a[href^='/s/']").first
    expect(link).to_be_visible()
    address = link.get_attribute("href") or ""
    return address.removeprefix("/s/"), address


def match(page: Page) -> str:
    """A buyer with a carbon kitchen knife; the published stone is found and put on a list. Answers its address."""
    page.goto("/match")
    page.get_by_label("Kind of steel").select_option("plain_carbon")
    choose(page, "Bevel", "Ordinary, 1 to 5 mm")
    choose(page, "Finish wanted", "A clean kitchen edge")
    choose(page, "The buyer's hand", "Practised")
    page.get_by_role("button", name="Find stones").tap()
    found = page.get_by_role("region", name="Found")
    expect(found.get_by_role("heading", name="Stone A-1")).to_be_visible()
    found.get_by_label("Put A-1 on the shortlist").check()
    page.get_by_label("What it is called").fill("For the kitchen")
    page.get_by_role("button", name="Make the shortlist").tap()
    expect(page.get_by_role("heading", name="For the kitchen")).to_be_visible()
    return page.url
