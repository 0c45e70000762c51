"""From a plan to a trial: the dealer plans, changes, asks and hands over; the tester finds it on the bench, does it."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.screens import begin_trial, find_stone, save_trial, walk_steps

pytestmark = pytest.mark.browser

STEEL = "fine_stainless"


def thin_stone(club: Club) -> Record:
    """A stone that one tester, whom the panel knows from another stone, has tried with one steel; another is free."""
    known, stone, _ = club.tester(), club.stone(), club.tester()
    for one in (stone, club.stone()):
        known.put(f"/trials/{new_id()}", club.trial_body(one, club.blades[0]))
    return stone


def propose(page: Page, stone: Record, without: Member) -> Locator:
    """Plan for one stone alone and without this tester; answers the lines of the plan."""
    page.goto(f"/plan?purpose=knife&stone={stone['id']}")
    page.get_by_text("testers take part").tap()
    page.get_by_role("checkbox", name=f"{without.display_name} takes part", exact=True).uncheck()
    page.get_by_role("button", name="Propose").tap()
    lines = page.get_by_role("listitem").filter(has=page.get_by_role("button", name="Change the trial of"))
    expect(lines.first).to_be_visible()
    return lines


def put_in(page: Page, line: Locator, stone: Record, tester: Member) -> None:
    """Put the tester and the stainless steel in a line's place."""
    line.get_by_role("button", name="Change the trial of").tap()
    form = page.get_by_role("form", name=f"Trial of {stone['code']}")
    form.get_by_label("Tester").select_option(label=tester.display_name)
    form.get_by_label("Blade steel").select_option(STEEL)
    form.get_by_role("button", name="Use this").tap()


def all_sent(phone: Phone) -> None:
    phone.bench()
    phone.sync_now()
    phone.expect_waiting(0)


def test_a_planned_trial_is_changed_asked_for_and_done(lone_club: Club, new_phone: PhoneMaker) -> None:
    """Each line says what it brings; the changed one is weighed anew; asked, it is on the bench; tried, it is done."""
    club, tester = lone_club, lone_club.tester()
    stone = thin_stone(club)
    desk = new_phone(club.service.url).sign_in(club.dealer)
    page = desk.page
    lines = propose(page, stone, without=tester)
    expect(lines.first).to_contain_text(re.compile(r"Narrows .+ from ±\d\.\d\d to ±\d\.\d\d"))
    expect(lines.first).to_contain_text("Second tester of the 3 that the club asks for.")

    put_in(page, lines.first, stone, tester)
    own = page.get_by_role("listitem").filter(has_text="Your own choice.")
    expect(own).to_have_count(1)
    expect(own).to_contain_text(re.compile(r"from ±\d\.\d\d to ±\d\.\d\d"))
    expect(own).to_contain_text("First with this steel: second of the 2 that the club asks for.")
    ask = page.get_by_role("button", name=f"Ask {tester.display_name} to try {stone['code']}")
    ask.tap()
    expect(own.get_by_text("Asked", exact=True)).to_be_visible()
    all_sent(desk)
    (asked,) = club.dealer.get(f"/assignments?stone_id={stone['id']}")["items"]
    assert (tester.id, "knife", STEEL) == (asked["tester_id"], asked["purpose"], asked["steel"])

    phone = new_phone(club.service.url).sign_in(tester)
    bench = phone.page
    on_bench = bench.get_by_role("main").get_by_role("listitem").filter(has_text=stone["code"])
    expect(bench.get_by_role("heading", name="Asked of you")).to_be_visible()
    expect(on_bench.first).to_contain_text("fine stainless")
    find_stone(bench, stone["code"])
    blade = next(one for one in club.blades if one["steel"] == STEEL)
    begin_trial(bench, club.protocol, blade)
    answers = {"mud_shade": 3, "contrast": "haze", "scratches_seen": False, "feel": "silky"}
    walk_steps(bench, club.protocol, answers, {"hardness": 3.5, "fineness": 4.0})
    save_trial(bench)
    all_sent(phone)
    expect(bench.get_by_role("heading", name="Asked of you")).to_have_count(0)

    all_sent(desk)
    page.goto(f"/plan?purpose=knife&stone={stone['id']}")
    expect(own.get_by_text("Done", exact=True)).to_be_visible()
    expect(ask).to_have_count(0)


def test_a_plan_changed_without_a_signal_says_that_it_was_not_weighed(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """The dealer's own line stands without figures; with a signal the next change gives it some."""
    stone = thin_stone(club)
    desk = new_phone().sign_in(club.dealer)
    page = desk.page
    lines = propose(page, stone, without=tester)
    n = lines.count()

    desk.go_offline()
    put_in(page, lines.first, stone, tester)
    own = page.get_by_role("listitem").filter(has_text="Your own choice, not weighed yet")
    expect(own).to_have_count(1)
    expect(own).not_to_contain_text("±")
    expect(page.get_by_text("No signal: your change is kept here, without figures.")).to_be_visible()

    desk.go_online()
    lines.last.get_by_role("button", name="Change the trial of").tap()
    page.get_by_role("button", name="Take it off the plan").tap()
    expect(own).to_have_count(0)
    expect(page.get_by_role("listitem").filter(has_text="Your own choice.")).to_contain_text("±")
    expect(lines).to_have_count(n - 1)


def test_a_stone_changes_hands_and_the_log_keeps_every_step(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """Noted on the dealer's page, seen on the tester's bench, passed on there, and read back with both steps."""
    stone, other = club.stone(), club.tester()
    desk = new_phone().sign_in(club.dealer)
    page = desk.page
    page.goto("/plan?purpose=knife")
    page.get_by_label("Code of a stone").fill(stone["code"])
    row = page.get_by_role("row").filter(has=page.get_by_role("link", name=stone["code"]))
    expect(row).to_contain_text("The dealer")
    page.get_by_role("button", name=f"Hand over {stone['code']}").tap()
    form = page.get_by_role("form", name=f"Hand over {stone['code']}")
    form.get_by_label("To whom").select_option(label=tester.display_name)
    form.get_by_role("button", name="Hand over").tap()
    expect(row).to_contain_text(tester.display_name)
    all_sent(desk)

    phone = new_phone().sign_in(tester)
    expect(phone.page.get_by_role("heading", name="In your hands")).to_be_visible()
    find_stone(phone.page, stone["code"])
    expect(phone.page.get_by_text("With you since")).to_be_visible()
    phone.page.get_by_role("button", name="Hand it over").tap()
    phone.page.get_by_label("To whom").select_option(label=other.display_name)
    phone.page.get_by_role("button", name="Hand over", exact=True).tap()
    expect(phone.page.get_by_text(f"With {other.display_name} since")).to_be_visible()
    all_sent(phone)

    all_sent(desk)
    page.goto("/plan?purpose=knife")
    page.get_by_label("Code of a stone").fill(stone["code"])
    expect(row).to_contain_text(other.display_name)
    row.get_by_text("2 hand-overs").tap()
    steps = row.get_by_role("listitem")
    expect(steps).to_have_count(2)
    expect(steps.first).to_contain_text(f"to {other.display_name}, noted by {tester.display_name}")
    expect(steps.last).to_contain_text(f"to {tester.display_name}, noted by {club.dealer.display_name}")
