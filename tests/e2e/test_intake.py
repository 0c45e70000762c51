"""A dealer takes in a lot: from a spreadsheet without a signal, by keyboard at a desk, and back again."""

import io
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect
from pypdf import PdfReader

from tests.documents.picture import picture_of
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.phone import Phone
from tests.e2e.pictures import noise
from tests.e2e.test_every_screen import Examination

pytestmark = pytest.mark.browser

# Semicolons, decimal commas, a length in cm and a note with a line break, so that lines and rows part company.
TABLE = """code;kind;form;length cm;width_mm;thickness_mm;mass_g;back mark;cost;price EUR;notes
{p}-001;slate;bench;20,5;75;25;1040;stamp;20;65,50;
{p}-002;garnet slate;hand;12;60;20;410;;;30;"in box 3,
lid cracked"
{p}-003;slate;bench;20,5;75;about 25;1040;;;;
{p}-004;chert;finger;10;20;15;78,5;;;;
{p}-001;slate;bench;20;70;24;900;;;;
"""

#: Resolves once the draft in the store holds these words. The screen has them some milliseconds sooner.
DRAFT_HOLDS = """async (words) => {
  const asked = (request) => new Promise((go, fail) => {
    request.onsuccess = () => go(request.result);
    request.onerror = () => fail(request.error);
  });
  const store = await asked(indexedDB.open("whetpanel"));
  while (!JSON.stringify(await asked(store.transaction("drafts").objectStore("drafts").getAll())).includes(words)) {
    await new Promise((go) => setTimeout(go, 20));
  }
  store.close();
}"""

PASTE = """(cell, text) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  cell.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
}"""


@pytest.fixture
def dealer(club: Club) -> Member:
    """A dealer nobody has met yet."""
    name = f"dealer{club.tester().sign_in_name}"
    return club.member(name, "dealer")


def begin_lot(page: Page, code: str, name: str) -> None:
    page.goto("/intake")
    page.get_by_label("Lot", exact=True).select_option("new")
    page.get_by_label("Lot code").fill(code)
    page.get_by_label("Lot name").fill(name)


def read_csv(page: Page, content: str) -> None:
    chooser = page.get_by_label("Read a CSV file")
    if not chooser.is_visible():
        page.get_by_text("From a spreadsheet").tap()
    file = {"name": "lot.csv", "mimeType": "text/csv", "buffer": b"\xef\xbb\xbf" + content.encode()}
    chooser.set_input_files(file)


def records(member: Member, thing: str) -> dict[str, dict[str, object]]:
    return {one["id"]: one for one in member.own(thing)}


