"""The public page of a shortlist: nothing that a strict policy refuses, nobody else's markup, bars in place."""

import re
from pathlib import Path
from typing import Any

from flask import Flask, render_template
from tests.documents.test_slip_page import Reader

import whetpanel.web
from whetpanel.documents.drawing import PAGE_RULER
from whetpanel.documents.shortlist_page import shortlist_page

WEB = Path(whetpanel.web.__file__).parent
HOSTILE = '<script>alert(1)</script>" onload="x'


def grade(scale: str = "fineness", **changes: Any) -> dict[str, Any]:
    return {
        "blade": 0, "scale": scale, "name": scale.title(), "low": 1, "high": 5, "step": 0.5, "grade": 3.6,
        "low90": 3.1, "high90": 4.1, "want_low": 2.75, "want_high": 4.25, "probability": 0.9, "n_trials": 4, **changes,
    }  # fmt: skip


def stone(**changes: Any) -> dict[str, Any]:
    return {
        "code": "S-1", "kind": "garnet_slate", "form": "bench", "length_mm": 205.0, "width_mm": 75.0,
        "thickness_mm": 25.0, "mass_g": 960.4, "colour": "grey", "price": 90.0, "currency": "EUR", "probability": 0.82,
        "odds": "about 8 in 10",
        "by_blade": [{"blade": "52100", "probability": 0.82, "odds": "about 8 in 10"}],
        "grades": [grade(), grade("ease", want_low=2.5, want_high=5), grade("hardness", want_low=None, want_high=None)],
        "finish_bands": [{"system": "jis", "low": 3000, "high": 6000, "n": 3}],
        "speaks_for": ["Fineness is right."], "against": [], "uncertain": ["Its grade is not published."],
        "evidence": {"n_trials": 1, "n_testers": 1, "thin": True}, "slip_code": None, **changes,
    }  # fmt: skip


def shortlist(**changes: Any) -> dict[str, Any]:
    return {
        "name": "A kitchen knife", "code": "7K2M9-QX4TP", "made_on": "2026-03-07", "club_name": "Hill club",
        "notes": "",
        "purpose": "knife", "computed_at": "2026-03-06T10:00:00Z", "finish_words": "A clean kitchen edge",
        "finish_means": "It slices.", "skill_words": "Practised", "owned_words": None, "method_version": "m-1",
        "pool_method_version": "p-1", "withdrawn": None, "invented": False, "stones": [stone()],
        "needs": [{"blade": "52100", "steel_words": "The club tries it.", "hrc_words": "61 HRC, as you said"}],
        **changes,
    }  # fmt: skip


def page(found: dict[str, Any]) -> str:
    app = Flask("page", template_folder=str(WEB / "templates"))
    with app.app_context():
        return render_template("shortlist.html", list=shortlist_page(found))


def test_it_says_what_was_found_and_on_what_it_rests() -> None:
    """The date of the list and of its grades, odds with their figure, thin evidence, price, and what is missing."""
    text = re.sub(r"\s+", " ", Reader(page(shortlist())).text)

    for words in (
        "found by Hill club on 7 March 2026", "The grades are those of 6 March 2026", "Serves: about 8 in 10 (82 %)",
        "It rests on 1 trial by 1 tester: less than the club asks for before it publishes.", "90.00 EUR", "960 g",
        "205 × 75 × 25 mm", "like #3000 (JIS R 6001) to #6000 (JIS R 6001)", "No grade slip is issued for it.",
        "3.6, from 3.1 to 4.1; wanted 2.75 to 4.25", "wanted 2.5 or more", "silica dust",
    ):  # fmt: skip
        assert words in text, words


def test_nothing_is_in_it_that_a_strict_policy_refuses() -> None:
    """No script, no style attribute, no handler, nothing from elsewhere; what a dealer typed stays text."""
    html = page(
        shortlist(
            name=HOSTILE, notes=HOSTILE, club_name=HOSTILE, stones=[stone(code=HOSTILE, speaks_for=[HOSTILE])],
            withdrawn={"at": "2026-03-08T10:00:00Z", "reason": HOSTILE},
        )
    )  # fmt: skip

    read = Reader(html)
    assert "script" not in {tag for tag, _ in read.elements}
    for tag, attributes in read.elements:
        assert "style" not in attributes, tag
        assert not [name for name in attributes if name.startswith("on")], tag
        for name in ("href", "src"):
            assert (attributes.get(name) or "/").startswith("/"), tag
    assert read.text.count("<script>alert(1)</script>") >= 4


def test_the_wanted_bar_lies_where_the_scale_has_it() -> None:
    """2.75 to 4.25 of 1 to 5 is from 7/16 to 13/16 of the rail; a scale on which nothing is wanted has no bar."""
    told = shortlist_page(shortlist())["stones"][0]

    inner = PAGE_RULER.length - 2 * PAGE_RULER.inset
    want = told["first"][0]["want"]
    assert round(PAGE_RULER.inset + inner * 7 / 16, 2) == want["x"]
    assert round(inner * 6 / 16, 2) == want["width"]
    assert [None] == [one["want"] for one in told["rest"] if one["name"] == "Hardness"]


def test_a_withdrawn_list_says_so_in_its_title_too() -> None:
    html = page(shortlist(withdrawn={"at": "2026-03-08T10:00:00Z", "reason": "Sold."}))

    assert "<title>Withdrawn: A kitchen knife, shortlist</title>" in html
    assert "The club withdrew this shortlist on 8 March 2026." in html
    assert "Sold." in html
