"""A dealer mends one stone: a code that was refused, a size that was mistyped, a price; and takes a stone back."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import new_id, stone_body
from tests.e2e.club import Club, Member, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.test_every_screen import Examination

pytestmark = pytest.mark.browser


@pytest.fixture
def dealer(club: Club) -> Member:
    """A dealer nobody has met yet."""
    return club.member(f"mender{new_id()[-6:]}", "dealer")


@pytest.fixture
def lot(dealer: Member) -> Record:
    """A lot of its own."""
    code = f"C{new_id()[-6:]}"
    return dealer.put(f"/lots/{new_id()}", {"code": code, "name": f"Lot {code}", "quarry": "Upper pit"})


def made(dealer: Member, lot: Record, number: int, **changes: Any) -> Record:
    body = stone_body(lot["id"], code=f"{lot['code']}-{number:03}", **changes)
    return dealer.put(f"/stones/{new_id()}", body)


def open_change(page: Page, stone: Record) -> None:
    page.goto(f"/stones/{stone['id']}")
    page.get_by_role("link", name="Change the stone").tap()
    expect(page.get_by_role("heading", name=f"Change {stone['code']}")).to_be_visible()


def test_a_size_changed_without_a_signal_arrives_as_the_second_version_and_a_price_with_it(
    club: Club, dealer: Member, lot: Record, new_phone: PhoneMaker
) -> None:
    """A reload half way loses nothing; what was not touched arrives as it was."""
    marks = [{"face": "back", "kind": "stamp", "notes": "half ground off"}]
    stone = made(dealer, lot, 1, length_mm=250, marks=marks, notes="From the back of the crate.")
    phone = new_phone().sign_in(dealer)
    page = phone.page
    phone.go_offline()
    open_change(page, stone)
    expect(page.get_by_role("button", name="Nothing changed yet")).to_be_disabled()
    page.get_by_label("Length, mm").fill("")
    expect(page.get_by_text("Fill this in.")).to_be_visible()
    expect(page.get_by_role("button", name="Mend what is marked first")).to_be_disabled()
    page.get_by_label("Length, mm").fill("205,5")
    phone.until_draft_says("length_mm", "205,5")
    page.reload()
    expect(page.get_by_label("Length, mm")).to_have_value("205,5")
    page.get_by_label("Price").fill("65,50")
    page.get_by_role("button", name="Save the changes").tap()
    expect(page.get_by_role("heading", name="Changes saved")).to_be_visible()
    expect(page.get_by_text("waiting", exact=True)).to_be_visible()
    assert 1 == dealer.get(f"/stones/{stone['id']}")["version"]

    phone.go_online()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    now = dealer.get(f"/stones/{stone['id']}")
    assert 2 == now["version"]
    own = {name: now[name] for name in stone_body(lot["id"])}
    assert {name: stone[name] for name in own} | {"length_mm": 205.5} == own
    offer = dealer.get(f"/offers/{stone['id']}")
    assert (1, "for_sale", None, 65.5, "EUR") == tuple(
        offer[name] for name in ("version", "state", "cost", "price", "currency")
    )
    page.get_by_role("link", name="To the stone").tap()
    expect(page.get_by_role("definition").filter(has_text="205.5 × 75 × 25 mm")).to_be_visible()


def take_in_a_taken_code(club: Club, dealer: Member, lot: Record, phone: Phone) -> tuple[str, Record]:
    """Take a stone in without a signal, priced at 40, while another phone's stone gets its code."""
    page = phone.page
    phone.go_offline()
    page.goto(f"/intake?lot={lot['id']}")
    code = f"{lot['code']}-002"
    expect(page.get_by_label("Code", exact=True)).to_have_value(code)
    page.get_by_label("Kind").select_option("slate")
    page.get_by_label("Form").select_option("bench")
    for name, value in (("Length", "205"), ("Width", "75"), ("Thickness", "25")):
        page.get_by_label(name).fill(value)
    page.get_by_text("Colour, marks, price and notes").tap()
    page.get_by_label("Price").fill("40")
    page.get_by_role("button", name="Take in 1 stone", exact=True).tap()
    expect(page.get_by_role("heading", name="1 stone taken in")).to_be_visible()
    return code, made(club.dealer, lot, 2)


