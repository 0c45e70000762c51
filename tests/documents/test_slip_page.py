"""The public page of a slip: the words of the paper, nothing that a strict policy refuses, nobody else's markup."""

import itertools
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from flask import Flask, render_template
from tests.documents.slips import CASES, HOSTILE, at_the_end, long_slip, published_slip, withdrawn

import whetpanel.web
from whetpanel.documents import slip_page
from whetpanel.documents.drawing import PAGE_RULER, ruler_drawing
from whetpanel.documents.frame import ruler

WEB = Path(whetpanel.web.__file__).parent
STYLE = (WEB / "static_pages" / "slip.css").read_text(encoding="utf-8")
TOKENS = Path(__file__).parents[2] / "pwa" / "src" / "styles" / "tokens.css"

each_case = pytest.mark.parametrize("case", CASES)


def page(slip: dict[str, Any]) -> str:
    app = Flask("page", template_folder=str(WEB / "templates"))
    with app.app_context():
        return render_template(
            "slip.html", slip=slip_page(slip), pdf_url="/s/7K2M9-QX4TP.pdf", style_url="/public/slip.css"
        )


class Reader(HTMLParser):
    """What a browser would make of it: elements with their attributes, and the text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in {"meta", "link", "line", "polygon"}:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data

    def words(self) -> str:
        return " ".join(self.text.split())


def said(words: str) -> str:
    return " ".join(words.split())


@each_case
def test_all_that_was_published_is_on_the_page(case: str) -> None:
    """Nothing less than on the paper."""
    slip = CASES[case]()
    read = Reader(page(slip))
    wanted = [slip["club_name"], slip["code"], slip["method_version"], "25 November 2026", "knives"]
    wanted += [slip["stone"]["code"], slip["stone"]["colour"], "200 × 65 mm", "23.4 mm"]
    wanted += [slip["evidence"]["level_note"], *slip["care"], slip["override_reason"] or ""]
    for grade in slip["grades"]:
        wanted += [grade["name"], grade["words"], *(steel["steel_name"] for steel in grade["by_steel"])]
    wanted += [finding["because"] for finding in slip["findings"]]
    wanted += [mark["notes"] for mark in slip["stone"]["marks"]]
    wanted += [digest[:12] for digest in slip["inputs_digests"].values()]

    assert [words for words in wanted if said(words) not in read.words()] == []
    assert read.open == []


@each_case
def test_it_needs_nothing_that_a_strict_policy_refuses(case: str) -> None:
    """No script, no inline style, no handler, nothing from another host (style-src 'self', script-src 'self')."""
    elements = Reader(page(CASES[case]())).elements

    assert not [tag for tag, _ in elements if tag in {"script", "style", "iframe", "object", "embed", "base"}]
    for tag, attributes in elements:
        assert "style" not in attributes, tag
        assert not [name for name in attributes if name.startswith("on")], tag
        for name in ("href", "src"):
            assert (attributes.get(name) or "/").startswith("/"), tag


def test_others_markup_is_text() -> None:
    """Elements are the template's own: hostile words add none."""
    slip = long_slip()
    tame = long_slip()
    hostile_count = len(Reader(page(slip)).elements)

    def calmed(data: Any) -> Any:
        if isinstance(data, str):
            return data.replace(HOSTILE, "calm")
        if isinstance(data, dict):
            return {key: calmed(value) for key, value in data.items()}
        return [calmed(one) for one in data] if isinstance(data, list) else data

    assert hostile_count == len(Reader(page(calmed(tame))).elements)
    assert "<script" not in page(slip)
    assert "&lt;script&gt;" in page(slip)
    assert "{{ 7*7 }}" in Reader(page(published_slip(care=["{{ 7*7 }}"]))).text


def test_a_withdrawn_slip_says_so_before_its_grades() -> None:
    """In the window's name too."""
    html = page(withdrawn())

    assert "<title>Withdrawn: TAR-03" in html
    assert html.index("Do not rely on its grades") < html.index('id="grades"')
    assert "A fissure under the face opened in use." in html
    assert "ithdrawn" not in page(published_slip())


def test_invented_and_overridden_slips_are_marked() -> None:
    """And only those."""
    assert "Invented." in page(published_slip(invented=True))
    assert "Invented." not in page(published_slip())
    assert "Only one had time." in page(published_slip(override_reason="Only one had time."))
    assert "Published before" not in page(published_slip())


