"""What every document carries, whatever it shows: the seam between compose and the templates.

``compose`` has one function a document (a protocol sheet; a slip, a record or labels come beside it). Each
returns ``frame(...)`` plus the fields of its own template; ``templates/look.typ`` reads the frame and gives
every document the same page, type and colours, and one grade ruler. Nothing here knows Typst, nothing there
knows a record.
"""

import re
from datetime import date
from typing import Any

from .papers import Paper
from .qr import qr_code
from .text import breakable

# Written out, since strftime speaks the language of whichever machine it runs on.
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def frame(
    *, title: str, kind: str, club_name: str, url: str, link_words: str, issued_on: date, paper: Paper
) -> dict[str, Any]:
    """The part of a document's data that ``look.typ`` reads.

    ``title`` names this document and ``kind`` what sort it is ("Protocol sheet"); ``url`` is where its record
    lives and ``link_words`` says what a reader finds there.
    """
    return {
        "title": title,
        "title_shown": breakable(title, 20),
        "kind": kind,
        "club_name": club_name,
        "foot": f"{_at_most(club_name, 44)}  ·  {_at_most(title, 56)}",
        "paper": str(paper),
        "issued": {
            "year": issued_on.year,
            "month": issued_on.month,
            "day": issued_on.day,
            "words": date_in_words(issued_on),
        },
        "link": {"url": url, "url_shown": _with_breaks(url), "words": link_words, **qr_code(url)},
    }


def date_in_words(day: date) -> str:
    """A date no reader can turn round: 7 March 2026."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def _at_most(words: str, n_characters: int) -> str:
    """For places of one line: the beginning, and a sign that there is more."""
    return words if len(words) <= n_characters else words[: n_characters - 1].rstrip() + "…"


def _with_breaks(url: str) -> str:
    """An address that breaks after its own punctuation before anywhere else."""
    return breakable(re.sub(r"(?<=[/?&=.-])(?=[^/])", "\u200b", url), 20)


def ruler(low: float, high: float, step: float, levels_with_words: list[float]) -> dict[str, Any]:
    """The grade ruler as the templates draw it: places run from 0 at the low end to 1 at the high end.

    A whole level has a tall tick and, where there is room, its number; the steps between have short ones. A
    scale of more than a hundred steps would blacken the rail, so only its whole levels, or else those with
    words, get a tick.
    """
    n_steps = round((high - low) / step)
    grades = [low + i * step for i in range(n_steps + 1)]
    whole = [g for g in grades if abs(g - round(g)) < 1e-9]
    if n_steps > 100:
        grades = whole if len(whole) <= 101 else levels_with_words
    numbered = whole if 2 <= len(whole) <= 11 else levels_with_words
    ticks = [{"at": _place(g, low, high), "tall": _among(g, whole) or _among(g, numbered)} for g in grades]
    numbers = [{"at": _place(g, low, high), "text": plain_number(g)} for g in numbered]
    return {"ticks": ticks, "numbers": numbers, "small": _small(ticks, numbers, exact=n_steps <= 20)}


def _small(ticks: list[dict[str, Any]], numbers: list[dict[str, Any]], *, exact: bool) -> dict[str, Any]:
    """The ruler for a cell two centimetres wide; ``exact`` if there is room for a tick at every step."""
    return {
        "exact": exact,
        "ticks": ticks if exact else [tick for tick in ticks if tick["at"] in (0, 1)],
        "numbers": numbers if len(numbers) <= 7 else [numbers[0], numbers[-1]],
    }


def plain_number(value: float) -> str:
    """A number as written by hand: 3, 2.5, 0.05."""
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _place(value: float, low: float, high: float) -> float:
    return round((value - low) / (high - low), 6)


def _among(value: float, others: list[float]) -> bool:
    return any(abs(value - other) < 1e-9 for other in others)
