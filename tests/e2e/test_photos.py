"""Photos: taken without a signal, sent after the records that name them, cleaned of what the camera wrote beside."""

import re
from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Request, Route, expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.e2e.pictures import from_a_camera, noise, sha256
from tests.e2e.screens import find_stone
from tests.e2e.waiting import wait_on

pytestmark = pytest.mark.browser


def test_an_evening_of_fifty_records_and_forty_photos_arrives_in_one_sync(
    club: Club, tester: Member, phone: Phone
) -> None:
    """All of it made offline, the app reloaded in the middle of sending: everything is there, once."""
    stone = club.stone()
    photos = [noise(seed) for seed in range(40)]
    trials = {}
    for number in range(50):
        taken = [{"sha256": sha256(photos[number]), "view": "mud", "caption": ""}] if number < 40 else []
        trials[new_id()] = club.trial_body(stone, notes=f"record {number}", photos=taken)
    wait_on(phone, tester, trials, photos=photos)
    expect(phone.page.get_by_text("Waiting to go out: 50 records and 40 photos")).to_be_visible()

    for path in ("/trials/", "/photos/"):
        with phone.page.expect_request(lambda request, path=path: is_tenth_put(phone, path)):
            phone.go_online()
        phone.page.reload()
    phone.expect_waiting(0)

    club.once(tester, trials)
    for photo in photos:
        kept = tester.ask("GET", f"/photos/{sha256(photo)}")
        assert 200 == kept.status_code
        assert (480, 360) == Image.open(BytesIO(kept.content)).size
        assert 200 == tester.ask("GET", f"/photos/{sha256(photo)}/thumb").status_code


def first_byte(request: Request) -> int:
    """Where in the photo a request's bytes belong, by its Content-Range (RFC 9110, 14.4); a whole one has none."""
    said = re.match(r"bytes (\d+)-", request.headers.get("content-range", "bytes 0-"))
    assert said is not None
    return int(said.group(1))


def take_down(request: Request, sent: bytearray) -> None:
    """Put the bytes of an upload where they belong; a piece that is sent again falls on itself."""
    if request.method == "PUT" and "/photos/" in request.url:
        start, content = first_byte(request), request.post_data_buffer or b""
        sent[start : start + len(content)] = content


def is_tenth_put(phone: Phone, path: str) -> bool:
    return len(phone.puts(path)) >= 10


def test_a_large_photo_goes_on_where_the_signal_broke(club: Club, tester: Member, phone: Phone) -> None:
    """The second piece is lost on the way; the next try goes on there, and the first is not sent again."""
    photo = noise(7, (1600, 1200))
    wait_on(phone, tester, {}, photos=[photo])
    starts: list[int] = []

    def break_at_the_second(route: Route) -> None:
        if route.request.method != "PUT":
            route.continue_()
            return
        starts.append(first_byte(route.request))
        if len(starts) == 2:
            route.abort("connectionreset")
        else:
            route.continue_()

    phone.context.route("**/api/v1/photos/**", break_at_the_second)
    phone.go_online()
    phone.expect_waiting(0)
    assert len(starts) >= 3
    assert [0, starts[1], starts[1]] == starts[:3]
    assert starts[1:] == sorted(starts[1:])
    assert 1 == starts.count(0)
    assert (1600, 1200) == Image.open(BytesIO(tester.ask("GET", f"/photos/{sha256(photo)}").content)).size


#: Resolves once the worker keeps a photo's small picture.
KEPT_AHEAD = """async (address) => {
  const kept = await caches.open("whetpanel-thumbs");
  while ((await kept.match(address)) === undefined) await new Promise((go) => setTimeout(go, 50));
}"""
#: Whether a picture is really there: a broken one has no width.
IS_DRAWN = "(picture) => picture.complete && picture.naturalWidth > 0"


def test_photos_that_nobody_opened_are_there_without_a_signal(
    club: Club, tester: Member, phone: Phone
) -> None:
    """Somebody else photographs a stone; this phone syncs, loses its signal and shows the picture all the same."""
    stone, photo = club.stone(), noise(77)
    stored = club.dealer.ask(
        "PUT", f"/photos/{sha256(photo)}", data=photo, headers={"Content-Type": "image/jpeg"}
    )
    assert stored.ok, stored.text
    use = {"sha256": sha256(photo), "view": "front", "caption": ""}
    club.dealer.put(
        f"/inspections/{new_id()}",
        {
            "stone_id": stone["id"],
            "face": "front",
            "inspected_at": "2026-03-01T09:00:00Z",
            "photos": [use],
        },
    )
    page = phone.bench()
    phone.sync_now()
    address = f"/api/v1/photos/{use['sha256']}/thumb"
    page.evaluate(KEPT_AHEAD, address)
    phone.go_offline()
    find_stone(page, stone["code"])
    picture = page.get_by_role("img", name="front", exact=False).and_(page.locator(f"img[src='{address}']"))
    picture.scroll_into_view_if_needed()
    expect(picture).to_be_visible()
    assert picture.evaluate(IS_DRAWN)

    phone.go_online()
    page.goto("/me")
    expect(page.get_by_text("for an evening without a signal")).to_be_visible()
    page.get_by_role("button", name="Let the small photos go").tap()
    expect(page.get_by_text("0 small photos")).to_be_visible()
    page.get_by_role("button", name="Fetch them now").tap()
    expect(page.get_by_role("status").filter(has_text="All of them are here.")).to_be_visible()
    assert page.evaluate("(address) => caches.match(address).then((one) => one !== undefined)", address)


def test_a_photo_is_turned_upright_and_keeps_no_place(club: Club, tester: Member, phone: Phone) -> None:
    """What leaves the phone is the picture alone: no EXIF, no GPS, the long side at most 1,600 pixels."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    camera = from_a_camera((2400, 1200))
    assert Image.open(BytesIO(camera)).getexif().get_ifd(0x8825)
    chooser = page.get_by_label("Photograph this face")
    chooser.set_input_files({"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": camera})
    expect(page.get_by_text("Photograph it again")).to_be_visible()
    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_role("heading", name="Inspection saved")).to_be_visible()

    sent = bytearray()
    phone.context.on("request", lambda request: take_down(request, sent))
    phone.go_online()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()
    phone.bench()
    phone.expect_waiting(0)
    (held,) = tester.own("inspections")
    (use,) = held["photos"]
    kept = tester.ask("GET", f"/photos/{use['sha256']}")
    picture = Image.open(BytesIO(kept.content))
    assert (800, 1600) == picture.size
    assert not picture.getexif()
    # The service takes everything else off too; what the phone sent shows that it never got it.
    assert use["sha256"] == sha256(sent)
    assert (800, 1600) == Image.open(BytesIO(sent)).size
    assert not Image.open(BytesIO(sent)).getexif()
    assert b"invented camera" not in sent
