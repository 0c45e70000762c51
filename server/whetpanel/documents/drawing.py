"""The grade ruler as SVG: numbers for attributes, nothing else.

A page under a policy without inline styles cannot place anything by CSS of its own, so every place is an SVG
attribute worked out here. The drawing is the one of the app and of the paper: a rail with ticks above it, the
interval as a band and the estimate as a notch below it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class RulerSize:
    """Measures of one drawing in user units: ``rail`` is the rail's distance from the top."""

    length: float
    inset: float
    rail: float
    tall: float
    short: float
    band: float
    notch: float
    numbered: bool


PAGE_RULER = RulerSize(336, 14, 34, 12, 7, 12, 18, numbered=True)
STEEL_RULER = RulerSize(336, 14, 10, 8, 4.5, 7, 11, numbered=False)


def ruler_drawing(ruler: Mapping[str, Any], mark: Mapping[str, Any], size: RulerSize) -> dict[str, Any]:
    """Attribute numbers of the drawing.

    Parameters
    ----------
    ruler    what ``frame.ruler`` made: ticks and numbers at places from 0 to 1
    mark     ``grade``, ``low`` and ``high`` at places from 0 to 1; ``at_end`` "low", "high" or ""

    Returns
    -------
    width, height: the view box · rail: {x1, x2, y} · ticks: [{x, y1, y2, tall}] · numbers: [{x, y, text}] ·
    band: points of a polygon, open-pointed where the interval does not stop at the scale's end · edges: the
    upright ends of the band, [{x, y1, y2}] · notch: points of a polygon.
    """

    def x(place: float) -> float:
        return _short(size.inset + place * (size.length - 2 * size.inset))

    rail, foot = size.rail, _short(size.rail + size.band)
    low, high = x(mark["low"]), x(mark["high"])
    point, middle = _short(size.band * 0.7), _short(rail + size.band / 2)
    band = [(low, rail), (high, rail), (high, foot), (low, foot)]
    if mark["at_end"] == "high":
        band.insert(2, (_short(high + point), middle))
    elif mark["at_end"] == "low":
        band.append((_short(low - point), middle))
    at, half, tip = x(mark["grade"]), size.notch * 0.42, _short(rail + size.notch)
    return {
        "width": size.length,
        "height": _short(rail + size.notch + 2),
        "rail": {"x1": _short(x(0) - 1), "x2": _short(x(1) + 1), "y": rail},
        "ticks": [
            {
                "x": x(tick["at"]),
                "y1": rail,
                "y2": _short(rail - (size.tall if tick["tall"] else size.short)),
                "tall": tick["tall"],
            }
            for tick in ruler["ticks"]
        ],
        "numbers": [
            {"x": x(number["at"]), "y": _short(rail - size.tall - 6), "text": number["text"]}
            for number in (ruler["numbers"] if size.numbered else ())
        ],
        "band": _points(band),
        "edges": [
            {"x": end, "y1": rail, "y2": foot}
            for end, name in ((low, "low"), (high, "high"))
            if mark["at_end"] != name
        ],
        "notch": _points([(at, rail), (_short(at + half), tip), (_short(at - half), tip)]),
    }


def _points(corners: list[tuple[float, float]]) -> str:
    return " ".join(f"{a:g},{b:g}" for a, b in corners)


def _short(value: float) -> float:
    """A hundredth of a user unit is far below what a screen shows."""
    return round(value, 2)
