"""The protocol sheet as a PDF: whole, readable aloud, the same each time, proof against what people write."""

import copy
import subprocess
import sys
from datetime import date
from typing import Any

import pytest
import typst
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf.generic import ArrayObject
from tests.documents.conftest import ISSUED, URL, Printer
from tests.documents.pdf_reading import accessibility_faults, fonts, read, squeezed, words_of

from whetpanel.core.protocols import PURPOSES, Protocol, Purpose, default_protocols
from whetpanel.documents import NullRenderer, Paper, TypstRenderer, protocol_sheet_pdf
from whetpanel.errors import Invalid

# ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: size A is 8.5 × 11 in. ISO 32000: a point is 1/72 in.
POINTS = {Paper.A4: (210 / 25.4 * 72, 297 / 25.4 * 72), Paper.LETTER: (8.5 * 72, 11 * 72)}

both_papers = pytest.mark.parametrize("paper", list(Paper))
each_purpose = pytest.mark.parametrize("purpose", PURPOSES)


@both_papers
@each_purpose
def test_a_default_sheet_is_two_leaves_of_the_paper_asked_for(
    sheet: Printer, purpose: Purpose, paper: Paper
) -> None:
    """Four pages, printed on both sides, of the right size."""
    pages = read(sheet(default_protocols()[purpose], paper=paper)).pages

    assert len(pages) == 4
    for page in pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            POINTS[paper], abs=0.01
        )


@both_papers
@each_purpose
def test_it_holds_what_a_tester_needs(sheet: Printer, purpose: Purpose, paper: Paper) -> None:
    """Every caution, step, condition, observation, answer and level of the protocol is on the paper."""
    protocol = default_protocols()[purpose]
    wanted = [
        protocol["name"],
        protocol["summary"],
        "version 7",
        "Hollow Ford Stone Club",
        "25 November 2026",
    ]
    wanted += [c["text"] for c in protocol["cautions"]]
    for step in protocol["steps"]:
        wanted += [step["title"], step["text"], *(f"{c['name']}{c['value']}" for c in step["conditions"])]
        if step["counter"]:
            wanted.append(f"{step['counter']['target']} {step['counter']['name']}")
    for observation in protocol["observations"]:
        wanted += [observation["name"], observation["help"], *(c["words"] for c in observation["choices"])]
    for scale in protocol["scales"]:
        wanted += [
            scale["name"],
            *(part for words in scale["words"].values() for part in words.split(". ", 1)),
        ]

    text = words_of(sheet({**protocol, "version": 7}, paper=paper))

    assert [words for words in wanted if squeezed(words) not in text] == []


def test_cautions_come_before_the_first_step(sheet: Printer, knife: Protocol) -> None:
    """Nobody has picked up a blade before reading them."""
    first_page = words_of(sheet(knife), page=0)

    assert first_page.index("Cautions") < first_page.index("Lookatthestone")


@both_papers
def test_each_page_says_which_of_how_many(sheet: Printer, long: Protocol, paper: Paper) -> None:
    """Loose leaves can be put back in order, however many there are."""
    pdf = sheet(long, paper=paper)
    n_pages = len(read(pdf).pages)

    assert n_pages > 4
    for i in range(n_pages):
        assert f"Page{i + 1}of{n_pages}" in words_of(pdf, page=i)


def test_nothing_of_a_long_protocol_is_lost(sheet: Printer, long: Protocol) -> None:
    """A step longer than a page runs on to the next; so does the blank record."""
    text = words_of(sheet(long))

    # Counted by one word, since the foot of a page comes between the words of a sentence.
    assert text.count("Words") == 400
    assert "Theend." in text
    assert squeezed(long["observations"][-1]["name"]) in text


@both_papers
def test_a_short_protocol_takes_one_page(sheet: Printer, short: Protocol, paper: Paper) -> None:
    """Nothing empty is announced: no heading without anything under it."""
    pdf = sheet(short, paper=paper)

    assert len(read(pdf).pages) == 1
    assert "Cautions" not in words_of(pdf)
    assert "Steps" not in words_of(pdf).replace("Stepsof0.5", "")


# ---- read aloud


@both_papers
def test_it_is_tagged_for_reading_aloud(sheet: Printer, knife: Protocol, paper: Paper) -> None:
    """The machine-checkable part of PDF/UA-1 (ISO 14289-1), as far as pdf_reading goes."""
    assert accessibility_faults(sheet(knife, paper=paper)) == []


def test_the_check_finds_an_untagged_pdf_wanting() -> None:
    """The check itself can fail: the same program's plain output misses what we claim."""
    plain = typst.compile(b"= Sheet", format="pdf", pdf_tags=False, ignore_system_fonts=True)

    faults = accessibility_faults(plain)

    assert any(fault.startswith("5:") for fault in faults)
    assert any(fault.startswith("7.1:") for fault in faults)


