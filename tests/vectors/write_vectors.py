"""Write the vectors that pytest and vitest both run: ``python -m tests.vectors.write_vectors``.

Answers come from the service's own code, so a vector alone proves only that phone and service agree. Where a
value is known from outside (a printed table, algebra), the tests in tests/core/soundness hold the service to
it.
"""

import csv
import json
from pathlib import Path
from typing import Any

from tests.vectors.geometry_cases import OUTLINES, PHOTOS, PHOTOS_REFUSED, TRACES, USABLE
from tests.vectors.soundness_cases import CASES, REFUSED

from whetpanel.core.soundness import (
    DEFAULT_RULES,
    FlatnessReading,
    FlatnessValues,
    History,
    InspectionValues,
    StoneShape,
    assess,
)
from whetpanel.core.soundness.colour import ciede2000, lab, lightness, luminance, mud_shade
from whetpanel.core.soundness.flatness import measure_flatness
from whetpanel.core.soundness.geometry import (
    face_from_corners,
    measure_outline,
    measure_trace,
    place,
    to_face,
)
from whetpanel.core.soundness.grit import SYSTEMS, Band, band, equivalent, grain
from whetpanel.core.soundness.lapping import grit_steps, plan_lapping
from whetpanel.core.soundness.usable import Obstacle, usable_face
from whetpanel.core.soundness.wear import Lapping, Strokes, fit_rate, strokes_for
from whetpanel.documents import LABEL_LAYOUTS
from whetpanel.errors import Invalid

HERE = Path(__file__).parent
DATA = HERE.parent / "data"
PHONE_RULES = HERE.parents[1] / "pwa" / "src" / "domain" / "soundness" / "default_rules.json"


def plain(value: Any) -> Any:
    """Dataclasses and tuples as the JSON values they become."""
    if hasattr(value, "__dataclass_fields__"):
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return value


def refusal(call: Any, *args: Any) -> dict[str, Any]:
    """The faults with which a call refuses."""
    try:
        call(*args)
    except Invalid as refused:
        return {"errors": [{"field": e.field, "message": e.message} for e in refused.errors]}
    raise AssertionError("this was not refused")


def geometry() -> dict[str, Any]:
    photos = []
    for photo in PHOTOS:
        face = face_from_corners(photo["corners"], photo["length_mm"], photo["width_mm"])
        photos.append({**photo, "places": [to_face(face, tap) for tap in photo["taps"]]})
    traces = [{**t, "expect": measure_trace(place(t["points"], *t["face"]), *t["face"])} for t in TRACES]
    outlines = [
        {**o, "expect": measure_outline(place(o["points"], *o["face"]), *o["face"])} for o in OUTLINES
    ]
    usable = [
        {
            **u,
            "expect": usable_face(
                *u["face"],
                [Obstacle(tuple(o["points"]), o["closed"], o["radius_mm"]) for o in u["obstacles"]],
            ),
        }
        for u in USABLE
    ]
    refused = [
        {**p, **refusal(face_from_corners, p["corners"], p["length_mm"], p["width_mm"])}
        for p in PHOTOS_REFUSED
    ]
    return {
        "photos": photos, "photos_refused": refused, "traces": traces, "outlines": outlines, "usable": usable,
    }  # fmt: skip


def answer(case: dict[str, Any]) -> dict[str, Any]:
    """The service's answer to one case of soundness.json."""
    return assess(
        StoneShape.from_record(case["stone"]),
        InspectionValues.from_record(case["inspection"]),
        DEFAULT_RULES,
        History.from_record(case.get("history", {})),
    ).to_record()


def soundness() -> dict[str, Any]:
    return {
        "rules": [rule.to_record() for rule in DEFAULT_RULES],
        "cases": [{**case, "expect": answer(case)} for case in CASES],
        "refused": [{**case, **refusal(answer, case)} for case in REFUSED],
    }


