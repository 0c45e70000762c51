"""Inputs of geometry.json: photos, traces, outlines and faces with obstacles."""

from typing import Any

FACE = (205.0, 75.0)

PHOTOS: list[dict[str, Any]] = [
    {
        "name": "seen straight, 10 px to the mm",
        "corners": [(100, 100), (2150, 100), (2150, 850), (100, 850)],
        "length_mm": 205.0,
        "width_mm": 75.0,
        "taps": [(100, 100), (1125, 475), (2150, 850), (300, 100)],
    },
    {
        "name": "turned a quarter, from the other side",
        "corners": [(850, 100), (850, 2150), (100, 2150), (100, 100)],
        "length_mm": 205.0,
        "width_mm": 75.0,
        "taps": [(850, 100), (475, 1125), (850, 300)],
    },
    {
        "name": "seen at a slant",
        "corners": [(412, 980), (1730, 1060), (1388, 402), (640, 371)],
        "length_mm": 205.0,
        "width_mm": 75.0,
        "taps": [(412, 980), (1730, 1060), (1388, 402), (640, 371), (1000, 700), (900, 500)],
    },
    {
        "name": "mirrored taps (the other way round)",
        "corners": [(100, 850), (2150, 850), (2150, 100), (100, 100)],
        "length_mm": 205.0,
        "width_mm": 75.0,
        "taps": [(100, 850), (1125, 475)],
    },
]

PHOTOS_REFUSED: list[dict[str, Any]] = [
    {"name": name, "corners": corners, "length_mm": length, "width_mm": 75.0}
    for name, corners, length in (
        ("crossed corners", [(0, 0), (200, 75), (200, 0), (0, 75)], 205.0),
        ("two corners in one place", [(0, 0), (200, 0), (200, 0), (0, 75)], 205.0),
        ("three corners in one line", [(0, 0), (100, 0), (200, 0), (0, 75)], 205.0),
        ("a dent", [(0, 0), (200, 0), (40, 20), (0, 75)], 205.0),
        ("three corners", [(0, 0), (200, 0), (200, 75)], 205.0),
        ("no length", [(0, 0), (200, 0), (200, 75), (0, 75)], 0.0),
    )
]


def _trace(name: str, *points: tuple[float, float], face: tuple[float, float] = FACE) -> dict[str, Any]:
    return {"name": name, "face": face, "points": points}


TRACES: list[dict[str, Any]] = [
    _trace("inside, 3-4-5", (50, 30), (53, 34)),
    _trace("across the corner at the origin", (0, 20), (30, 0)),
    _trace("across the corner at the far end, bent", (205, 50), (195, 62), (180, 75)),
    _trace("across the corner, drawn from the other side", (180, 75), (195, 62), (205, 50)),
    _trace("into the corner only", (0, 0), (14, 15)),
    _trace("from edge to edge across", (100, 0), (104, 40), (103, 75)),
    _trace("from end to end", (0, 30), (205, 41)),
    _trace("flat along the near edge", (90, 0.5), (130, 8)),
    _trace("a touch off the face counts as on the edge", (100, -1.2), (101, 20)),
    _trace("comes back to its start", (50, 30), (70, 32), (60, 40), (50.5, 30.5)),
    _trace("hugs the near edge from end to end", (0, 1), (100, 0.4), (205, 1.2)),
    _trace("three edges", (0, 20), (60, 0), (205, 30)),
    _trace("slanted piece near two edges", (8, 30), (30, 9)),
    _trace("on a small stone", (1, 1), (19, 9), face=(40.0, 20.0)),
]

OUTLINES: list[dict[str, Any]] = [
    _trace("corner triangle", (0, 0), (30, 0), (0, 20)),
    _trace("square inside", (50, 20), (70, 20), (70, 40), (50, 40)),
    _trace("half of the face", (102.5, 0), (205, 0), (205, 75), (102.5, 75)),
    _trace("patch at one edge", (60, 0), (80, 0), (75, 12), (66, 14)),
]


def _thing(*points: tuple[float, float], closed: bool = False, radius_mm: float = 0.0) -> dict[str, Any]:
    return {"points": points, "closed": closed, "radius_mm": radius_mm}


USABLE: list[dict[str, Any]] = [
    {"name": "nothing in the way", "face": FACE, "obstacles": []},
    {"name": "a small corner cut off", "face": FACE, "obstacles": [_thing((0, 20), (30, 0))]},
    {"name": "a long corner cut off", "face": FACE, "obstacles": [_thing((0, 60), (180, 0))]},
    {"name": "split in the middle", "face": FACE, "obstacles": [_thing((102.5, 0), (102.5, 75))]},
    {"name": "a round spot", "face": FACE, "obstacles": [_thing((60, 30), radius_mm=4.0)]},
    {"name": "a place without size", "face": FACE, "obstacles": [_thing((60, 30))]},
    {
        "name": "half of it gone",
        "face": FACE,
        "obstacles": [_thing((100, 0), (205, 0), (205, 75), (100, 75), closed=True)],
    },
    {
        "name": "several at once",
        "face": (180.3, 61.7),
        "obstacles": [
            _thing((0, 10), (12, 0)),
            _thing((90, 61.7), (95, 40), (120, 33)),
            _thing((150, 20), radius_mm=3.0),
        ],
    },
]