def test_a_spreadsheet_without_a_signal_becomes_stones_exactly_once(
    club: Club, dealer: Member, new_phone: PhoneMaker, tmp_path: Path
) -> None:
    """Bad lines are named, one is mended and one left out; the rest is there once, with its offers and labels."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    prefix = dealer.sign_in_name[-8:].upper()
    phone = new_phone().sign_in(dealer)
    page = phone.page
    phone.go_offline()
    begin_lot(page, prefix, "Autumn slates")
    read_csv(page, TABLE.format(p=prefix))

    preview = page.get_by_role("region", name="lot.csv")
    expect(preview.get_by_text("A comma is its decimal sign.")).to_be_visible()
    expect(preview.get_by_label("“length cm” holds")).to_have_value("length_mm")
    expect(preview.get_by_label("Unit of “length cm”")).to_have_value("cm")
    expect(preview.get_by_text("2 of 5 lines need mending:")).to_be_visible()
    # The note of line 3 runs over two lines, so the next stone stands in line 5.
    expect(bad_row(preview, f"Line 5, {prefix}-003")).to_contain_text("Thickness “about 25” is not a number")
    expect(bad_row(preview, f"Line 7, {prefix}-001")).to_contain_text("stands in line 2 already")
    preview.get_by_role("button", name="Put 5 stones into the grid").tap()

    expect(page.get_by_role("button", name="2 stones need mending first")).to_be_disabled()
    page.evaluate(DRAFT_HOLDS, '"thickness_mm":"about 25"')
    page.reload()
    to_mend = page.get_by_role("region", name="2 stones need mending")
    to_mend.get_by_role("button", name=f"Mend it Line 5, {prefix}-003").tap()
    card = page.get_by_role("region", name="Stone 3 of 5")
    expect(card.get_by_label("Thickness")).to_have_attribute("aria-invalid", "true")
    card.get_by_label("Thickness").fill("25,5")
    expect(card.get_by_text("2.65 g/cm³")).to_be_visible()
    page.get_by_role("button", name=f"Leave it out Line 7, {prefix}-001").tap()
    page.get_by_role("button", name="Take in 4 stones").tap()

    taken = page.get_by_role("region", name=f"4 stones taken in, lot {prefix}")
    expect(taken.get_by_text("7 records wait on this device")).to_be_visible()
    expect(page.get_by_role("region", name="1 row is left out")).to_contain_text(f"{prefix}-001")
    taken.get_by_role("button", name="Print labels").tap()
    taken.get_by_role("button", name="Make the labels").tap()
    expect(taken.get_by_role("alert")).to_contain_text("Labels need a signal")
    assert {} == records(dealer, "stones")

    phone.go_online()
    expect(taken.get_by_text("All of them are on the service.")).to_be_visible()
    stones = records(dealer, "stones")
    by_code = {one["code"]: one for one in stones.values()}
    assert [f"{prefix}-00{n}" for n in (1, 2, 3, 4)] == sorted(by_code)
    club.once(dealer, stones, "stones")
    [lot] = records(dealer, "lots").values()
    assert (prefix, "Autumn slates") == (lot["code"], lot["name"])
    assert {lot["id"]} == {one["lot_id"] for one in stones.values()}
    first, second = by_code[f"{prefix}-001"], by_code[f"{prefix}-002"]
    assert (205, 75, 25, 1040) == tuple(
        first[name] for name in ("length_mm", "width_mm", "thickness_mm", "mass_g")
    )
    assert [{"face": "back", "kind": "stamp", "notes": ""}] == first["marks"]
    assert "in box 3,\nlid cracked" == second["notes"]
    assert 25.5 == by_code[f"{prefix}-003"]["thickness_mm"]
    offers = records(dealer, "offers")
    club.once(dealer, offers, "offers")
    assert {first["id"]: (20, 65.5, "EUR"), second["id"]: (None, 30, "EUR")} == {
        key: (one["cost"], one["price"], one["currency"]) for key, one in offers.items()
    }

    taken.get_by_label("Labels used already on the first sheet").fill("22")
    taken.get_by_role("button", name="Make the labels").tap()
    with page.expect_download() as saved:
        taken.get_by_role("link", name="Save the PDF").tap()
    pdf = Path(saved.value.path()).read_bytes()
    assert 2 == len(PdfReader(io.BytesIO(pdf)).pages)
    read = [code.text for n in (1, 2) for code in zxingcpp.read_barcodes(picture_of(pdf, tmp_path, n))]
    assert sorted(f"{club.service.url}/stones/{key}" for key in stones) == sorted(read)

    # The same file once more: every code that is taken is named, and nothing can be doubled.
    page.reload()
    expect(page.get_by_role("region", name="1 row is left out")).to_contain_text(f"{prefix}-001")
    read_csv(page, TABLE.format(p=prefix))
    again = page.get_by_role("region", name="lot.csv")
    expect(again.get_by_text("5 of 5 lines need mending:")).to_be_visible()
    expect(bad_row(again, f"Line 2, {prefix}-001")).to_contain_text("is taken by a stone of your club")
    again.get_by_role("button", name="Put it away").tap()
    club.once(dealer, stones, "stones")


def bad_row(region: Locator, name: str) -> Locator:
    return region.get_by_role("listitem").filter(has=region.page.get_by_text(name, exact=True))


def at_a_desk(phone: Phone) -> Page:
    phone.page.set_viewport_size({"width": 1280, "height": 800})
    return phone.page


def cell(page: Page, field: str, row: int) -> Locator:
    return page.get_by_role("table", name="Stones to take in").get_by_label(f"{field}, row {row}", exact=True)


def test_a_lot_is_typed_and_pasted_by_keyboard_alone_and_withdrawn_again(
    club: Club, dealer: Member, new_phone: PhoneMaker
) -> None:
    """Codes go on by themselves, a new row repeats what is alike, a sheet's cells land where the cursor stands."""
    prefix = dealer.sign_in_name[-8:].upper()
    page = at_a_desk(new_phone().sign_in(dealer))
    begin_lot(page, prefix, "Typed slates")
    code = cell(page, "Code", 1).input_value()
    assert code.startswith(f"{prefix}-")
    cell(page, "Code", 1).fill(f"{prefix}-017")
    cell(page, "Kind", 1).select_option("slate")
    cell(page, "Form", 1).select_option("bench")
    cell(page, "Length", 1).focus()
    for value in ("205", "75", "25"):
        page.keyboard.type(value)
        page.keyboard.press("Tab")
    page.keyboard.type("1040")
    expect(page.get_by_role("region", name="Row 1").get_by_text("2.71 g/cm³")).to_be_visible()
    page.keyboard.press("Enter")

    expect(cell(page, "Length", 2)).to_be_focused()
    expect(cell(page, "Code", 2)).to_have_value(f"{prefix}-018")
    expect(cell(page, "Kind", 2)).to_have_value("slate")
    expect(cell(page, "Form", 2)).to_have_value("bench")
    cell(page, "Length", 2).evaluate(PASTE, "200\t70\t24,5\t9300\r\n190\t65\t22\t750\r\n")
    expect(cell(page, "Code", 3)).to_have_value(f"{prefix}-019")
    expect(cell(page, "Thickness", 2)).to_have_value("24.5")
    cell(page, "Mass", 2).focus()
    expect(page.get_by_text("27.11 g/cm³ is outside 1.6 to 3.6")).to_be_visible()
    page.keyboard.press("ArrowDown")
    expect(cell(page, "Mass", 3)).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.type("930")
    page.evaluate(DRAFT_HOLDS, '"mass_g":"930"')
    page.reload()

    expect(cell(page, "Mass", 2)).to_have_value("930")
    page.get_by_role("button", name="Take in 3 stones").tap()
    taken = page.get_by_role("region", name="3 stones taken in")
    expect(taken.get_by_text("All of them are on the service.")).to_be_visible()
    stones = records(dealer, "stones")
    assert [f"{prefix}-0{n}" for n in (17, 18, 19)] == sorted(str(one["code"]) for one in stones.values())
    assert {"slate bench"} == {f"{one['kind']} {one['form']}" for one in stones.values()}

    taken.get_by_role("button", name="Taken in by mistake?").tap()
    taken.get_by_role("button", name="Withdraw these 3 stones").tap()
    expect(taken.get_by_role("alert")).to_have_text("Write the reason first.")
    taken.get_by_label("Why are they withdrawn?").fill("Another club's stones.")
    taken.get_by_role("button", name="Withdraw these 3 stones").tap()
    expect(taken.get_by_text("3 stones withdrawn.")).to_be_visible()
    page.goto("/")
    expect(page.get_by_role("heading", name="Bench")).to_be_visible()
    expect(page.get_by_text("Waiting to go out")).to_have_count(0)
    for stone_id in stones:
        assert "Another club's stones." == dealer.get(f"/stones/{stone_id}")["withdrawn"]["reason"]


