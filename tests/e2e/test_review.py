"""The dealer reviews a stone: the figures are the service's, and a trial is left out only after its effect was seen."""

import re
import time
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.conftest import new_id
from tests.e2e.club import Club, Record
from tests.e2e.conftest import PhoneMaker
from tests.e2e.pictures import sha256
from tests.e2e.stone_photo import CORNERS, in_photo, of_a_stone

pytestmark = pytest.mark.browser


def tried_stone(club: Club) -> tuple[Record, dict[str, str]]:
    """A stone that three testers found at 2 to 3, and one at 3.5; others beside it, so that testers are known."""
    testers = [club.tester() for _ in range(4)]
    for number in range(4):
        beside = club.stone()
        for place, one in enumerate(testers):
            # Half a step up or down, each time another way: testers as unsteady as people are.
            grade = 2.0 + number / 2 + ((number + place * 2) % 3 - 1) / 2
            body = club.trial_body(beside, grades={"hardness": grade, "fineness": 3.0, "ease": 3.0})
            one.put(f"/trials/{new_id()}", body)
    stone = club.stone()
    trials = {}
    for day, (one, grade) in enumerate(zip(testers, (2.0, 3.0, 2.5, 3.5), strict=True), start=1):
        trials[one.display_name] = new_id()
        body = club.trial_body(
            stone, grades={"hardness": grade, "fineness": 3.0, "ease": 3.0},
            started_at=f"2026-03-0{day}T10:00:00Z", finished_at=f"2026-03-0{day}T10:20:00Z",
        )  # fmt: skip
        one.put(f"/trials/{trials[one.display_name]}", body)
    return stone, trials


def reviewed(club: Club, stone: Record) -> Any:
    """The service's own answer, once it knows every trial."""
    while True:
        answer = club.dealer.get(f"/stones/{stone['id']}/review?purpose=knife")
        if not answer["behind"]:
            return answer
        time.sleep(0.2)


def hardness(answer: Any) -> Any:
    return next(scale for scale in answer["scales"] if scale["scale"] == "hardness")


def open_review(page: Page, stone: Record) -> None:
    """From the stone's page, as a dealer gets there."""
    page.goto(f"/stones/{stone['id']}")
    page.get_by_role("link", name="Review the knife grades").tap()
    expect(page.get_by_role("heading", name=f"Review {stone['code']}", level=1)).to_be_visible()
    expect(page.get_by_role("heading", name="What each trial says")).to_be_visible()


def row_of(page: Page, name: str) -> Any:
    return page.get_by_role("listitem").filter(has=page.get_by_role("button", name=name))


def test_a_trial_is_left_out_with_a_reason_after_its_effect_was_seen(
    lone_club: Club, new_phone: PhoneMaker
) -> None:
    """What the screen foretells is what comes out; nothing is kept before; and the trial can be put back."""
    club = lone_club
    stone, trials = tried_stone(club)
    odd = list(trials)[3]
    before = hardness(reviewed(club, stone))
    page = new_phone(club.service.url).sign_in(club.dealer).page
    open_review(page, stone)

    # Every chart has its table, and the table has the service's figures.
    tables = page.locator("summary", has_text="As a table")
    expect(tables).to_have_count(4)
    for at in range(4):
        tables.nth(at).tap()
    drawn = page.get_by_role("table", name="under the grade ruler")
    for name, trial_id in trials.items():
        trial = next(one for one in before["trials"] if one["trial_id"] == trial_id)
        expect(drawn.get_by_role("row", name=name)).to_contain_text(f"{trial['corrected']:.2f}")
    course = page.get_by_role("table", name="90 % interval before any trial").get_by_role("row")
    assert 1 + 1 + 4 == course.count()
    expect(course.last).to_contain_text(f"{before['stone']['grade']:.2f}")

    row = row_of(page, odd)
    row.get_by_role("button", name=odd).tap()
    row.get_by_role("button", name="See it without this trial").tap()
    expect(row.get_by_role("heading", name="Without this trial")).to_be_visible()
    foretold = club.dealer.ask(
        "POST",
        "/pooled/what-if",
        json={"purpose": "knife", "stone_id": stone["id"], "exclude_trials": [trials[odd]]},
    ).json()
    then = hardness(foretold)["stones"][0]
    expect(row).to_contain_text(f"{then['grade']:.1f}")
    assert then["grade"] < before["stone"]["grade"] - 0.05
    assert club.dealer.get(f"/trials/{trials[odd]}")["excluded"] is None

    row.get_by_role("button", name="Leave it out").tap()
    expect(row.get_by_text("Give a reason")).to_be_visible()
    row.get_by_label("Why leave it out?").fill("The blade was chipped")
    row.get_by_role("button", name="Leave it out").tap()
    expect(row.get_by_text("The blade was chipped")).to_be_visible()

    after = hardness(reviewed(club, stone))
    assert "The blade was chipped" == club.dealer.get(f"/trials/{trials[odd]}")["excluded"]["reason"]
    assert abs(then["grade"] - after["stone"]["grade"]) < 2e-3
    expect(page.get_by_text("3 trials by 3 testers on 1 steel").first).to_be_visible()

    row.get_by_role("button", name=odd).tap()
    row.get_by_role("button", name="See it with this trial").tap()
    row.get_by_role("button", name="Put it back").tap()
    expect(row.get_by_text("The blade was chipped")).to_have_count(0)
    expect(page.get_by_text("4 trials by 4 testers on 1 steel").first).to_be_visible()
    assert club.dealer.get(f"/trials/{trials[odd]}")["excluded"] is None
    assert abs(before["stone"]["grade"] - hardness(reviewed(club, stone))["stone"]["grade"]) < 2e-3


