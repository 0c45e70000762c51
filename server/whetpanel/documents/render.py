"""Composed data in, PDF bytes out. The only room that calls Typst.

Every document is a tagged PDF (PDF/UA-1, ISO 14289-1), so that it can be read aloud, and the same data give
the same bytes: no clock, no system font, no network.
"""

import json
import re
import unicodedata
from collections.abc import Mapping, Set
from functools import cached_property
from pathlib import Path
from typing import Any, Protocol

import pylopdf_fonts_jp
import typst

from .papers import Paper
from .text import (
    composed,
    each_text,
    every_text,
    name_characters,
    runs_leftwards,
    shapeless,
    with_placeholders,
)

_TEMPLATES = Path(__file__).resolve().parent / "templates"
_TYPST_PAPER = {Paper.A4: "a4", Paper.LETTER: "us-letter"}

# Each round names every character that is still without a shape, so the second round normally succeeds. A few
# more are allowed because a replacement changes how its neighbours are shaped.
_ROUNDS = 6

_MISSING = re.compile(r'the text `"((?:[^"\\]|\\.)*)"` could not be displayed')
_ESCAPE = re.compile(r"\\(?:u\{([0-9a-fA-F]+)\}|(.))", re.DOTALL)
_SHORT_ESCAPES = {"n": "\n", "r": "\r", "t": "\t", "0": "\0"}


class Renderer(Protocol):
    """Turns composed data into the bytes of a document."""

    def render(self, template: str, data: Mapping[str, Any], paper: Paper) -> bytes:
        """``template`` names a file in templates/ without its ending; ``data`` is what compose made."""
        ...


class TypstRenderer:
    """The renderer for use. Fonts are read once and shared by all documents that it renders."""

    @cached_property
    def _fonts(self) -> typst.Fonts:
        return typst.Fonts(
            include_system_fonts=False,
            include_embedded_fonts=True,
            font_paths=[str(pylopdf_fonts_jp.sans_path().parent)],
        )

    def render(self, template: str, data: Mapping[str, Any], paper: Paper) -> bytes:
        """The document as PDF/UA-1.

        A character without a shape in our fonts is replaced by a placeholder wherever it occurs, and the data
        gain ``unprintable``, a list in words, for the template to show. Raises ValueError for an unknown
        template and typst.TypstError when a template is at fault; both are mistakes of ours.
        """
        source = _TEMPLATES / f"{template}.typ"
        if not source.is_file():
            raise ValueError(f"There is no template {template!r}")
        clean = each_text(dict(data), composed)
        missing = frozenset(c for text in every_text(clean) for c in shapeless(text))
        for _ in range(_ROUNDS):
            try:
                return self._compile(source, _with_placeholders(clean, missing), paper)
            except typst.TypstError as refusal:
                blamed = _blamed(refusal.diagnostic or refusal.message, missing)
                if not blamed:
                    raise
            except BaseException as panic:
                # A panic inside Typst is no Exception and would take the worker down with it. It has been met
                # with long jumbles of Arabic signs (0.15.1, shaping across a line's end), so whatever runs
                # from right to left is given up before everything else is.
                if type(panic).__name__ != "PanicException":
                    raise
                blamed = {c for text in every_text(clean) for c in text if runs_leftwards(c)} - missing
                if not blamed:
                    break
            missing |= blamed
        # Text that keeps finding new ways to be unprintable is printed in ASCII rather than not at all.
        missing |= {c for text in every_text(clean) for c in text if not c.isascii()}
        return self._compile(source, _with_placeholders(clean, missing), paper)

    def _compile(self, source: Path, data: dict[str, Any], paper: Paper) -> bytes:
        pdf = typst.compile(
            str(source),
            root=str(_TEMPLATES),
            format="pdf",
            pdf_standards=["ua-1"],
            ignore_system_fonts=True,
            font_paths=self._fonts,
            sys_inputs={"data": json.dumps(data, ensure_ascii=False), "paper": _TYPST_PAPER[paper]},
        )
        if not isinstance(pdf, bytes):
            raise TypeError("Typst gave no single document")
        return pdf


class NullRenderer:
    """For development and tests without Typst: gives back what would be printed, as JSON. Not a PDF."""

    def render(self, template: str, data: Mapping[str, Any], paper: Paper) -> bytes:
        """Template, paper and data with sorted keys, so that equal input gives equal bytes."""
        told = {"template": template, "paper": str(paper), "data": each_text(dict(data), composed)}
        return json.dumps(told, ensure_ascii=False, sort_keys=True).encode("utf-8")


def _with_placeholders(data: dict[str, Any], missing: Set[str]) -> dict[str, Any]:
    shown: dict[str, Any] = each_text(data, lambda text: with_placeholders(text, missing))
    return {**shown, "unprintable": name_characters(missing)}


def _blamed(diagnostic: str, missing: Set[str]) -> Set[str]:
    """Which further characters to do without, given what Typst found no glyph for.

    It quotes what it tried to draw as one, so a foreign mark comes with the innocent letter or space that it
    sits on. Marks are blamed first, anything else only where there are none, and printable ASCII never.
    """
    clusters = [_ESCAPE.sub(_unescape, quoted) for quoted in _MISSING.findall(diagnostic)]
    for suspects in (
        {c for one in clusters for c in one if unicodedata.category(c)[0] in "MC"},
        {c for one in clusters for c in one},
    ):
        blamed = {c for c in suspects if not (c.isascii() and c.isprintable())} - missing
        if blamed:
            return blamed
    return set()


def _unescape(found: re.Match[str]) -> str:
    if found[1]:
        return chr(int(found[1], 16))
    return _SHORT_ESCAPES.get(found[2], found[2])
