"""One member in two tabs, on two phones, and with a queue carried over in a file."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.screens import change_grade, find_stone
from tests.e2e.waiting import some_trials, wait_on

pytestmark = pytest.mark.browser


def test_two_tabs_with_one_queue_send_each_record_once(club: Club, tester: Member, phone: Phone) -> None:
    """Both tabs hear that the signal is back and both are asked to sync; ten records, ten writes."""
    trials = some_trials(club, 10)
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    other = phone.tab()
    other.goto("/")
    expect(other.get_by_text("Waiting to go out: 10 records")).to_be_visible()

    phone.go_online()
    for tab in (phone.page, other):
        # A tab that is busy already does not need to be asked.
        tab.get_by_role("button", name="Sync now").dispatch_event("click")
    phone.expect_waiting(0)
    expect(other.get_by_text("Waiting to go out")).to_have_count(0)
    club.once(tester, trials)
    assert sorted(f"PUT {phone.url}/api/v1/trials/{one}" for one in trials) == sorted(phone.puts("/trials/"))


def test_two_phones_that_amend_one_trial_lose_neither_version(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """The first amendment goes through; the second phone is shown both and decides; all three states are kept."""
    stone, trial_id = club.stone(), new_id()
    tester.put(f"/trials/{trial_id}", club.trial_body(stone, grades={"hardness": 3.0}))
    first, second = new_phone().sign_in(tester), new_phone().sign_in(tester)
    for phone, grade in ((first, 2.0), (second, 4.5)):
        find_stone(phone.bench(), stone["code"])
        phone.go_offline()
        change_grade(phone.page, club.protocol, "hardness", grade)
        expect(phone.page.get_by_text("waiting", exact=True)).to_be_visible()

    first.go_online()
    expect(first.page.get_by_text("sent", exact=True)).to_be_visible()
    second.go_online()
    second.bench()
    expect(second.page.get_by_role("heading", name="1 record needs you")).to_be_visible()
    problem = second.page.get_by_role("article").filter(has_text=f"Trial of {stone['code']}")
    row = problem.get_by_role("row", name="hardness")
    expect(row.get_by_role("cell").first).to_have_text("4.5")
    expect(row.get_by_role("cell").last).to_have_text("2")
    assert {"hardness": 2.0} == tester.get(f"/trials/{trial_id}")["grades"]

    problem.get_by_role("button", name="Keep mine").tap()
    expect(second.page.get_by_role("heading", name="1 record needs you")).to_have_count(0)
    second.expect_waiting(0)
    versions = tester.get(f"/trials/{trial_id}/versions")["items"]
    assert [3.0, 2.0, 4.5] == [version["grades"]["hardness"] for version in versions]
    assert [1, 2, 3] == [version["version"] for version in versions]


def test_a_queue_carried_over_in_a_file_is_sent_once_however_often_it_is_read(
    club: Club, tester: Member, new_phone: PhoneMaker, tmp_path: Path
) -> None:
    """Saved on one phone, read twice on another, sent by both, read once more: each record exists once."""
    trials = some_trials(club, 4)
    lost, spare = new_phone().sign_in(tester), new_phone().sign_in(tester)
    wait_on(lost, tester, trials)
    lost.page.goto("/me")
    with lost.page.expect_download() as download:
        lost.page.get_by_role("button", name="Save to a file").tap()
    download.value.save_as(tmp_path / "queue.json")
    saved = (tmp_path / "queue.json").read_bytes()

    spare.page.goto("/me")
    spare.go_offline()
    spare.read_queue_file(saved)
    expect(spare.page.get_by_text("4 records added.")).to_be_visible()
    spare.read_queue_file(saved)
    expect(spare.page.get_by_text("4 here already.")).to_be_visible()
    spare.bench()
    spare.expect_waiting(4)

    lost.bench()
    for phone in (spare, lost):
        phone.go_online()
        phone.expect_waiting(0)
    club.once(tester, trials)

    spare.read_queue_file(saved)
    spare.bench()
    spare.expect_waiting(0)
    club.once(tester, trials)


def test_a_refused_record_holds_up_no_other_and_can_be_mended(
    club: Club, tester: Member, phone: Phone
) -> None:
    """A grade off the scale, between good ones: the good ones arrive, the bad one says why."""
    stone = club.stone()
    good, bad, better = new_id(), new_id(), new_id()
    trials = {
        good: club.trial_body(stone, notes="first"),
        bad: club.trial_body(stone, grades={"hardness": 3.3}, notes="second"),
        better: club.trial_body(stone, notes="third"),
    }
    wait_on(phone, tester, trials)
    phone.expect_waiting(len(trials))
    phone.go_online()
    phone.expect_waiting(0)
    expect(phone.page.get_by_role("heading", name="1 record needs you")).to_be_visible()
    expect(phone.page.get_by_text("3.3 is not on the scale")).to_be_visible()
    club.once(tester, [good, better])

    phone.page.get_by_role("link", name="Open").tap()
    article = phone.page.get_by_role("article").filter(has_text="needs you")
    expect(article).to_contain_text("3.3 is not on the scale")
    change_grade(phone.page, club.protocol, "hardness", 3.5, article)
    expect(phone.page.get_by_text("sent", exact=True)).to_be_visible()
    phone.bench()
    expect(phone.page.get_by_role("heading", name="1 record needs you")).to_have_count(0)
    phone.expect_waiting(0)
    club.once(tester, trials)
    assert {"hardness": 3.5} == tester.get(f"/trials/{bad}")["grades"]
