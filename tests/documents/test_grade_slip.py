"""The grade slip on paper: what a buyer needs, nobody's name, the same each time, proof against any text."""

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.documents.pdf_reading import accessibility_faults, read, squeezed, structure, words_of
from tests.documents.picture import picture_of
from tests.documents.slips import CASES, HOSTILE, URL, at_the_end, long_slip, published_slip, withdrawn

from whetpanel.documents import NullRenderer, Paper, TypstRenderer, grade_slip_pdf
from whetpanel.documents.slips import slip_in_words
from whetpanel.errors import Invalid

# ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: size A is 8.5 × 11 in. ISO 32000: a point is 1/72 in.
POINTS = {Paper.A4: (210 / 25.4 * 72, 297 / 25.4 * 72), Paper.LETTER: (8.5 * 72, 11 * 72)}

both_papers = pytest.mark.parametrize("paper", list(Paper))
each_case = pytest.mark.parametrize("case", CASES)


def printed(slip: dict[str, Any], renderer: TypstRenderer, paper: Paper | str = Paper.A4) -> bytes:
    return grade_slip_pdf(slip, url=URL, paper=paper, renderer=renderer)


# ---- what a buyer needs


@both_papers
@pytest.mark.parametrize("case", ["ordinary", "at the high end", "at the low end"])
def test_it_is_one_page_of_the_paper_asked_for(renderer: TypstRenderer, paper: Paper, case: str) -> None:
    """It lies with the stone as one leaf, at its full size."""
    pages = read(printed(CASES[case](), renderer, paper)).pages

    assert len(pages) == 1
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(
        POINTS[paper], abs=0.01
    )


@both_papers
def test_much_to_tell_takes_two_pages_and_no_more(renderer: TypstRenderer, paper: Paper) -> None:
    """Six steels a scale, seven findings, long words of levels."""
    assert len(read(printed(long_slip(), renderer, paper)).pages) == 2


@both_papers
@each_case
def test_all_that_was_published_is_on_the_paper(renderer: TypstRenderer, paper: Paper, case: str) -> None:
    """Stone, grades, words, evidence, findings, care, method: nothing is left out or cut off."""
    slip = CASES[case]()
    wanted = [slip["club_name"], slip["code"], slip["method_version"], "25 November 2026", "GRADE SLIP"]
    wanted += [slip["stone"]["code"], slip["stone"]["colour"], "200 × 65 mm", "23.4 mm"]
    wanted += [slip["evidence"]["level_note"], *slip["care"]]
    for grade in slip["grades"]:
        wanted += [grade["name"], grade["words"], *(steel["steel_name"] for steel in grade["by_steel"])]
    wanted += [finding["because"] for finding in slip["findings"]]
    wanted += [mark["notes"] for mark in slip["stone"]["marks"]]
    wanted += [digest[:12] for digest in slip["inputs_digests"].values()]
    text = words_of(printed(slip, renderer, paper))

    assert [words for words in wanted if squeezed(words) not in text] == []


def test_numbers_stand_with_their_intervals(renderer: TypstRenderer) -> None:
    """Rounded as the app rounds them, to a tenth on a scale by halves: 3.76, 3.50–4.02 is 3.8, 3.5 to 4.0."""
    text = words_of(printed(published_slip(), renderer))

    for told in ("3.8 3.5 to 4.0", "4.2 4.0 to 4.4", "2.9 2.7 to 3.2", "3.9 3.6 to 4.2, 3 trials"):
        assert squeezed(told) in text
    assert squeezed("11 trials by 8 testers, with 3 steels: Fine stainless, 14 % Cr; Carbon") in text
    assert squeezed("Graded for") in text
    assert "knives" in text


@pytest.mark.parametrize(
    ("end", "told", "not_told"),
    [("high", "4.75 or above", "4.99"), ("low", "1.25 or below", "1.01")],
)
def test_a_grade_at_the_end_of_the_scale_claims_no_more_than_was_seen(
    renderer: TypstRenderer, end: str, told: str, not_told: str
) -> None:
    """Grades by halves that are all the last one say: within half a step of it, or beyond (algebra: 5 − ½ · ½)."""
    text = words_of(printed(at_the_end(end), renderer))

    assert text.count(squeezed(told)) == 4  # the panel's, and each steel's
    assert squeezed("Every tester gave the") in text
    assert not_told not in text