def test_a_stone_with_photos_is_taken_in_by_thumb(club: Club, dealer: Member, new_phone: PhoneMaker) -> None:
    """One stone at a time: the next one keeps what repeats, and an intake left half way is found on the bench."""
    prefix = dealer.sign_in_name[-8:].upper()
    phone = new_phone().sign_in(dealer)
    page = phone.page
    page.goto("/stones")
    page.get_by_role("link", name="Take in stones").tap()
    page.get_by_label("Lot", exact=True).select_option("new")
    page.get_by_label("Lot code").fill(prefix)
    page.get_by_label("Lot name").fill("By thumb")
    card = page.get_by_role("region", name="Stone 1 of 1")
    card.get_by_label("Kind").select_option("novaculite")
    card.get_by_label("Form").select_option("hand")
    for name, value in (("Length", "120"), ("Width", "60"), ("Thickness", "20"), ("Mass", "380")):
        card.get_by_label(name).fill(value)
    card.get_by_label("Photo front").set_input_files(
        {"name": "front.jpg", "mimeType": "image/jpeg", "buffer": noise(7)}
    )
    expect(card.get_by_role("img", name="front")).to_be_visible()
    page.get_by_role("button", name="Next stone").tap()
    card = page.get_by_role("region", name="Stone 2 of 2")
    expect(card.get_by_label("Length")).to_be_focused()
    expect(card.get_by_label("Kind")).to_have_value("novaculite")
    page.goto("/")
    page.get_by_role("link", name="Stones to take in").tap()

    page.get_by_role("button", name="Take in 1 stone", exact=True).tap()
    expect(page.get_by_text("All of them are on the service.")).to_be_visible()
    [stone] = records(dealer, "stones").values()
    [photo] = stone["photos"]
    assert "front" == photo["view"]
    expect(page.get_by_role("heading", name="1 stone taken in")).to_be_visible()


@pytest.mark.parametrize("desk", [False, True], ids=["phone", "desk"])
def test_every_state_of_an_intake_passes_the_examination(
    club: Club, dealer: Member, new_phone: PhoneMaker, desk: bool
) -> None:
    """axe-core finds nothing and nothing scrolls sideways, also with letters twice as large, in every look."""
    prefix = dealer.sign_in_name[-8:].upper()
    phone = new_phone()
    examination = Examination(phone)
    phone.sign_in(dealer)
    page = at_a_desk(phone) if desk else phone.page
    begin_lot(page, prefix, "Autumn slates")
    examination.look_at("a new lot")
    page.get_by_text("From a spreadsheet").tap()
    page.get_by_text("What the columns mean").tap()
    examination.look_at("what a table holds")
    read_csv(page, TABLE.format(p=prefix))
    expect(page.get_by_text("2 of 5 lines need mending:")).to_be_visible()
    examination.look_at("a table before it goes into the grid")
    page.get_by_role("button", name="Put 5 stones into the grid").tap()
    if not desk:
        page.get_by_text("Colour, marks, price and notes").tap()
        page.get_by_text("All 5 stones").tap()
    page.get_by_role("button", name=f"Leave it out Line 7, {prefix}-001").tap()
    examination.look_at("rows to mend and left out")
    page.get_by_role("button", name=f"Leave it out Line 5, {prefix}-003").tap()
    page.get_by_role("button", name="Take in 3 stones").tap()
    expect(page.get_by_text("All of them are on the service.")).to_be_visible()
    page.get_by_role("button", name="Print labels", exact=True).tap()
    page.get_by_role("button", name="Make the labels").tap()
    expect(page.get_by_role("link", name="Open the PDF")).to_be_visible()
    examination.look_at("taken in, with labels")
    assert [] == examination.wrong