def test_without_a_signal_the_last_review_stands_and_a_decision_waits(
    club: Club, new_phone: PhoneMaker
) -> None:
    """The phone says what it cannot work out, tells what the kept figures foretell, and sends the rest later."""
    stone, trials = tried_stone(club)
    odd = list(trials)[3]
    pull = next(one for one in hardness(reviewed(club, stone))["trials"] if one["trial_id"] == trials[odd])[
        "pull"
    ]
    phone = new_phone().sign_in(club.dealer)
    page = phone.page
    open_review(page, stone)
    expect(page.get_by_text("Computed", exact=False)).to_be_visible()
    phone.go_offline()
    page.reload()
    expect(page.get_by_text("Kept on this phone", exact=False)).to_be_visible()

    row = row_of(page, odd)
    row.get_by_role("button", name=odd).tap()
    row.get_by_role("button", name="See it without this trial").tap()
    expect(row.get_by_text("There is no signal", exact=False)).to_be_visible()
    sign = "−" if pull > 0 else "+"
    expect(row).to_contain_text(f"would move by about {sign}{abs(pull):.2f}")
    row.get_by_label("Why leave it out?").fill("Wrong stone")
    row.get_by_role("button", name="Leave it out").tap()
    expect(row.get_by_text("Will be left out once this reaches the service")).to_be_visible()

    phone.go_online()
    expect(row.get_by_text("Wrong stone")).to_be_visible()
    assert "Wrong stone" == club.dealer.get(f"/trials/{trials[odd]}")["excluded"]["reason"]


def test_findings_lie_on_the_photo_where_they_were_traced(club: Club, new_phone: PhoneMaker) -> None:
    """The photo's corners came with the inspection; the trace is drawn where the homography puts it."""
    stone = club.stone()
    face = (float(stone["length_mm"]), float(stone["width_mm"]))
    fissure = [(30.0, 0.0), (60.0, 25.0), (80.0, 30.0)]
    photo = of_a_stone(face, fissure)
    stored = club.dealer.ask(
        "PUT", f"/photos/{sha256(photo)}", data=photo, headers={"Content-Type": "image/jpeg"}
    )
    assert stored.ok, stored.text
    finding = {
        "id": new_id(), "kind": "fissure", "points": [{"x_mm": x, "y_mm": y} for x, y in fissure],
        "catches_nail": True,
    }  # fmt: skip
    link = {"sha256": sha256(photo), "view": "front", "caption": "", "corners": [list(at) for at in CORNERS]}
    look = {
        "stone_id": stone["id"], "face": "front", "inspected_at": "2026-03-01T09:00:00Z",
        "findings": [finding], "photos": [link],
    }  # fmt: skip
    kept = club.dealer.put(f"/inspections/{new_id()}", look)
    assert link["corners"] == kept["photos"][0]["corners"]

    page = new_phone().sign_in(club.dealer).page
    page.goto(f"/stones/{stone['id']}/review?purpose=knife")
    picture = page.get_by_role("img", name="with 1 finding drawn on it")
    expect(picture).to_be_visible()
    drawn = picture.locator("polyline").first.get_attribute("points") or ""
    points = [tuple(map(float, pair.split(","))) for pair in re.split(r"\s+", drawn.strip())]

    assert len(fissure) == len(points)
    for at, point in zip(fissure, points, strict=True):
        assert in_photo(at, face) == pytest.approx(point, abs=0.11)
    expect(page.get_by_text("Nobody has tried this stone for this purpose yet.")).to_be_visible()


def test_a_tester_is_told_that_reviews_are_not_for_testers(club: Club, new_phone: PhoneMaker) -> None:
    """Nothing is asked of the service either."""
    stone = club.stone()
    phone = new_phone().sign_in(club.tester())

    phone.page.goto(f"/stones/{stone['id']}/review?purpose=knife")

    expect(phone.page.get_by_text("Grades are reviewed by dealers and stewards.")).to_be_visible()
    assert [] == [one for one in phone.heard.requests if "/review?" in one and "/api/" in one]
