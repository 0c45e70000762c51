"""What leaves the club: a name on a slip while its bearer agrees, tables for the dealer, the whole for the steward."""

import json
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import PASSWORD, new_id
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker

pytestmark = pytest.mark.browser


def slip_of(club: Club, tester: Member, **changes: object) -> str:
    """The code of a slip that rests on one trial of this tester."""
    stone = club.stone()
    tester.put(f"/trials/{new_id()}", club.trial_body(stone))
    body = {
        "stone_id": stone["id"],
        "purpose": "knife",
        "override_reason": "One tester is enough for a story",
    }
    code: str = club.dealer.put(f"/slips/{new_id()}", {**body, **changes})["code"]
    return code


def test_a_member_agrees_without_a_signal_and_takes_it_back(
    club: Club, tester: Member, new_phone: PhoneMaker
) -> None:
    """The name shows on the public page once the word has gone out, and is gone once the other word has."""
    code = slip_of(club, tester)
    phone = new_phone().sign_in(tester)
    buyer = new_phone().page
    page = phone.page
    page.goto("/me")
    agree = page.get_by_label(f"Name me, {tester.display_name}")
    expect(agree).not_to_be_checked()

    phone.go_offline()
    agree.check()
    expect(page.get_by_text("your name shows once this has gone out")).to_be_visible()
    buyer.goto(f"/s/{code}")
    expect(buyer.get_by_text("1 trial by 1 tester")).to_be_visible()
    expect(buyer.get_by_text(tester.display_name)).to_have_count(0)

    phone.go_online()
    expect(page.get_by_text("your name shows once this has gone out")).to_have_count(0)
    buyer.reload()
    expect(buyer.get_by_text(f"Tested by {tester.display_name}.")).to_be_visible()

    # The box is empty at once; the page may be left only when the word has gone out.
    with page.expect_response(lambda answer: "/consents/" in answer.url and answer.request.method == "PUT"):
        agree.uncheck()
    expect(agree).not_to_be_checked()
    expect(page.get_by_text("your name leaves the pages once this has gone out")).to_have_count(0)
    phone.bench()
    phone.expect_waiting(0)
    buyer.reload()
    expect(buyer.get_by_text("1 trial by 1 tester")).to_be_visible()
    expect(buyer.get_by_text(tester.display_name)).to_have_count(0)


def save(page: Page, button: str, to: Path) -> str:
    """Tap a download and keep the file; its name."""
    with page.expect_download(timeout=120_000) as download:
        page.get_by_role("button", name=button).tap()
    download.value.save_as(to)
    return download.value.suggested_filename


def test_the_dealer_takes_the_tables_and_a_tester_does_not(
    club: Club, tester: Member, new_phone: PhoneMaker, tmp_path: Path
) -> None:
    """From the desk to a file that names its tables; a tester's page says why not, and asks nothing."""
    slip_of(club, tester)
    page = new_phone().sign_in(club.dealer).page
    page.get_by_role("link", name="Desk", exact=True).tap()
    page.get_by_role("link", name="Export").tap()
    expect(page.get_by_text("It names your members and says what your stones cost")).to_be_visible()

    name = save(page, "Download the tables", tmp_path / "tables.zip")

    expect(page.get_by_role("status").filter(has_text="Saved,")).to_be_visible()
    assert name.startswith("hill-tables-")
    with zipfile.ZipFile(tmp_path / "tables.zip") as package:
        tables = {one["name"] for one in json.loads(package.read("datapackage.json"))["resources"]}
    assert {"stones", "trials", "slips", "offers", "pooled_grades"} <= tables
    other = new_phone().sign_in(tester)
    other.page.goto("/export")
    expect(other.page.get_by_text("they hold every tester's grades")).to_be_visible()
    assert [] == [one for one in other.heard.requests if "/export/" in one]


def test_the_steward_takes_the_whole_club_with_the_own_password(
    club: Club, new_phone: PhoneMaker, tmp_path: Path
) -> None:
    """None and a wrong one are refused in words; the right one gives the file that another service takes in."""
    page = new_phone().sign_in(club.steward).page
    page.goto("/export")
    whole = page.get_by_role("button", name="Download the whole club")
    whole.tap()
    expect(page.get_by_role("alert")).to_have_text("Give your password.")
    page.get_by_label("Your password once more").fill("not this one")
    whole.tap()
    expect(page.get_by_role("alert")).to_have_text("Your password is not right.")
    page.get_by_label("Your password once more").fill(PASSWORD)

    name = save(page, "Download the whole club", tmp_path / "club.zip")

    assert name.startswith("hill-whole-club-")
    with zipfile.ZipFile(tmp_path / "club.zip") as bundle:
        assert {"manifest.json", "journal.jsonl", "sign_ins.jsonl"} <= set(bundle.namelist())


def test_notes_on_a_slip_stay_in_the_club(club: Club, tester: Member, new_phone: PhoneMaker) -> None:
    """Written at the publishing, read there again; not on the public page."""
    stone = club.stone()
    tester.put(f"/trials/{new_id()}", club.trial_body(stone))
    page = new_phone().sign_in(club.dealer).page
    page.goto(f"/stones/{stone['id']}/publish?purpose=knife")
    page.get_by_text("Add notes for the club").tap()
    page.get_by_label("Notes for the club").fill("Promised to the man with the plane")
    page.get_by_role("button", name="Publish with a reason").tap()
    page.get_by_label("Why publish it all the same?").fill("The buyer knows")
    page.get_by_role("button", name="Publish with a reason").tap()

    expect(page.get_by_text("Notes for the club: Promised to the man with the plane")).to_be_visible()
    expect(page.get_by_text(f"Tried by {tester.display_name}.")).to_be_visible()
    expect(page.get_by_text("None of them has agreed to be named on slips.")).to_be_visible()
    buyer = new_phone().page
    buyer.goto(page.get_by_role("link", name="Open the public page").get_attribute("href") or "")
    expect(buyer.get_by_text("The buyer knows")).to_be_visible()
    expect(buyer.get_by_text("Promised")).to_have_count(0)
