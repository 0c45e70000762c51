"""Labels over HTTP: who prints them, what stands on them, and what is refused. House rules: no source."""

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.conftest import ClubHouse, new_id, stone_body
from tests.documents.pdf_reading import squeezed, words_of
from tests.documents.picture import picture_of
from whetpanel.documents import TypstRenderer
from whetpanel.web.world import World, set_world, world


@pytest.fixture
def house(small_house: ClubHouse) -> ClubHouse:
    """On SQLite alone: what these stories claim is worked out above the database, and a fit takes its time."""
    return small_house


@pytest.fixture
def printing_house(small_house: ClubHouse) -> ClubHouse:
    """A club whose service really prints."""
    with small_house.app.app_context():
        here = world()
    drawn = World(**{**here.__dict__, "renderer": TypstRenderer()})
    set_world(small_house.app, drawn)
    return small_house


def asked(stone_ids: list[str], **changes: object) -> dict[str, object]:
    return {"stone_ids": stone_ids, "paper": "a4", **changes}


@pytest.mark.parametrize(("paper", "n_pages"), [("a4", 2), ("letter", 1)])
def test_a_general_decoder_reads_every_label_in_the_order_asked_for(
    printing_house: ClubHouse, tmp_path: Path, paper: str, n_pages: int
) -> None:
    """zxing-cpp, a general decoder, reads each code: the address of that stone's page on this service, which is
    what the app's scanner takes for a stone (pwa/tests/domain/label.test.ts). 25 labels after 2 used ones."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    house = printing_house
    ids = [house.stone(code=f"N-{n:03}") for n in range(25)][::-1]

    answer = house.dealer.post("/labels", asked(ids, paper=paper, skip=2))

    assert 200 == answer.status_code
    assert "application/pdf" == answer.content_type
    read = []
    for page in range(1, n_pages + 1):
        codes = zxingcpp.read_barcodes(picture_of(answer.data, tmp_path, page))
        # Rows are 25 mm apart at the least and lie level, so a code's row is its height in coarse steps.
        read += sorted(codes, key=lambda one: (round(one.position.top_left.y / 80), one.position.top_left.x))
    assert [f"http://localhost/stones/{one}" for one in ids] == [one.text for one in read]
    assert n_pages == len(PdfReader(io.BytesIO(answer.data)).pages)


def test_a_label_tells_the_stone_to_whoever_has_no_phone(printing_house: ClubHouse) -> None:
    """Code, kind, form, size, mass, lot and club, as the records have them."""
    house = printing_house
    lot = house.lot(code="TAR", name="Tarrowgill slates")
    stone = new_id()
    body = stone_body(lot, code="TAR-07", kind="garnet_slate", form="hand", mass_g=420.4, width_mm=40.26)
    assert 201 == house.dealer.put(f"/stones/{stone}", body).status_code

    text = words_of(house.dealer.post("/labels", asked([stone])).data)

    for words in (
        "TAR-07", "garnet slate, hand stone", "205 × 40.3 × 25 mm, 420 g", "Lot TAR, Tarrowgill slates", "Hill club",
    ):  # fmt: skip
        assert squeezed(words) in text


def test_labels_are_the_dealers_and_the_stewards(small_house: ClubHouse) -> None:
    """A tester prints none, nobody without a session does."""
    stone = small_house.stone()

    assert 200 == small_house.dealer.post("/labels", asked([stone])).status_code
    assert 200 == small_house.steward.post("/labels", asked([stone])).status_code
    refused = small_house.testers[0].post("/labels", asked([stone]))
    assert (403, "not_allowed") == (refused.status_code, refused.json["code"])
    nobody = small_house.app.test_client().post("/api/v1/labels", json=asked([stone]))
    assert (401, "not_signed_in") == (nobody.status_code, nobody.json["code"])


def test_an_unknown_or_withdrawn_stone_is_named_and_nothing_printed(small_house: ClubHouse) -> None:
    """Each by its place in the list; a stone of another club is as unknown as one that was never sent."""
    stone, gone, unknown = small_house.stone(), small_house.stone(code="OLD-1"), new_id()
    small_house.dealer.post(f"/stones/{gone}/withdraw", {"reason": "Split in two."})

    answer = small_house.dealer.post("/labels", asked([stone, unknown, gone]))

    assert (422, "invalid") == (answer.status_code, answer.json["code"])
    assert "application/problem+json" == answer.content_type
    told = {one["field"]: one["message"] for one in answer.json["errors"]}
    assert {"stone_ids.1", "stone_ids.2"} == set(told)
    assert unknown in told["stone_ids.1"]
    assert "send it first" in told["stone_ids.1"]
    assert "OLD-1 was withdrawn" in told["stone_ids.2"]


@pytest.mark.parametrize(
    ("changes", "field", "told"),
    [
        ({"stone_ids": []}, "stone_ids", "between 1 and 500 stones"),
        ({"stone_ids": [new_id() for _ in range(501)]}, "stone_ids", "between 1 and 500 stones"),
        ({"paper": "a5"}, "paper", "Must be one of: a4, letter."),
        ({"skip": 24}, "skip", "This sheet has 24 labels; at most 23 can be used already."),
        ({"skip": 10, "paper": "letter", "layout": "101.6x50.8"}, "skip", "at most 9"),
        ({"skip": -1}, "skip", "greater than or equal to 0"),
        ({"layout": "66.7x25.4"}, "layout", "choose one of 70x37, 63.5x38.1, 99.1x38.1, 60x40"),
        ({"layout": "9x9"}, "layout", "Must be one of"),
    ],
)
def test_what_cannot_be_printed_is_refused_with_what_can(
    small_house: ClubHouse, changes: dict[str, object], field: str, told: str
) -> None:
    """One error shape, the field named, nothing printed."""
    answer = small_house.dealer.post("/labels", {**asked([small_house.stone()]), **changes})

    assert (422, "invalid") == (answer.status_code, answer.json["code"])
    [error] = answer.json["errors"]
    assert field == error["field"]
    assert told in error["message"]


def test_five_hundred_labels_are_taken_at_once(small_house: ClubHouse) -> None:
    """The most there is; a stone named twice gets two labels, for the stone and its box."""
    stone = small_house.stone()

    assert 200 == small_house.dealer.post("/labels", asked([stone] * 500)).status_code


def test_the_code_carries_the_address_that_the_settings_name(
    printing_house: ClubHouse, tmp_path: Path
) -> None:
    """Behind a proxy or on a machine with two names, the labels must lead to the one that phones use."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    house = printing_house
    with house.app.app_context():
        here = world()
    settings = type(here.settings)(**{**here.settings.__dict__, "public_url": "https://stones.example.org"})
    set_world(house.app, World(**{**here.__dict__, "settings": settings}))
    stone = house.stone()

    [code] = zxingcpp.read_barcodes(picture_of(house.dealer.post("/labels", asked([stone])).data, tmp_path))

    assert f"https://stones.example.org/stones/{stone}" == code.text