def published_sets() -> dict[str, list[FlatnessReading]]:
    sets: dict[str, list[FlatnessReading]] = {}
    with (DATA / "flatness_points.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            reading = FlatnessReading(float(row["x_mm"]), float(row["y_mm"]), float(row["z"]))
            sets.setdefault(row["set"], []).append(reading)
    return sets


def flatness() -> dict[str, Any]:
    faces = {"five_mm": (30.0, 40.0), "grid3x3_um": (200.0, 70.0), "twist_um": (200.0, 70.0)}
    sets = {name: (faces[name], readings) for name, readings in published_sets().items()}
    for name, surface in SURFACES.items():
        places = [(x, y) for y in (0.0, 25.0, 50.0, 75.0) for x in (0.0, 40.0, 80.0, 120.0, 160.0, 205.0)]
        sets[name] = (
            (205.0, 75.0),
            [FlatnessReading(x, y, round(surface(2 * x / 205 - 1, 2 * y / 75 - 1), 3)) for x, y in places],
        )
    cases = []
    for name, (face, readings) in sets.items():
        values = FlatnessValues("grid", tuple(readings))
        measured = measure_flatness(values, face)
        cases.append(
            {
                "name": name, "face": face, "readings": readings, "expect": measured,
                "lapping": plan_lapping(values, measured, face, 25.0, 2.5),
            }
        )  # fmt: skip
    steps = [{"stock_um": s, "finish": f, "steps": grit_steps(s, f)} for s, f in STOCKS]
    rates = [{"lappings": log, "rate": fit_rate(log), "strokes": _strokes(log)} for log in LOGS]
    return {"cases": cases, "grit_steps": steps, "rates": rates}


def _strokes(log: list[Lapping]) -> Strokes:
    return strokes_for(80.0, fit_rate(log), force_n=25.0, area_mm2=15375.0, stroke_mm=120.0, grain_um=35.0)


LOGS = [
    [],
    [Lapping(60.0, 20.0, 15375.0, 300.0, 120.0, 68.0)],
    [
        Lapping(removed, 15.0 + 3 * i, 15375.0, 200.0 + 40 * i, 110.0, grain_um)
        for i, (removed, grain_um) in enumerate(
            [(40, 68), (33, 35), (55, 68), (18, 18.3), (61, 82), (30, 35)]
        )
    ],
]


SURFACES = {
    "parabola along, 120 µm": lambda u, v: 120 * u * u,
    "crowned across": lambda u, v: -45 * v * v + 10 * u,
    "twisted and tilted": lambda u, v: 40 * u * v + 200 * u - 90 * v,
    "ripple": lambda u, v: 12 * (u**3 - u) + 9 * v**4 + 5 * u * v * v,
    "flat but tilted": lambda u, v: 64 * u,
}
STOCKS = [(0.0, 1000), (12.0, 1000), (120.0, 1000), (300.0, 2500), (900.0, 400), (40.0, 120)]


def colour() -> dict[str, Any]:
    greys = [0, 1, 5, 10, 11, 12, 64, 119, 128, 200, 255]
    colours = [
        (56, 79, 132),
        (90, 80, 70),
        (60, 62, 65),
        (200, 190, 170),
        (0, 0, 0),
        (255, 0, 0),
        (12, 200, 30),
    ]
    with (DATA / "ciede2000_pairs.csv").open(newline="", encoding="utf-8") as file:
        rows = [{key: float(value) for key, value in row.items()} for row in csv.DictReader(file)]
    pairs = [((r["L1"], r["a1"], r["b1"]), (r["L2"], r["a2"], r["b2"])) for r in rows]
    muds = [
        ((90, 80, 70), (235, 233, 228)),
        ((30, 30, 32), (200, 200, 198)),
        ((180, 175, 160), (230, 230, 230)),
    ]
    refused = [
        ((90, 80, 70), (255, 255, 255)),
        ((90, 80, 70), (40, 40, 40)),
        ((240, 240, 240), (200, 200, 200)),
    ]
    return {
        "grey": [{"grey": g, "lightness": lightness(luminance((g, g, g)))} for g in greys],
        "lab": [{"rgb": c, "lab": lab(c)} for c in colours],
        "ciede2000": [{"one": a, "other": b, "difference": ciede2000(a, b)} for a, b in pairs],
        "mud": [{"mud": m, "card": c, "expect": mud_shade(m, c)} for m, c in muds],
        "mud_refused": [{"mud": m, "card": c, **refusal(mud_shade, m, c)} for m, c in refused],
    }


def grit() -> dict[str, Any]:
    numbers = [(key, number) for key, system in SYSTEMS.items() for number, _, _ in system.grades]
    numbers += [("jis", 5000), ("jis", 900), ("fepa_f", 700), ("fepa_p", 2200), ("fepa_p", 14)]
    beyond = [("jis", 10000), ("jis", 220), ("fepa_f", 2500), ("fepa_p", 3000), ("fepa_p", 8)]
    bands = [
        ("jis", 1000, 3000), ("jis", 6000, 8000), ("jis", 8000, 8000), ("fepa_f", 230, 800),
        ("fepa_p", 60, 240), ("fepa_p", 1000, 2500), ("jis", 240, 5000),
    ]  # fmt: skip
    return {
        "grains": [grain(*n) for n in numbers],
        "beyond": [{"system": s, "number": n, **refusal(grain, s, n)} for s, n in beyond],
        "equivalents": [
            {"band": {"system": s, "low": lo, "high": hi}, "expect": equivalent(_band(s, lo, hi), other)}
            for s, lo, hi in bands
            for other in SYSTEMS
        ],
    }


def _band(system: str, low: int, high: int) -> Band:
    return band(system, low, high)


def label_sheets() -> list[dict[str, Any]]:
    """The sheets that labels are printed on, in the order in which they are offered."""
    return [
        {
            "paper": str(one.paper), "layout": one.name, "columns": one.columns, "rows": one.rows,
            "width_mm": one.width_mm, "height_mm": one.height_mm, "cut": one.cut,
        }
        for one in LABEL_LAYOUTS
    ]  # fmt: skip


WRITERS = {
    "geometry": geometry, "soundness": soundness, "flatness": flatness, "colour": colour, "grit": grit,
    "label_sheets": label_sheets,
}  # fmt: skip


def main() -> None:
    for name, write in WRITERS.items():
        text = json.dumps(plain(write()), indent=1, ensure_ascii=False)
        (HERE / f"{name}.json").write_text(text + "\n", encoding="utf-8")
    rules = json.dumps([rule.to_record() for rule in DEFAULT_RULES], indent=1, ensure_ascii=False)
    PHONE_RULES.write_text(rules + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
