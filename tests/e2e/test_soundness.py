"""Is the stone sound? Findings traced on a photo without a signal, mud read by the camera, every screen examined."""

import re

import pytest
from playwright.sync_api import expect

from tests.conftest import new_id
from tests.e2e.club import Club, Member
from tests.e2e.conftest import PhoneMaker
from tests.e2e.looked_over import inspection_with, scratching_inclusion
from tests.e2e.on_photo import drag_photo, photograph, set_corners, tap_photo
from tests.e2e.phone import Phone
from tests.e2e.screens import begin_trial, choose, find_stone, probe
from tests.e2e.stone_photo import CARD, CORNERS, MUD, Point, in_photo, of_a_stone, of_mud_and_card
from tests.e2e.test_every_screen import Examination

pytestmark = pytest.mark.browser

FISSURE: list[Point] = [(32, 0), (18, 11), (0, 21)]


def test_a_fissure_traced_on_a_photo_without_a_signal_reaches_the_dealers_work_list(
    club: Club, tester: Member, phone: Phone, new_phone: PhoneMaker
) -> None:
    """Verdict, size of the corner and caution at once, offline; back on line, the dealer's list has it."""
    stone = club.stone()
    face = (stone["length_mm"], stone["width_mm"])
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    pad = photograph(page, "Photograph this face", of_a_stone(face, FISSURE))
    set_corners(page, pad, CORNERS)
    expect(page.get_by_text("The corners give the scale.")).to_be_visible()
    page.get_by_role("button", name="Fissure", exact=True).tap()
    for n, at in enumerate(FISSURE, start=1):
        tap_photo(page, pad, in_photo(at, face))
        expect(
            page.get_by_role("application", name=f"{n} {'point' if n == 1 else 'points'} set")
        ).to_be_visible()
    probe(page, "A fingernail catches", "Yes")
    probe(page, "Moves when you press", "No")
    page.get_by_role("button", name="Done with this one").tap()

    card = page.get_by_role("article").filter(has=page.get_by_role("heading", name="Glue before lapping"))
    expect(card).to_contain_text("Do it before the stone is used")
    expect(card).to_contain_text("Take care.")
    expect(card).to_contain_text("gives off vapour")
    said = re.search(r"a corner of ([\d.]+) × ([\d.]+) mm \(([\d.]+) % of the face\)", card.inner_text())
    assert said is not None, card.inner_text()
    # A tap on this photo is worth about half a millimetre; the piece is the fissure's own outline with the corner.
    long_leg, short_leg, share = map(float, said.groups())
    assert 32 == pytest.approx(long_leg, abs=1)
    assert 21 == pytest.approx(short_leg, abs=1)
    area = abs(32 * 11 - 18 * 0 + 18 * 21 - 0 * 11) / 2
    assert 100 * area / (face[0] * face[1]) == pytest.approx(share, abs=0.2)

    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_role("heading", name="Inspection saved")).to_be_visible()
    expect(page.get_by_text("waiting", exact=True)).to_be_visible()
    page.goto("/work")
    # Other stories leave work of their own; only the first stone of the list is open from the start.
    work = page.get_by_role("group").filter(has=page.get_by_text(stone["code"], exact=True))
    expect(work).to_be_visible()
    if work.get_attribute("open") is None:
        work.get_by_text(stone["code"], exact=True).tap()
    expect(work.get_by_text("Worked out on this phone")).to_be_visible()

    phone.go_online()
    phone.bench()
    phone.expect_waiting(0)
    (held,) = tester.own("inspections")
    (finding,) = held["findings"]
    for at, kept in zip(FISSURE, finding["points"], strict=True):
        assert at == pytest.approx((kept["x_mm"], kept["y_mm"]), abs=1)
    (photo,) = held["photos"]
    assert "front" == photo["view"]
    assert 200 == tester.ask("GET", f"/photos/{photo['sha256']}").status_code

    dealers = new_phone().sign_in(club.dealer).page
    dealers.get_by_role("link", name="Work", exact=True).tap()
    expect(dealers.get_by_role("heading", name="Work", level=1)).to_be_visible()
    dealers.goto(f"/work?stone={stone['id']}")
    item = dealers.get_by_role("article").filter(
        has=dealers.get_by_role("heading", name="Glue before lapping")
    )
    expect(item).to_contain_text(said.group(0))
    expect(item).to_contain_text("gives off vapour")
    expect(item.get_by_role("button", name="Not needed")).to_be_visible()


