"""A tester's evening without a signal: what was tapped is kept, shown as waiting, and sent once."""

import pytest
from playwright.sync_api import expect

from tests.e2e.club import Club, Member
from tests.e2e.phone import Phone
from tests.e2e.screens import begin_trial, choose, find_stone, probe, save_trial, trace, walk_steps

pytestmark = pytest.mark.browser


def test_a_trial_made_without_a_signal_arrives_once_as_it_was_tapped(
    club: Club, tester: Member, phone: Phone
) -> None:
    """The app opens offline, walks the protocol, keeps the trial over reloads, and sends it when it can."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    observations = {
        "water_uptake_s": 95,
        "strokes_to_mud": 12,
        "feel": "silky",
        "mud_shade": 3,
        "metal_share": 2,
        "refines": True,
        "contrast": "haze",
        "finish_band": {"low": 3000, "high": 6000, "system": "jis"},
        "scratches_seen": False,
        "notes": "Drags a little near the left edge.",
    }
    grades = {"hardness": 3.5, "fineness": 4.0, "ease": 2.5}

    phone.go_offline()
    page.reload()
    find_stone(page, stone["code"])
    begin_trial(page, club.protocol, club.blades[1])
    walk_steps(page, club.protocol, observations, grades)
    save_trial(page)
    expect(page.get_by_text("waiting", exact=True)).to_be_visible()

    page.reload()
    phone.bench()
    phone.expect_waiting(1)
    assert [] == tester.own("trials")

    phone.go_online()
    phone.expect_waiting(0)
    find_stone(page, stone["code"])
    expect(page.get_by_text("sent", exact=True)).to_be_visible()

    (held,) = tester.own("trials")
    club.once(tester, [held["id"]])
    assert grades == held["grades"]
    assert observations == {name: value for name, value in held["observations"].items() if value is not None}
    assert (stone["id"], club.blades[1]["id"]) == (held["stone_id"], held["blade_id"])
    assert ("front", 24.5) == (held["face"], held["thickness_mm"])
    assert (club.protocol["id"], club.protocol["version"]) == (held["protocol_id"], held["protocol_version"])


def test_a_trial_left_half_way_goes_on_where_it_was(club: Club, tester: Member, phone: Phone) -> None:
    """Every value is kept the moment it is set: a tab that dies half way costs nothing."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()
    phone.go_offline()
    find_stone(page, stone["code"])
    begin_trial(page, club.protocol, club.blades[0])
    first, second = club.protocol["steps"][:7], club.protocol["steps"][7:]
    answers = {"mud_shade": 4, "feel": "creamy", "contrast": "even_matt", "scratches_seen": True}
    walk_steps(page, club.protocol, answers, {}, to=len(first))
    phone.until_draft_says("at", second[0]["id"])

    page.close()
    phone.page = page = phone.tab()
    phone.bench()
    page.get_by_role("link", name=f"Trial of {stone['code']}").tap()
    page.get_by_role("button", name=f"Go on at: {second[0]['title']}").tap()
    walk_steps(page, club.protocol, answers, {"hardness": 2.0}, start=len(first))
    save_trial(page)
    phone.go_online()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()

    (held,) = tester.own("trials")
    club.once(tester, [held["id"]])
    assert answers == {name: value for name, value in held["observations"].items() if value is not None}
    assert {"hardness": 2.0} == held["grades"]


def test_an_inspection_without_a_signal_gets_the_verdicts_that_the_service_gives_later(
    club: Club, tester: Member, phone: Phone
) -> None:
    """A fissure across a corner is judged on the phone at once, with its caution; the service agrees."""
    stone = club.stone()
    page = phone.bench()
    phone.sync_now()

    phone.go_offline()
    find_stone(page, stone["code"])
    page.get_by_role("link", name="Inspect", exact=True).tap()
    choose(page, "Face", "Front")
    trace(page, stone, "Fissure", [(stone["length_mm"] - 40, 0), (stone["length_mm"], 28)])
    probe(page, "A fingernail catches", "Yes")
    verdicts = page.get_by_role("article")
    expect(verdicts.get_by_text("Take care.")).not_to_have_count(0)
    page.get_by_role("button", name="Done with this one").tap()
    shown = [card.inner_text() for card in verdicts.all()]
    page.get_by_role("button", name="Finish").tap()
    expect(page.get_by_role("heading", name="Inspection saved")).to_be_visible()
    expect(page.get_by_text("waiting", exact=True)).to_be_visible()

    phone.go_online()
    expect(page.get_by_text("sent", exact=True)).to_be_visible()

    (held,) = tester.own("inspections")
    club.once(tester, [held["id"]], "inspections")
    finding = held["findings"][0]
    assert (0, stone["length_mm"]) == (finding["points"][0]["y_mm"], finding["points"][1]["x_mm"])
    assert len(held["verdicts"]) == len(shown)
    assert held["verdicts"]
    for verdict in held["verdicts"]:
        said = [text for text in shown if verdict["because"] in text]
        assert 1 == len(said), (verdict, shown)
        assert verdict["verdict"].lower() in said[0].lower()
        if verdict["caution"] is not None:
            assert verdict["caution"] in said[0]