def test_each_grade_is_drawn_and_told() -> None:
    """A ruler for each scale has words in its place; those of the steels repeat the text beside them."""
    svgs = [attributes for tag, attributes in Reader(page(at_the_end("high"))).elements if tag == "svg"]
    told = [svg["aria-label"] for svg in svgs if svg.get("role") == "img"]

    assert len(svgs) == 3 + 9
    assert told == [
        "Hardness of the stone: 3.8, on a scale from 1 to 5. 90 % interval 3.5 to 4.0.",
        "Fineness of the finish: 4.75 or above, on a scale from 1 to 5.",
        "Ease of use: 2.9, on a scale from 1 to 5. 90 % interval 2.7 to 3.2.",
    ]
    assert all(svg.get("aria-hidden") == "true" for svg in svgs if svg.get("role") != "img")


def test_one_heading_of_the_first_level_and_no_level_skipped() -> None:
    """WCAG 2.2, technique G141."""
    levels = [int(tag[1]) for tag, _ in Reader(page(withdrawn())).elements if re.fullmatch("h[1-6]", tag)]

    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(later <= earlier + 1 for earlier, later in itertools.pairwise(levels))


# ---- the drawing


def test_a_grade_stands_where_the_scale_has_it() -> None:
    """3 on 1–5 is halfway, 2 and 4 a quarter from the ends (algebra); the scale is 308 units long, 14 from the left."""
    drawn = ruler_drawing(
        ruler(1, 5, 0.5, [1, 5]), {"grade": 0.5, "low": 0.25, "high": 0.75, "at_end": ""}, PAGE_RULER
    )

    assert drawn["notch"].split()[0] == "168,34"
    assert drawn["band"] == "91,34 245,34 245,46 91,46"
    assert [edge["x"] for edge in drawn["edges"]] == [91, 245]
    assert [number["x"] for number in drawn["numbers"]] == [14, 91, 168, 245, 322]
    assert [tick["x"] for tick in drawn["ticks"]] == [14 + 308 * i / 8 for i in range(9)]


@pytest.mark.parametrize(("end", "edge_x", "tip_x"), [("high", 245.0, 330.4), ("low", 91.0, 5.6)])
def test_a_band_that_does_not_stop_has_an_open_point(end: str, edge_x: float, tip_x: float) -> None:
    """One upright end, and a point seven tenths of the band's height beyond the scale."""
    mark = {"high": {"grade": 1, "low": 0.75, "high": 1}, "low": {"grade": 0, "low": 0, "high": 0.25}}[end]
    drawn = ruler_drawing(ruler(1, 5, 0.5, [1, 5]), {**mark, "at_end": end}, PAGE_RULER)
    corners = [tuple(map(float, pair.split(","))) for pair in drawn["band"].split()]

    assert [edge["x"] for edge in drawn["edges"]] == [edge_x]
    assert (tip_x, 40.0) in corners
    assert len(corners) == 5


def test_an_interval_beyond_the_scale_is_drawn_at_its_end() -> None:
    """Nothing leaves the drawing."""
    slip = published_slip()
    slip["grades"][0] |= {"grade": 5.2, "low90": 0.2, "high90": 6.0}
    drawn = slip_page(slip)["grades"][0]["drawing"]

    assert drawn["band"].startswith("14,34 322,34")


# ---- the look


def _colours(css: str, start: str) -> dict[str, str]:
    block = css[css.index(start) :]
    return dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{6})", block[: block.index("}")]))


@pytest.mark.parametrize(
    ("ours", "tokens"),
    [
        (":root {", ":root {"),
        ("@media (prefers-color-scheme: dark) {", "@media (prefers-color-scheme: dark) {"),
    ],
)
def test_colours_are_the_apps_own(ours: str, tokens: str) -> None:
    """Whose contrast is measured where they are defined."""
    here, there = _colours(STYLE, ours), _colours(TOKENS.read_text(encoding="utf-8"), tokens)

    assert len(here) >= 12
    assert here == {name: there[name] for name in here}


def test_every_class_of_the_page_has_a_style_or_a_purpose() -> None:
    """No class is left over from an earlier look, and the stylesheet loads nothing."""
    used = {
        name
        for case in CASES.values()
        for _, attributes in Reader(page(case())).elements
        for name in (attributes.get("class") or "").split()
    }
    styled = set(re.findall(r"\.([a-z]+)", re.sub(r"/\*.*?\*/|[\d.]+rem", "", STYLE, flags=re.DOTALL)))

    assert used - styled <= {"whole", "small", "grades", "steel"}
    assert "url(" not in STYLE
    assert "@import" not in STYLE