def test_corners_that_cross_are_refused_with_the_reason(club: Club, phone: Phone) -> None:
    """Nothing can be traced on them; dragging is one way out, setting them again another."""
    stone = club.stone()
    face = (stone["length_mm"], stone["width_mm"])
    page = phone.bench()
    phone.sync_now()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    pad = photograph(page, "Photograph this face", of_a_stone(face, FISSURE))
    a, b, c, d = CORNERS

    set_corners(page, pad, [a, c, b, d])
    expect(page.get_by_text("The corners cross")).to_be_visible()
    page.get_by_role("button", name="Set the corners again").tap()
    set_corners(page, pad, [a, d, c, b])
    expect(page.get_by_text("anticlockwise")).to_be_visible()
    page.get_by_role("button", name="Set the corners again").tap()
    set_corners(page, pad, [b, c, d, a])
    expect(page.get_by_text("looks like the short one")).to_be_visible()
    page.get_by_role("button", name="Begin one corner further").tap()
    page.get_by_role("button", name="Begin one corner further").or_(
        page.get_by_text("The corners give the scale.")
    )
    expect(page.get_by_text("The corners give the scale.")).to_be_visible()


def test_a_corner_that_is_off_is_dragged_where_it_belongs(club: Club, tester: Member, phone: Phone) -> None:
    """The page does not scroll away under the finger, and what is traced then lies where it is on the stone."""
    stone = club.stone()
    face = (stone["length_mm"], stone["width_mm"])
    page = phone.bench()
    phone.sync_now()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    pad = photograph(page, "Photograph this face", of_a_stone(face, FISSURE))
    off: Point = (330, 660)
    set_corners(page, pad, [*CORNERS[:3], off])
    expect(page.get_by_text("The corners give the scale.")).to_be_visible()
    drag_photo(page, pad, off, CORNERS[3])
    page.get_by_role("button", name="Fissure", exact=True).tap()
    wrong: Point = (70, 50)
    for n, at in enumerate([FISSURE[0], wrong, FISSURE[2]], start=1):
        tap_photo(page, pad, in_photo(at, face))
        expect(
            page.get_by_role("application", name=f"{n} {'point' if n == 1 else 'points'} set")
        ).to_be_visible()
    drag_photo(page, pad, in_photo(wrong, face), in_photo(FISSURE[1], face))
    tap_photo(page, pad, (1500, 1120))
    expect(page.get_by_text("That is beside the face.")).to_be_visible()
    page.get_by_role("button", name="Done with this one").tap()
    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()

    (held,) = tester.own("inspections")
    kept = [(point["x_mm"], point["y_mm"]) for point in held["findings"][0]["points"]]
    assert [pytest.approx(at, abs=1) for at in FISSURE] == kept