def test_the_code_is_told_in_words_and_the_address_can_be_followed(sheet: Printer, knife: Protocol) -> None:
    """A reader who cannot scan hears the address; one on a screen clicks it."""
    page: Any = read(sheet(knife)).pages[0]
    targets = [
        a.get_object()["/A"]["/URI"] for a in page.get("/Annots", ArrayObject()) if "/A" in a.get_object()
    ]

    assert targets
    assert set(targets) == {URL}


# ---- the same each time


def test_the_same_input_gives_the_same_bytes(sheet: Printer, knife: Protocol) -> None:
    """Twice in one process, with a renderer used before and a fresh one."""
    fresh = protocol_sheet_pdf(
        knife,
        club_name="Hollow Ford Stone Club",
        url=URL,
        paper="a4",
        issued_on=ISSUED,
        renderer=TypstRenderer(),
    )

    assert sheet(knife) == sheet(copy.deepcopy(knife)) == fresh


def test_another_process_gives_the_same_bytes(sheet: Printer, knife: Protocol) -> None:
    """Neither the clock nor the order of a hash gets in."""
    program = (
        "import sys; from datetime import date; from whetpanel.core.protocols import default_protocols\n"
        "from whetpanel.documents import TypstRenderer, protocol_sheet_pdf\n"
        "sys.stdout.buffer.write(protocol_sheet_pdf(default_protocols()['knife'], "
        f"club_name='Hollow Ford Stone Club', url={URL!r}, paper='a4', "
        f"issued_on=date.fromisoformat('{ISSUED}'), renderer=TypstRenderer()))"
    )
    paths = ":".join(p for p in sys.path if p)
    other = subprocess.run(
        [sys.executable, "-c", program],
        check=True,
        capture_output=True,
        env={"PYTHONPATH": paths, "PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland"},
    )

    assert other.stdout == sheet(knife)


def test_the_day_is_the_one_passed_in(renderer: TypstRenderer, knife: Protocol) -> None:
    """On the page and in the metadata."""
    pdf = protocol_sheet_pdf(
        knife, club_name="Club", url=URL, paper="a4", issued_on=date(1999, 2, 3), renderer=renderer
    )
    metadata = read(pdf).metadata

    assert "3February1999" in words_of(pdf)
    assert metadata is not None
    assert str(metadata["/CreationDate"]).startswith("D:19990203")


# ---- whatever people write


def test_japanese_prints(sheet: Printer, knife: Protocol) -> None:
    """Kanji and kana in names and text, from the font that comes along, not from the machine's."""
    knife["name"] = "砥石の試験、包丁"
    knife["steps"][1]["title"] = "石を見る"
    pdf = sheet(knife, club_name="刃物研ぎ会")

    assert "砥石の試験、包丁" in words_of(pdf)
    assert "石を見る" in words_of(pdf)
    assert "刃物研ぎ会" in words_of(pdf)
    assert any("NotoSansJP" in font["name"] for font in fonts(read(pdf)))
    assert "〓" not in words_of(pdf)
    assert accessibility_faults(pdf) == []


HOSTILE = (
    '#panic("no") #set page(fill: red) #import "look.typ" *star* _line_ `raw` $x^2$ \\ \\u{41} <tag> @ref '
    '// comment /* c */ = heading - item [x] {y} ~ --- ... "quoted" \' & % ^ |'
)


@pytest.mark.parametrize("field", ["name", "summary"])
def test_markup_is_printed_not_obeyed(sheet: Printer, knife: Protocol, field: str) -> None:
    """Signs that mean something to the typesetter are only signs when a member writes them."""
    pdf = sheet({**knife, field: HOSTILE}, club_name="Stein & Söhne <#1>")

    assert squeezed(HOSTILE) in words_of(pdf)
    assert squeezed("Stein & Söhne <#1>") in words_of(pdf)
    assert len(read(pdf).pages) == 4


def test_a_sign_without_a_shape_is_marked_and_named(sheet: Printer, knife: Protocol) -> None:
    """What our fonts lack becomes 〓, one for each picture, and the sheet says what is meant."""
    knife["steps"][1]["title"] = "Look 😀 at the stone"
    knife["summary"] = "A family 👨‍👩‍👧 and a flag 🇯🇵."
    pdf = sheet(knife)
    text = words_of(pdf)

    assert "Look〓atthestone" in text
    assert "Afamily〓andaflag〓." in text
    assert squeezed("U+1F600 grinning face") in text
    assert "Therecorditselfisunchanged." in text
    assert accessibility_faults(pdf) == []