def test_a_withdrawn_slip_says_so_large_and_why(renderer: TypstRenderer) -> None:
    """Large: no other words on the page are larger."""
    pdf = printed(withdrawn(), renderer)
    sizes: dict[str, float] = {}

    def note(text: str, _cm: Any, tm: Any, _font: Any, size: float) -> None:
        for word in text.split():
            sizes[word] = max(sizes.get(word, 0), size * abs(tm[3]))

    read(pdf).pages[0].extract_text(visitor_text=note)
    text = words_of(pdf, page=0)

    assert sizes["Withdrawn"] == max(sizes.values())
    assert squeezed("withdrew this slip on 3 March 2027. Do not rely on its grades.") in text
    assert squeezed("A fissure under the face opened in use.") in text
    assert squeezed("slip 7K2M9-QX4TP, withdrawn") in text  # at the foot of each page
    assert "ithdr" not in words_of(printed(published_slip(), renderer))


def test_invented_clubs_are_marked(renderer: TypstRenderer) -> None:
    """And only those."""
    assert "Invented." in words_of(printed(published_slip(invented=True), renderer))
    assert "Invented." not in words_of(printed(published_slip(), renderer))


def test_a_slip_published_against_the_clubs_rule_gives_the_reason(renderer: TypstRenderer) -> None:
    """A buyer must be able to judge it."""
    text = words_of(printed(published_slip(override_reason="Only one tester had time."), renderer))

    assert squeezed("Published before the club's own rule for publishing was met.") in text
    assert squeezed("Only one tester had time.") in text
    assert "Publishedbefore" not in words_of(printed(published_slip(), renderer))


def test_no_finding_is_said_in_words(renderer: TypstRenderer) -> None:
    """An empty place would look like an oversight."""
    old = CASES["older"]()
    old["findings"] = []

    assert squeezed("Nothing to watch or to mend is noted.") in words_of(
        printed(published_slip(findings=[]), renderer)
    )
    assert squeezed("No finding to watch or to mend is noted with this slip.") in words_of(
        printed(old, renderer)
    )


def test_nobodys_name_gets_onto_the_paper() -> None:
    """Only named fields are taken over: what somebody adds to the served slip one day does not leak by itself."""
    slip = published_slip(created_by="Tester Tess", testers=["Imke"])
    slip["evidence"] |= {"testers": ["Tester Tess"], "tester_ids": ["Tester Tess"]}
    slip["grades"][0]["by_steel"][0]["tester"] = "Tester Tess"

    told = grade_slip_pdf(slip, url=URL, paper="a4", renderer=NullRenderer())

    assert b"TAR-03" in told
    assert b"One of the testers is Imke." in told
    assert b"Tess" not in told


@pytest.mark.parametrize(
    ("names", "n_testers", "told"),
    [
        ([], 8, "11 trials by 8 testers"),
        (["Imke"], 8, "One of the testers is Imke."),
        (["Imke", "Rolf"], 8, "Among the testers are Imke and Rolf."),
        (["Imke", "Rolf", "Ulla"], 3, "Tested by Imke, Rolf and Ulla."),
        (["Imke"], 1, "Tested by Imke."),
    ],
)
def test_those_who_agreed_are_named_and_the_others_only_counted(
    names: list[str], n_testers: int, told: str
) -> None:
    """With every tester named it says so; else the names stand among a number."""
    slip = published_slip(testers=names)
    slip["evidence"]["n_testers"] = n_testers

    assert told in slip_in_words(slip)["evidence"][0]


def test_whether_the_face_was_inspected_is_said(renderer: TypstRenderer) -> None:
    """When it was; that it was not; and of an old slip, which does not know, neither."""
    nothing_found = published_slip(findings=[])
    seen = "The graded face was inspected on 20 November 2026."
    never = "No inspection of the graded face was on record when this slip was issued."

    assert seen == slip_in_words(published_slip())["inspection"]
    assert f"{seen} Nothing to watch or to mend is noted." == slip_in_words(nothing_found)["inspection"]
    assert never == slip_in_words(CASES["never inspected"]())["inspection"]
    assert "" == slip_in_words(CASES["older"]())["inspection"]
    assert squeezed(never) in words_of(printed(CASES["never inspected"](), renderer))


