"""Sheets of labels: each label where its sheet has one, its code readable, nothing over its edge."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.documents.pdf_reading import accessibility_faults, read, squeezed, structure, words_of
from tests.documents.picture import PIXELS_PER_MM, picture_of
from tests.documents.slips import HOSTILE

from whetpanel.documents import (
    LABEL_LAYOUTS,
    LabelLayout,
    NullRenderer,
    Paper,
    TypstRenderer,
    label_sheet_pdf,
    layouts_for,
)
from whetpanel.errors import Invalid

# ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: size A is 8.5 × 11 in (25.4 mm).
SIZE_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
MM_PER_POINT = 25.4 / 72

each_layout = pytest.mark.parametrize("layout", LABEL_LAYOUTS, ids=lambda one: f"{one.name}-{one.paper}")


def label(n: int, **changes: str) -> dict[str, str]:
    return {
        "code": f"TAR-{n:02}",
        "kind_words": "slate, bench stone",
        "sizes": "205 × 75 × 27 mm, 1140 g",
        "lot": "TAR, Tarrowgill slates",
        "url": f"https://stones.example.org/stones/01998b0b-5600-7089-b0a1-{n:012}",
        **changes,
    }


def sheet(
    labels: list[dict[str, str]], layout: LabelLayout, renderer: Any, *, start_at: int = 1, club: str = "Club"
) -> bytes:
    return label_sheet_pdf(
        labels,
        layout=layout.name,
        start_at=start_at,
        paper=layout.paper,
        club_name=club,
        renderer=renderer,
    )


def text_places_mm(pdf: bytes, page: int = 0) -> list[tuple[str, float, float]]:
    """Each run of text with where it starts, in mm from the paper's upper left corner."""
    found: list[tuple[str, float, float]] = []
    reader = read(pdf).pages[page]
    height = float(reader.mediabox.height)

    def note(text: str, cm: Any, tm: Any, _font: Any, _size: float) -> None:
        if text.strip():
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            found.append((text.strip(), x * MM_PER_POINT, (height - y) * MM_PER_POINT))

    reader.extract_text(visitor_text=note)
    return found


# ---- the sheets


@each_layout
def test_a_sheet_adds_up_to_its_paper(layout: LabelLayout) -> None:
    """Margins on both sides are equal, as die-cut sheets have them; no label lies on another (arithmetic)."""
    width, height = SIZE_MM[layout.paper]

    assert 2 * layout.left_mm + (layout.columns - 1) * layout.pitch_x_mm + layout.width_mm == pytest.approx(
        width, abs=0.05
    )
    assert 2 * layout.top_mm + (layout.rows - 1) * layout.pitch_y_mm + layout.height_mm == pytest.approx(
        height, abs=0.05
    )
    assert layout.pitch_x_mm >= layout.width_mm
    assert layout.pitch_y_mm >= layout.height_mm


def test_the_usual_numbers_of_labels() -> None:
    """Common practice, no source: what such sheets hold."""
    assert {(one.name, one.paper): one.n_labels for one in LABEL_LAYOUTS} == {
        ("70x37", Paper.A4): 24,
        ("63.5x38.1", Paper.A4): 21,
        ("99.1x38.1", Paper.A4): 14,
        ("60x40", Paper.A4): 18,
        ("66.7x25.4", Paper.LETTER): 30,
        ("101.6x50.8", Paper.LETTER): 10,
        ("60x40", Paper.LETTER): 18,
    }
    assert [one.words for one in layouts_for(Paper.LETTER)] == [
        "66.7 × 25.4 mm, 30 on a sheet",
        "101.6 × 50.8 mm, 10 on a sheet",
        "60 × 40 mm, 18 on a sheet, plain paper with cut marks",
    ]


# ---- each label in its place