def test_a_sheet_without_such_signs_says_nothing_of_them(sheet: Printer, knife: Protocol) -> None:
    """The remark is there only when it is needed."""
    assert "〓" not in words_of(sheet(knife))


@pytest.mark.parametrize(
    "odd", ["bell \x07", "null \x00", "escape \x1b[31m", "half \ud83d", "end \uffff", "\u2028"]
)
def test_control_characters_and_half_characters_do_not_stop_the_sheet(
    sheet: Printer, knife: Protocol, odd: str
) -> None:
    """What a broken phone or a pasted terminal leaves behind."""
    pdf = sheet({**knife, "summary": f"Before {odd} after"})

    assert "Before" in words_of(pdf)
    assert "after" in words_of(pdf)


def test_a_foreign_mark_does_not_take_the_letters_with_it(sheet: Printer, knife: Protocol) -> None:
    """A Vedic stress mark on a space or a kanji: the mark is missing, spaces and kanji are not."""
    text = words_of(sheet({**knife, "summary": "One \u0951two 砥\u0951石 = three."}))

    assert "One" in text
    assert "石=three." in text
    assert "Knife,standardtrial" in text
    assert squeezed("U+0951 devanagari stress sign udatta") in text


def test_a_failure_inside_the_typesetter_is_got_round(sheet: Printer, knife: Protocol) -> None:
    """Typst 0.15.1 panics on this jumble at a line's end; the sheet is printed without it."""
    jumble = "".join(map(chr, [*range(0x655, 0x672), *range(0x692, 0x6CC), *range(0x6D3, 0x6EA)]))
    pdf = sheet({**knife, "summary": f"Before {jumble} \u06ea\u06eb\u06ec\u06ed\u06ee\u06ef\u0707 after"})

    assert "Before" in words_of(pdf)
    assert "after" in words_of(pdf)
    assert "Lookatthestone" in words_of(pdf)


@pytest.mark.parametrize(
    "block", [*range(0, 0x3000, 0x600), 0xA000, 0xA600, 0xAA00, 0xFB00, 0x1F300, 0xE0000]
)
def test_every_character_of_a_block_prints_or_is_marked(sheet: Printer, short: Protocol, block: int) -> None:
    """Where Unicode keeps marks, right-to-left scripts, presentation forms, emoji and tags."""
    rows = ("".join(map(chr, range(start, start + 32))) for start in range(block, block + 0x600, 32))
    text = words_of(sheet({**short, "summary": f"Before {' '.join(rows)} after"}))

    assert "Before" in text
    assert "Quicklook" in text


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(alphabet=st.characters(), max_size=60))
def test_any_text_prints(sheet: Printer, short: Protocol, text: str) -> None:
    """Whatever Unicode holds, in every place where a person writes."""
    protocol: Any = {
        **short,
        "name": f"x{text}",
        "summary": text,
        "reference_steels": [text],
        "cautions": [{"id": "c", "text": text}],
        "steps": [
            {
                "id": "s",
                "title": f"x{text}",
                "text": text,
                "conditions": [{"name": text, "value": text}],
                "timer_s": 5,
                "counter": {"name": text, "target": 3},
                "records": ["h", "o"],
            }
        ],
        "observations": [
            {
                "id": "o",
                "name": text,
                "help": text,
                "kind": "choice",
                "unit": None,
                "low": None,
                "high": None,
                "choices": [{"value": "a", "words": text}, {"value": "b", "words": text}],
                "required": True,
            }
        ],
    }
    protocol["scales"][0]["words"]["5"] = text

    pdf = sheet(protocol, club_name=f"x{text}")

    assert pdf.startswith(b"%PDF-")


# ---- refusals and the renderer without Typst


def test_an_unknown_paper_is_refused_with_the_ones_there_are(sheet: Printer, knife: Protocol) -> None:
    """The web hands the member's word through."""
    with pytest.raises(Invalid) as refusal:
        sheet(knife, paper="a5")

    assert [error.field for error in refusal.value.errors] == ["paper"]
    assert "'a4' or 'letter'" in refusal.value.detail


def test_an_unknown_template_is_a_mistake_of_ours(renderer: TypstRenderer) -> None:
    """It cannot come from a member, so it is no refusal."""
    with pytest.raises(ValueError, match="no template"):
        renderer.render("../look", {}, Paper.A4)


def test_the_null_renderer_gives_back_what_would_be_printed(knife: Protocol) -> None:
    """Tests of other rooms need no Typst."""
    told = protocol_sheet_pdf(
        knife, club_name="Club", url=URL, paper="letter", issued_on=ISSUED, renderer=NullRenderer()
    )

    assert b'"paper": "letter"' in told
    assert b"Knife, standard trial" in told