def test_a_code_that_was_refused_is_mended_on_its_page(
    club: Club, dealer: Member, lot: Record, new_phone: PhoneMaker
) -> None:
    """Another phone's stone took the code meanwhile. The stone keeps its place and arrives once, with its price."""
    first = made(dealer, lot, 1)
    phone = new_phone().sign_in(dealer)
    page = phone.page
    code, taken_by = take_in_a_taken_code(club, dealer, lot, phone)
    phone.go_online()
    bench = phone.bench()
    expect(bench.get_by_role("heading", name="1 record needs you")).to_be_visible()
    bench.get_by_role("link", name="Open", exact=True).tap()
    expect(page.get_by_role("heading", name=f"Change {code}")).to_be_visible()
    refused = page.get_by_role("region", name="The service did not take this stone")
    expect(refused).to_contain_text(f"{code} is taken by another stone")
    expect(page.get_by_label("Code", exact=True)).to_have_attribute("aria-invalid", "true")
    page.get_by_role("button", name=f"Take {lot['code']}-003").tap()
    expect(page.get_by_label("Code", exact=True)).to_have_attribute("aria-invalid", "false")
    page.get_by_role("button", name="Save the changes").tap()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()

    in_lot = [one for one in club.dealer.get("/stones")["items"] if one["lot_id"] == lot["id"]]
    assert {first["id"]: "001", taken_by["id"]: "002"}.items() <= {
        one["id"]: one["code"][-3:] for one in in_lot
    }.items()
    [mine] = [one for one in in_lot if one["id"] not in (first["id"], taken_by["id"])]
    assert (f"{lot['code']}-003", 1) == (mine["code"], mine["version"])
    assert 40 == dealer.get(f"/offers/{mine['id']}")["price"]
    expect(phone.bench().get_by_text("needs you")).to_have_count(0)


def test_a_stone_is_withdrawn_with_a_reason_and_stays_readable(
    club: Club, dealer: Member, lot: Record, new_phone: PhoneMaker
) -> None:
    """It goes from the list; its page tells the reason and offers no more change. Its offer goes with it."""
    stone = made(dealer, lot, 1)
    offer = {
        "stone_id": stone["id"],
        "state": "for_sale",
        "cost": 20,
        "price": 50,
        "currency": "EUR",
        "notes": "",
    }
    dealer.put(f"/offers/{stone['id']}", offer)
    phone = new_phone()
    examination = Examination(phone)
    page = phone.sign_in(dealer).page
    open_change(page, stone)
    page.get_by_label("State of the offer").select_option("kept_back")
    expect(page.get_by_text("Say why the stone is kept back.")).to_be_visible()
    page.get_by_role("button", name="Withdraw this stone").tap()
    examination.look_at("a stone being changed and withdrawn")
    page.get_by_role("button", name="Withdraw", exact=True).tap()
    expect(page.get_by_text("Give a reason")).to_be_visible()
    page.get_by_label("Why do you withdraw it?").fill("Broken on the way.")
    page.get_by_role("button", name="Withdraw", exact=True).tap()
    expect(page.get_by_role("heading", name="Withdrawn: Broken on the way.")).to_be_visible()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    assert "Broken on the way." == dealer.get(f"/stones/{stone['id']}")["withdrawn"]["reason"]
    assert "Broken on the way." == dealer.get(f"/offers/{stone['id']}")["withdrawn"]["reason"]

    page.get_by_role("button", name="Drop these changes").tap()
    expect(page.get_by_text("A change of it was begun")).to_have_count(0)
    page.get_by_role("link", name="To the stone").tap()
    expect(page.get_by_text("Withdrawn. Broken on the way.")).to_be_visible()
    expect(page.get_by_role("link", name="Change the stone")).to_have_count(0)
    page.goto(f"/stones?lot={lot['id']}")
    expect(page.get_by_role("heading", name="Stones", level=1)).to_be_visible()
    expect(page.get_by_text(stone["code"])).to_have_count(0)
    assert [] == examination.wrong


def test_a_refused_stone_that_is_withdrawn_is_set_aside_with_its_price(
    club: Club, dealer: Member, lot: Record, new_phone: PhoneMaker
) -> None:
    """Nothing of it goes out, nothing needs anybody any more, and it can still be put back."""
    made(dealer, lot, 1)
    phone = new_phone().sign_in(dealer)
    page = phone.page
    code, _ = take_in_a_taken_code(club, dealer, lot, phone)
    phone.go_online()
    phone.bench().get_by_role("link", name="Open", exact=True).tap()
    page.get_by_role("button", name="Withdraw this stone").tap()
    page.get_by_label("Why do you withdraw it?").fill("It was that very stone.")
    page.get_by_role("button", name="Withdraw", exact=True).tap()
    expect(page.get_by_role("heading", name=f"{code} is set aside")).to_be_visible()
    bench = phone.bench()
    expect(bench.get_by_text("needs you")).to_have_count(0)
    expect(bench.get_by_text("Waiting to go out")).to_have_count(0)
    page.goto("/me")
    expect(page.get_by_text(f"Stone of {code}")).to_be_visible()
    assert 2 == len([one for one in club.dealer.get("/stones")["items"] if one["lot_id"] == lot["id"]])