@each_layout
def test_each_code_lies_in_its_label_and_leads_to_its_stone(
    renderer: TypstRenderer, layout: LabelLayout, tmp_path: Path
) -> None:
    """A general decoder finds every code of a full sheet: 2.6 mm into its label, or 5 mm into the paper; halfway up."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    labels = [label(n) for n in range(1, layout.n_labels + 1)]
    picture = picture_of(sheet(labels, layout, renderer), tmp_path)
    found = {code.text: code.position for code in zxingcpp.read_barcodes(picture)}

    assert set(found) == {one["url"] for one in labels}
    for place, one in enumerate(labels, start=1):
        position = found[one["url"]]
        x, y = layout.corner_mm(place)
        left, right = (position.top_left.x / PIXELS_PER_MM, position.top_right.x / PIXELS_PER_MM)
        top, bottom = (position.top_left.y / PIXELS_PER_MM, position.bottom_left.y / PIXELS_PER_MM)

        assert left == pytest.approx(x + max(2.6, 5 - layout.left_mm), abs=0.4)
        assert right < x + 0.55 * layout.width_mm
        assert y + 2 < top < bottom < y + layout.height_mm - 2
        assert (top + bottom) / 2 == pytest.approx(y + layout.height_mm / 2, abs=0.4)
        assert right - left >= 19  # of 45 modules: 0.4 mm each, which an old phone still tells apart


@each_layout
def test_words_stay_inside_their_label(renderer: TypstRenderer, layout: LabelLayout) -> None:
    """Read from the PDF's own coordinates, with names far too long as well."""
    long = {"code": "W" * 20, "kind_words": "W" * 60, "sizes": "W" * 40, "lot": "W" * 60}
    labels = [label(n, **(long if n % 2 else {})) for n in range(1, layout.n_labels + 1)]
    corners = [layout.corner_mm(place) for place in range(1, layout.n_labels + 1)]
    places = text_places_mm(sheet(labels, layout, renderer, club="W" * 120))

    assert len(places) >= 4 * layout.n_labels
    for text, x, y in places:
        assert any(
            left + 2 < x < left + layout.width_mm - 2 and top + 2 < y < top + layout.height_mm - 1
            for left, top in corners
        ), (text, x, y)


@each_layout
def test_nothing_is_drawn_at_an_edge(renderer: TypstRenderer, layout: LabelLayout, tmp_path: Path) -> None:
    """No ink nearer than 2 mm to a label's edge nor 4 mm to the paper's, cut marks apart; names as long as can be."""
    labels = [
        label(n, code="WWWWWWWWWWWWWWWWWWWW", kind_words="W " * 30, lot="砥" * 60)
        for n in range(1, layout.n_labels + 1)
    ]
    picture = picture_of(sheet(labels, layout, renderer, club="W " * 60), tmp_path).convert("L")
    sheet_width, sheet_height = SIZE_MM[layout.paper]
    for place in range(1, layout.n_labels + 1):
        x, y = layout.corner_mm(place)
        right, bottom = x + layout.width_mm, y + layout.height_mm
        strips = [
            (x + 1, y + 1, right - 1, y + 2),
            (x + 1, bottom - 2, right - 1, bottom - 1),
            (x + 1, y + 1, x + 2, bottom - 1),
            (right - 2, y + 1, right - 1, bottom - 1),
        ]
        strips += [(0, 0, sheet_width, 4), (0, 0, 4, sheet_height)]
        for strip in strips:
            darkest, _ = picture.crop([round(edge * PIXELS_PER_MM) for edge in strip]).getextrema()

            assert darkest > 200, (place, strip)


@pytest.mark.parametrize("start_at", [1, 5, 24])
def test_a_used_sheet_is_gone_on_with(renderer: TypstRenderer, start_at: int) -> None:
    """The first label lies at the first free place; what is over goes on at place 1 of the next sheet."""
    layout = LABEL_LAYOUTS[0]
    labels = [label(n) for n in range(1, 4)]
    pdf = sheet(labels, layout, renderer, start_at=start_at)

    for n, one in enumerate(labels):
        page, place = divmod(start_at - 1 + n, layout.n_labels)
        x, y = layout.corner_mm(place + 1)
        [(code_x, code_y)] = [(a, b) for text, a, b in text_places_mm(pdf, page) if text == one["code"]]

        assert x < code_x < x + layout.width_mm
        assert y < code_y < y + layout.height_mm
    assert len(read(pdf).pages) == (2 if start_at == 24 else 1)


@pytest.mark.parametrize("paper", list(Paper))
def test_plain_paper_has_cut_marks_at_every_corner(
    renderer: TypstRenderer, paper: Paper, tmp_path: Path
) -> None:
    """Looked for in the picture at each corner of each place; a die-cut sheet has none."""
    plain = next(one for one in layouts_for(paper) if one.cut)
    picture = picture_of(sheet([label(1)], plain, renderer), tmp_path).convert("L")
    for place in range(1, plain.n_labels + 1):
        x, y = plain.corner_mm(place)
        for at_x, at_y in ((x, y), (x + plain.width_mm, y + plain.height_mm)):
            box = [round((edge) * PIXELS_PER_MM) for edge in (at_x - 1, at_y - 1, at_x + 1, at_y + 1)]
            darkest, _ = picture.crop(box).getextrema()

            assert darkest < 190
    die_cut = next(one for one in layouts_for(paper) if not one.cut)
    drawn = sheet([label(1)], die_cut, NullRenderer())

    assert b'"cuts": null' in drawn


