"""Text made fit for print: nothing goes missing without a mark."""

from hypothesis import given
from hypothesis import strategies as st

from whetpanel.documents.text import (
    PLACEHOLDER,
    breakable,
    composed,
    each_text,
    every_text,
    name_characters,
    shapeless,
    with_placeholders,
)


@given(st.text(), st.integers(1, 40))
def test_places_to_break_change_nothing_else(text: str, longest: int) -> None:
    """Taking them out again gives the text back."""
    plain = text.replace("\u200b", "")

    assert breakable(plain, longest).replace("\u200b", "") == plain


def test_only_long_words_get_places_to_break() -> None:
    """Ordinary words, and Japanese, which breaks by rules of its own, are left alone."""
    assert breakable("sharpening stones 砥石" + "石" * 50, 20) == "sharpening stones 砥石" + "石" * 50
    assert breakable("x" * 20, 20) == "x" * 20
    assert breakable("x" * 21, 20) == "x" * 8 + "\u200b" + "x" * 8 + "\u200b" + "x" * 5


def test_a_picture_of_several_characters_becomes_one_mark() -> None:
    """A family, a flag and a coloured hand are one picture each (emoji sequences, Unicode UTS #51)."""
    missing = set("👨👩👧🇯🇵✌🏽\u200d\ufe0f")

    assert with_placeholders("a👨‍👩‍👧b🇯🇵c✌🏽d", missing) == f"a{PLACEHOLDER}b{PLACEHOLDER}c{PLACEHOLDER}d"


def test_what_is_not_missing_stays() -> None:
    """An accent, an old form of a kanji chosen by a selector, an ordinary letter beside an emoji."""
    kept = "e\u0301 葛\U000e0100 x"

    assert with_placeholders(kept + "😀", {"😀"}) == kept + PLACEHOLDER


def test_characters_are_named_as_unicode_names_them() -> None:
    """Names from the Unicode character database; a control has none and is called what it is."""
    assert name_characters({"😀"}) == "U+1F600 grinning face"
    assert name_characters({"\x07"}) == "U+0007 control character"
    assert name_characters({"\ud83d"}) == "U+D83D half a character"
    assert name_characters(set()) == ""


def test_a_long_list_of_names_is_cut_and_says_so() -> None:
    """A sheet in a script we cannot print is not followed by a page of names."""
    assert name_characters({chr(0x0F40 + i) for i in range(8)}).count("U+") == 8
    assert name_characters({chr(0x0E01 + i) for i in range(20)}).endswith("12 more")


def test_letters_are_composed_and_line_ends_plain() -> None:
    """NFC (Unicode UAX #15): e and a combining acute are é. Full-width letters are kept as written."""
    assert composed("e\u0301\r\nx\ry\tz ＡＢ") == "é\nx\ny z ＡＢ"
    assert composed("the razor's own, '90s, 5'") == "the razor\N{RIGHT SINGLE QUOTATION MARK}s own, '90s, 5'"


def test_controls_have_no_shape_but_line_ends_do() -> None:
    """What must be marked whatever the fonts."""
    assert shapeless("a\nb\x07\ud83dc") == {"\x07", "\ud83d"}


def test_every_text_is_reached_and_keys_are_not() -> None:
    """However deep it lies."""
    data = {"a": ["x", {"b": ("y",)}], "c": 1, "d": None, "e": "z"}

    assert list(every_text(data)) == ["x", "y", "z"]
    assert each_text(data, str.upper) == {"a": ["X", {"b": ["Y"]}], "c": 1, "d": None, "e": "Z"}