def test_where_signs_and_grade_disagree_a_buyer_reads_it(renderer: TypstRenderer) -> None:
    """On paper as on the page."""
    slip = CASES["never inspected"]()

    assert squeezed(slip["evidence"]["signs_note"]) in words_of(printed(slip, renderer))


# ---- checked, read aloud, printed in grey


@both_papers
@each_case
def test_the_code_leads_to_the_public_page(
    renderer: TypstRenderer, paper: Paper, case: str, tmp_path: Path
) -> None:
    """A general decoder reads it from the page as drawn."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="zxing-cpp, a general decoder, is not installed")
    picture = picture_of(printed(CASES[case](), renderer, paper), tmp_path)

    assert [code.text for code in zxingcpp.read_barcodes(picture)] == [URL]


@both_papers
@each_case
def test_it_is_tagged_for_reading_aloud(renderer: TypstRenderer, paper: Paper, case: str) -> None:
    """The machine-checkable part of PDF/UA-1 (ISO 14289-1), as far as pdf_reading goes."""
    assert accessibility_faults(printed(CASES[case](), renderer, paper)) == []


def test_each_scale_is_a_table_with_headers(renderer: TypstRenderer) -> None:
    """A reader aloud hears which steel a number belongs to."""
    kinds = [kind for kind, _ in structure(read(printed(published_slip(), renderer)))]

    assert kinds.count("/Table") == 3
    assert kinds.count("/TH") >= 6


def test_in_grey_the_band_stands_out_from_paper_and_notch_from_band(
    renderer: TypstRenderer, tmp_path: Path
) -> None:
    """Contrast by WCAG 2.2's formula, of the page as drawn with its colours taken away; the bounds are our own."""
    picture = picture_of(printed(published_slip(), renderer), tmp_path).convert("L")
    counted = picture.histogram()

    def luminance(level: int) -> float:
        share = level / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    def contrast(one: int, other: int) -> float:
        a, b = sorted((luminance(one), luminance(other)))
        return (b + 0.05) / (a + 0.05)

    # The band is the largest even area that is neither paper nor nearly black.
    band = max(range(90, 235), key=lambda level: counted[level])
    darkest = next(level for level in range(256) if counted[level] > 200)

    assert counted[band] > 5000
    assert contrast(band, 255) > 1.5
    assert contrast(band, darkest) > 4.5


# ---- the same each time


def test_the_same_slip_gives_the_same_bytes(renderer: TypstRenderer) -> None:
    """With a renderer used before and a fresh one; the day is the slip's own."""
    first = printed(published_slip(), renderer)
    metadata = read(first).metadata

    assert first == printed(copy.deepcopy(published_slip()), TypstRenderer())
    assert first != printed(published_slip(issued_on="2026-11-26"), renderer)
    assert metadata is not None
    assert str(metadata["/CreationDate"]).startswith("D:20261125")


def test_the_slip_handed_in_is_left_alone() -> None:
    """It is a record."""
    slip = long_slip()
    before = copy.deepcopy(slip)
    grade_slip_pdf(slip, url=URL, paper="a4", renderer=NullRenderer())

    assert before == slip


# ---- whatever people write


def test_markup_is_printed_not_obeyed(renderer: TypstRenderer) -> None:
    """Signs that mean something to a typesetter or a browser are only signs."""
    slip = published_slip(club_name=HOSTILE[:60], override_reason=HOSTILE, care=[HOSTILE])
    slip["stone"]["colour"] = "#panic()"

    assert words_of(printed(slip, renderer)).count(squeezed(HOSTILE)) >= 2