# ---- whoever reads it, whatever is written


@each_layout
def test_it_is_tagged_and_each_code_told_in_words(renderer: TypstRenderer, layout: LabelLayout) -> None:
    """The machine-checkable part of PDF/UA-1 (ISO 14289-1); a picture's words name the address."""
    pdf = sheet([label(1), label(2)], layout, renderer)
    alts = [str(element["/Alt"]) for kind, element in structure(read(pdf)) if kind == "/Figure"]

    assert accessibility_faults(pdf) == []
    assert [label(n)["url"] in alt for n, alt in zip((1, 2), alts, strict=True)] == [True, True]


def test_all_that_is_asked_for_is_on_the_label(renderer: TypstRenderer) -> None:
    """Code, kind, sizes, lot and club."""
    text = words_of(sheet([label(7)], LABEL_LAYOUTS[0], renderer, club="Hollow Ford Stone Club"))

    for words in ("TAR-07", "slate, bench stone", "205 × 75 × 27 mm, 1140 g", "Lot TAR, Tarrowgill slates"):
        assert squeezed(words) in text
    assert squeezed("Hollow Ford Stone Club") in text


def test_what_is_not_known_takes_no_line(renderer: TypstRenderer) -> None:
    """A stone without a lot has no word "Lot"."""
    text = words_of(sheet([label(7, lot="", kind_words="", sizes="")], LABEL_LAYOUTS[0], renderer))

    assert text == "TAR-07Club"


def test_the_same_labels_give_the_same_bytes(renderer: TypstRenderer) -> None:
    """With a used renderer and a fresh one."""
    labels = [label(n) for n in range(5)]

    assert sheet(labels, LABEL_LAYOUTS[0], renderer) == sheet(labels, LABEL_LAYOUTS[0], TypstRenderer())


def test_japanese_and_markup_print(renderer: TypstRenderer) -> None:
    """A sign without a shape is marked on the label and explained in the document's description."""
    pdf = sheet([label(1, code="砥石-1", kind_words=HOSTILE[:58], lot="Lot 😀")], LABEL_LAYOUTS[0], renderer)
    metadata: Any = read(pdf).metadata

    assert "砥石-1" in words_of(pdf)
    assert squeezed(HOSTILE[:58]) in words_of(pdf)
    assert "Lot〓" in words_of(pdf)
    assert "U+1F600 grinning face" in str(metadata["/Subject"])


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(alphabet=st.characters(), max_size=60))
def test_any_text_prints(renderer: TypstRenderer, text: str) -> None:
    """Whatever Unicode holds."""
    labels = [label(1, code=f"x{text}", kind_words=text, sizes=text, lot=text)]

    assert sheet(labels, LABEL_LAYOUTS[0], renderer, club=f"x{text}").startswith(b"%PDF-")


# ---- refusals


@pytest.mark.parametrize(
    ("changes", "field", "told"),
    [
        ({"start_at": 0}, "start_at", "places 1 to 24; there is no place 0"),
        ({"start_at": 25}, "start_at", "places 1 to 24; there is no place 25"),
        ({"layout": "66.7x25.4"}, "layout", "choose one of 70x37, 63.5x38.1, 99.1x38.1, 60x40"),
        ({"labels": []}, "labels", "choose at least one stone"),
        ({"paper": "a5"}, "paper", "'a4' or 'letter'"),
    ],
)
def test_what_no_sheet_can_hold_is_refused_with_what_can(
    changes: dict[str, Any], field: str, told: str
) -> None:
    """The web hands the dealer's choice through."""
    asked: dict[str, Any] = {"labels": [label(1)], "layout": "70x37", "paper": "a4", **changes}
    with pytest.raises(Invalid) as refusal:
        label_sheet_pdf(asked.pop("labels"), **asked, club_name="Club", renderer=NullRenderer())

    assert [error.field for error in refusal.value.errors] == [field]
    assert told in refusal.value.detail