def test_the_camera_suggests_a_shade_and_leaves_the_testers_own(
    club: Club, tester: Member, phone: Phone
) -> None:
    """Mud of sRGB 99 beside a card of 200 reads as shade 3; the tester says 2, and 2 it stays."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    begin_trial(page, club.protocol, club.blades[0])
    asked = next(one for one in club.protocol["observations"] if one["id"] == "mud_shade")
    for step in club.protocol["steps"]:
        expect(page.get_by_role("heading", name=step["title"], level=1)).to_be_visible()
        if "mud_shade" in step["records"]:
            break
        page.get_by_role("button", name="Next").tap()
    own = next(choice["words"] for choice in asked["choices"] if choice["value"] == 2)
    three = next(choice["words"] for choice in asked["choices"] if choice["value"] == 3)
    choose(page, f"{asked['name']} (needed)" if asked["required"] else asked["name"], own)
    page.get_by_text("Let the camera suggest a shade").tap()
    pad = photograph(page, "Photograph mud and card", of_mud_and_card(99, 200))
    tap_photo(page, pad, MUD)
    expect(page.get_by_role("application", name="1 of 2 patches set")).to_be_visible()
    tap_photo(page, pad, CARD)

    status = page.get_by_role("status").filter(has_text="against the card")
    # By the sRGB curve (IEC 61966-2-1) the light of 99 is 0.125 and of 200 is 0.578; that share of a card of
    # Y = 0.876 is 0.189, and L* of it 50.6 (CIE 1976).
    expect(status).to_contain_text("Lightness 51 of 100")
    expect(status).to_contain_text(three)
    expect(status).to_contain_text(f"You chose: {own}")
    group = page.get_by_role("group", name=asked["name"])
    expect(group.get_by_role("radio", name=own)).to_be_checked()


def test_soundness_passes_the_examination_in_every_look(club: Club, new_phone: PhoneMaker) -> None:
    """Corners, a trace and a lens on a photo; the repair form; the rules with their effect; a map of heights."""
    keeper = club.member(f"keeper{new_id()[-6:]}", "tester", "dealer", "steward")
    stone = club.stone()
    keeper.put(f"/inspections/{new_id()}", inspection_with(stone, findings=[scratching_inclusion()]))
    heights = [(x, y, abs(x - 100) * 0.9 + y * 0.2) for x in (10, 60, 100, 150, 195) for y in (8, 37, 67)]
    readings = [{"x_mm": x, "y_mm": y, "height_um": round(z, 2)} for x, y, z in heights]
    flat = inspection_with(stone, face="back", flatness={"method": "grid", "readings": readings})
    keeper.put(f"/inspections/{new_id()}", flat)
    face = (stone["length_mm"], stone["width_mm"])
    phone = new_phone()
    examination = Examination(phone)
    page = phone.sign_in(keeper).page

    page.goto(f"/stones/{stone['id']}/inspect")
    pad = photograph(page, "Photograph this face", of_a_stone(face, FISSURE))
    examination.look_at("inspection, corners to set")
    set_corners(page, pad, CORNERS)
    expect(page.get_by_text("The corners give the scale.")).to_be_visible()
    examination.look_at("inspection, corners set")
    page.get_by_role("button", name="Fissure", exact=True).tap()
    for at in FISSURE:
        tap_photo(page, pad, in_photo(at, face))
    pad.press("ArrowLeft")
    examination.look_at("inspection, traced on the photo, lens open")

    page.goto(f"/work?stone={stone['id']}")
    page.get_by_role("button", name="Done", exact=True).first.tap()
    expect(page.get_by_label("With what")).to_be_visible()
    examination.look_at("work, repair form")
    page.get_by_role("button", name="Later").tap()
    page.get_by_role("button", name="Not needed").first.tap()
    examination.look_at("work, not needed")

    page.goto("/rules")
    for summary in page.locator("details > summary").all():
        summary.tap()
    page.get_by_label("Watch from").fill("20")
    page.get_by_role("button", name="See the effect").tap()
    expect(page.get_by_role("heading", name="What it would change")).to_be_visible()
    page.get_by_role("button", name="Show earlier versions").tap()
    expect(page.get_by_role("heading", name="Version 1")).to_be_visible()
    examination.look_at("rules, effect and versions")

    page.goto(f"/stones/{stone['id']}/lap")
    expect(page.get_by_role("img", name="Heights of the face")).to_be_visible()
    page.get_by_text("All readings").tap()
    examination.look_at("lapping, planned")
    assert [] == examination.wrong