def test_a_sign_without_a_shape_is_marked_and_named(renderer: TypstRenderer) -> None:
    """The slip says what could not be printed."""
    slip = published_slip(care=["Wash it 😀 gently."])
    pdf = printed(slip, renderer)

    assert "Washit〓gently." in words_of(pdf)
    assert squeezed("U+1F600 grinning face") in words_of(pdf)
    assert accessibility_faults(pdf) == []


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(alphabet=st.characters(), max_size=60))
def test_any_text_prints(renderer: TypstRenderer, text: str) -> None:
    """Whatever Unicode holds, in every place where a person writes."""
    slip = published_slip(club_name=f"x{text}", override_reason=text, care=[text, f"x{text}"])
    slip["stone"] |= {"code": f"x{text}"[:20], "colour": text}
    slip["stone"]["marks"][0]["notes"] = text
    slip["withdrawn"] = {"at": "2027-03-03T09:12:00Z", "reason": text}
    slip["grades"][0] |= {"name": text, "words": text}
    slip["grades"][0]["by_steel"][0]["steel_name"] = text
    slip["evidence"] |= {"steels": [text], "level_note": text}
    slip["findings"] = [{"verdict": text, "urgency": text, "because": text}]

    assert printed(slip, renderer).startswith(b"%PDF-")


def test_an_unknown_paper_is_refused(renderer: TypstRenderer) -> None:
    """The web hands the reader's word through."""
    with pytest.raises(Invalid, match="'a4' or 'letter'"):
        printed(published_slip(), renderer, "a5")


# ---- in words


def test_steels_without_a_trial_say_so() -> None:
    """Their grades rest on the other steels alone, also where the rest is at the end of the scale."""
    slip = at_the_end("high")
    slip["grades"][1]["by_steel"][0] |= {"n_trials": 0, "grade": 4.9, "low90": 4.0, "high90": 5.0}
    steel = slip_in_words(slip)["grades"][1]["steels"][0]

    assert (steel["trials"], steel["figure_words"], steel["interval"]) == ("no trial", "4.9", "4.0 to 5.0")


def test_one_is_not_many() -> None:
    """A trial, a tester, a steel."""
    slip = published_slip()
    slip["evidence"] |= {"n_trials": 1, "n_testers": 1, "n_steels": 1, "steels": ["Plain carbon"]}

    assert slip_in_words(slip)["evidence"][0] == "1 trial by 1 tester, with 1 steel: Plain carbon."


@pytest.mark.parametrize(("step", "told"), [(0.5, "3.8"), (0.25, "3.76"), (1, "3.8")])
def test_a_finer_scale_has_finer_numbers(step: float, told: str) -> None:
    """As many places as the step has, and at least one."""
    slip = published_slip()
    slip["grades"][0]["step"] = step

    assert slip_in_words(slip)["grades"][0]["figure"] == told


def test_hardness_comes_first_and_a_clubs_own_scales_last() -> None:
    """However the service sorts them; the fingerprints follow."""
    slip = published_slip()
    slip["grades"] = [{**slip["grades"][2], "scale": "bite"}, *reversed(slip["grades"])]
    told = slip_in_words(slip)

    assert [grade["name"] for grade in told["grades"]][:2] == [
        "Hardness of the stone",
        "Fineness of the finish",
    ]
    assert [digest["name"] for digest in told["digests"]] == ["hardness", "fineness", "ease"]


def test_the_same_said_of_two_findings_is_said_once() -> None:
    """With their number, so that none is kept back."""
    slip = published_slip()
    slip["findings"] = [slip["findings"][0], *[slip["findings"][1]] * 2]
    told = slip_in_words(slip)["findings"]

    assert [finding["urgency"] for finding in told] == ["soon", "keep an eye on it (2 findings)"]


@pytest.mark.parametrize(
    ("end", "bounds", "told"),
    [
        ("high", (4.47, 5.0), "90 %: from 4.4"),
        ("low", (1.0, 1.31), "90 %: up to 1.4"),
        ("low", (1.0, 1.25), ""),
    ],
)
def test_a_one_sided_interval_is_rounded_outwards(end: str, bounds: tuple[float, float], told: str) -> None:
    """It may claim less than is known, never more."""
    slip = at_the_end(end)
    slip["grades"][1] |= dict(zip(("low90", "high90"), bounds, strict=True))

    assert slip_in_words(slip)["grades"][1]["interval"] == told
