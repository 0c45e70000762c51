"""Photos: taken without a signal, sent after the records that name them, cleaned of what the camera wrote beside."""

from io import BytesIO

import pytest
from PIL import Image
from playwright.sync_api import Request, expect

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


def note_upload(request: Request, uploads: list[bytes]) -> None:
    if request.method == "PUT" and "/photos/" in request.url:
        uploads.append(request.post_data_buffer or b"")


def is_tenth_put(phone: Phone, path: str) -> bool:
    return len(phone.puts(path)) >= 10


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

    uploads: list[bytes] = []
    phone.context.on("request", lambda request: note_upload(request, uploads))
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
    sent = uploads[0]
    assert use["sha256"] == sha256(sent)
    assert (800, 1600) == Image.open(BytesIO(sent)).size
    assert not Image.open(BytesIO(sent)).getexif()
    assert b"invented camera" not in sent
