"""What people wrote, made fit for print without losing sight of what could not be printed.

Members write whatever their keyboards offer. Text travels to the template as JSON and is never read as
markup, so ``#``, ``*`` or a backslash are safe. Two things are not: characters that no font of ours has a
shape for, which a tagged PDF refuses, and control characters, which have no shape at all. Both become a mark
that can be seen, and the document says what the mark stands for.
"""

import re
import unicodedata
from collections.abc import Callable, Collection, Iterator
from typing import Any

PLACEHOLDER = "\N{GETA MARK}"
"""〓, which typesetters have long put where a sort was missing."""

_LISTED = 8

# What belongs to one picture on a phone should not become five marks on paper: a base with its variation
# selectors, skin tones and marks, further ones joined by U+200D, or a flag's two letters.
_TAIL = "[\u0300-\u036f\ufe0e\ufe0f\u20e3\U0001f3fb-\U0001f3ff\U000e0020-\U000e007f]*"
_NOT_KANJI = "[^\\s\u200b\u2e80-\uffef\U00020000-\U0003ffff]"
_ONE_PICTURE = re.compile(f"[\U0001f1e6-\U0001f1ff]{{2}}|.{_TAIL}(?:\u200d.{_TAIL})*", re.DOTALL)
_LEFTWARDS = ("R", "AL", "AN", "RLE", "RLO", "RLI", "LRE", "LRO", "LRI", "FSI", "PDF", "PDI")
_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?=[^\W\d_])")
_EIGHT = re.compile(f"(?:{_ONE_PICTURE.pattern}){{8}}", re.DOTALL)


def composed(text: str) -> str:
    """The same text with composed letters (NFC), plain line ends, no tabs and a printer's apostrophes.

    Composing lets a font use its own drawing of an accented letter. Nothing else is folded: a full-width
    letter or an old form of a kanji in a name is there on purpose.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " ")
    return _APOSTROPHE.sub("\N{RIGHT SINGLE QUOTATION MARK}", unicodedata.normalize("NFC", lines))


def shapeless(text: str) -> set[str]:
    """The characters that no font can have a shape for: controls, and halves of surrogate pairs."""
    return {c for c in text if c != "\n" and unicodedata.category(c) in ("Cc", "Cs")}


def runs_leftwards(character: str) -> bool:
    """Whether the character belongs to a script written from right to left, or turns the direction round."""
    return unicodedata.bidirectional(character) in _LEFTWARDS


def breakable(text: str, longest: int) -> str:
    """The text with places to break (U+200B) inside words of more than ``longest`` characters.

    Without them an address or a forgotten space runs across the next column. Japanese breaks anywhere as
    it is, and knows better than we do where it may not.
    """
    return re.sub(
        f"{_NOT_KANJI}{{{longest + 1},}}",
        lambda word: _EIGHT.sub("\\g<0>\u200b", word[0]),
        text,
    )


def with_placeholders(text: str, missing: Collection[str]) -> str:
    """The text with each picture that holds one of the ``missing`` characters replaced by one placeholder."""
    return _ONE_PICTURE.sub(
        lambda found: PLACEHOLDER if any(c in missing for c in found[0]) else found[0],
        text,
    )


def each_text(data: Any, change: Callable[[str], str]) -> Any:
    """A copy of JSON-like data with every string value changed; keys are ours and stay."""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, dict):
        return {key: each_text(value, change) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [each_text(value, change) for value in data]
    return data


def every_text(data: Any) -> Iterator[str]:
    """Every string value in JSON-like data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        yield from (text for value in data.values() for text in every_text(value))
    elif isinstance(data, list | tuple):
        yield from (text for value in data for text in every_text(value))


def name_characters(missing: Collection[str]) -> str:
    """What the placeholder stands for, for a reader: code points with their Unicode names, the first few of
    them.

    Marks without a shape of their own (joiners, selectors) are left out unless there is nothing else to name.
    """
    told = [c for c in sorted(missing) if not _only_joins(c)] or sorted(missing)
    names = [f"U+{ord(c):04X} {_name(c)}" for c in told[:_LISTED]]
    if len(told) > _LISTED:
        names.append(f"{len(told) - _LISTED} more")
    return ", ".join(names)


def _only_joins(character: str) -> bool:
    named = unicodedata.name(character, "")
    return unicodedata.category(character) == "Cf" or named.startswith("VARIATION SELECTOR")


def _name(character: str) -> str:
    unnamed = {"Cc": "control character", "Cs": "half a character"}
    return unicodedata.name(character, unnamed.get(unicodedata.category(character), "unnamed")).lower()
