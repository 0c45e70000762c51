"""Cases of faces that went down since their last trial. Phone and service answer them alike.

python -m tests.vectors.depth_cases
"""

import json
import random
from datetime import datetime
from pathlib import Path
from typing import Any

from whetpanel.core.depth import FaceHistory, faces_to_confirm, gone_since_trial, history_from

VECTORS = Path(__file__).with_name("depth.json")
DEPTHS_MM = (0.5, 1.0, 2.0)


def _on(day: int) -> str:
    return f"2026-03-{day:02}T10:00:00.000Z"


def trial(day: int, mm: float | None, face: str = "front") -> dict[str, Any]:
    return {"face": face, "finished_at": _on(day), "thickness_mm": mm, "withdrawn": None}


def look(day: int, mm: float | None) -> dict[str, Any]:
    return {"inspected_at": _on(day), "thickness_mm": mm, "withdrawn": None}


def lapping(day: int, um: float | None, after: float | None = None, face: str = "front") -> dict[str, Any]:
    return {
        "face": face,
        "lapped_at": _on(day),
        "removed_um": um,
        "thickness_after_mm": after,
        "withdrawn": None,
    }


def case(name: str, *, trials: Any = (), inspections: Any = (), lappings: Any = ()) -> dict[str, Any]:
    return {
        "name": name, "trials": list(trials), "inspections": list(inspections), "lappings": list(lappings),
    }  # fmt: skip


CASES = [
    case("never tried", inspections=[look(1, 20.0)]),
    case("tried, nothing since", trials=[trial(1, 20.0)]),
    case("measured before the trial only", trials=[trial(5, 20.0)], inspections=[look(1, 24.0)]),
    case("worn away", trials=[trial(1, 20.0)], inspections=[look(3, 18.8), look(9, 17.6)]),
    case("the last trial counts", trials=[trial(1, 20.0), trial(4, 18.0)], inspections=[look(9, 17.5)]),
    case("grown by a wrong measure", trials=[trial(1, 20.0)], inspections=[look(2, 20.3)]),
    case("a trial without a measure", trials=[trial(1, None)], inspections=[look(2, 15.0)]),
    case("a trial without a measure, but lapped", trials=[trial(1, None)], lappings=[lapping(2, 1600)]),
    case("lapped without figures", trials=[trial(1, 20.0)], lappings=[lapping(2, None)]),
    case("just the depth", trials=[trial(1, 20.0)], inspections=[look(2, 19.0)]),
    case(
        "the other face was lapped",
        trials=[trial(1, 20.0)],
        lappings=[lapping(2, 1400, 18.6, face="back")],
    ),
    case(
        "lapped after the last measure",
        trials=[trial(1, 20.0)],
        inspections=[look(3, 19.4)],
        lappings=[lapping(2, 500), lapping(5, 900)],
    ),
    case(
        "both faces tried, both lapped, worn between",
        trials=[trial(1, 30.0), trial(2, 30.0, "back")],
        inspections=[look(8, 26.0)],
        lappings=[lapping(4, 1200), lapping(5, 800, face="back"), lapping(9, 300)],
    ),
    case(
        "a later trial of the other face measures too",
        trials=[trial(1, 20.0), trial(6, 18.2, "back")],
    ),
]  # fmt: skip


def drawn(n: int) -> list[dict[str, Any]]:
    """Stones with a history drawn by a fixed seed: measured, lapped and tried on different days."""
    rng = random.Random(20260311)
    cases = []
    for number in range(n):
        days = rng.sample(range(1, 29), 9)
        mm = [rng.choice([None, round(rng.uniform(15, 25), 2)]) for _ in days]
        faces = [rng.choice(["front", "back"]) for _ in days]
        cases.append(
            case(
                f"drawn {number}",
                trials=[trial(days[i], mm[i], faces[i]) for i in range(3)],
                inspections=[look(days[i], mm[i]) for i in range(3, 5)],
                lappings=[
                    lapping(days[i], rng.choice([None, float(rng.randrange(50, 1500))]), mm[i], faces[i])
                    for i in range(5, 9)
                ],
            )
        )
    return cases


def history(one: dict[str, Any]) -> FaceHistory:
    """A case as core takes it."""
    at = datetime.fromisoformat
    return history_from(
        [(t["face"], at(t["finished_at"]), t["thickness_mm"]) for t in one["trials"]],
        [(at(i["inspected_at"]), i["thickness_mm"]) for i in one["inspections"]],
        [(p["face"], at(p["lapped_at"]), p["removed_um"], p["thickness_after_mm"]) for p in one["lappings"]],
    )  # fmt: skip


def depth() -> dict[str, Any]:
    """Every case with the service's answer."""
    cases = []
    for one in CASES + drawn(40):
        told = history(one)
        gone = {face: gone_since_trial(face, told) for face in ("front", "back")}
        cases.append(
            {
                **one,
                "gone": {
                    face: None if g is None else {"gone_mm": g.gone_mm, "lapped": g.lapped}
                    for face, g in gone.items()
                },
                "confirm": {
                    str(mm): [g.face for g in faces_to_confirm(told, mm)] for mm in DEPTHS_MM
                },
            }
        )  # fmt: skip
    return {"cases": cases}


if __name__ == "__main__":
    VECTORS.write_text(json.dumps(depth(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
