"""What a tester sees and feels in a trial, drawn so that it goes with the stone.

The signs are common practice of the trade, no source: water stands on dense, hard stone; dark mud with much
metal speaks of a hard stone, pale thick mud of a soft one; worked mud refines; soft stones answer to
pressure.
"""

from typing import Any

import numpy as np

from .inspections import FOUND, uptake_s
from .stones import Stone

# JIS R 6001 fine grits from #400 to #8000, where that standard ends.
JIS = (400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000, 6000, 8000)


def level(value: float) -> int:
    """The nearest of the five answers."""
    return int(np.clip(round(value), 1, 5))


def finish_band(fineness: float, rng: np.random.Generator) -> dict[str, Any]:
    """Between which two grits the finish lies: a step or two apart, never beyond the end of the standard."""
    at = (fineness - 1) / 4 * (len(JIS) - 2) + rng.normal(0, 0.5)
    low = int(np.clip(np.floor(at), 0, len(JIS) - 2))
    high = min(len(JIS) - 1, low + int(rng.integers(1, 3)))
    return {"low": JIS[low], "high": JIS[high], "system": "jis"}


def feel(stone: Stone, rng: np.random.Generator) -> str:
    hard = stone.hardness + rng.normal(0, 0.25)
    if stone.fineness < 2:
        return "scratchy" if rng.random() < 0.25 else "sandy"
    if hard >= 4.4:
        return "glassy"
    if hard <= 3.1:
        return "creamy" if stone.fineness >= 2.5 else "sandy"
    return "silky"


def contrast(stone: Stone, rng: np.random.Generator) -> str:
    fine, hard = stone.fineness + rng.normal(0, 0.3), stone.hardness
    if fine >= 4.4:
        return "mirror" if hard >= 4.2 else "haze"
    if fine >= 3.4:
        return "bright" if hard >= 3.8 else "even_matt" if hard < 3 else "haze"
    return "even_matt" if fine >= 2.2 else "cloudy"


def scratches(stone: Stone, rng: np.random.Generator, *, careless: bool) -> bool:
    """A hard inclusion or a quartz line shows as single scratches, though not to everyone every time."""
    culprit = any(f.scratches_finish and not f.relieved for f in FOUND.get(stone.code, ()))
    return bool(rng.random() < (0.65 if culprit else 0.12 if careless else 0.03))


def observe(stone: Stone, purpose: str, rng: np.random.Generator, *, careless: bool) -> dict[str, Any]:
    """The answers to the standard observations; a careless tester scatters more and skips some."""
    noise = 0.9 if careless else 0.4
    hard, fine, ease = stone.hardness, stone.fineness, stone.ease
    strokes = round(float(np.exp(0.55 + 0.78 * hard - 0.12 * (ease - 3) + rng.normal(0, 0.18))))
    own_darkness = 0.5 if stone.look.startswith(("slate", "chert_grey", "schist")) else 0.0
    seen: dict[str, Any] = {
        "water_uptake_s": min(600, round(uptake_s(stone) * float(rng.lognormal(0, 0.18)))),
        "mud_shade": level(0.6 + 0.85 * hard + own_darkness + rng.normal(0, noise)),
        "metal_share": level(0.2 + 0.95 * hard + rng.normal(0, noise)),
        "feel": feel(stone, rng),
        "pressure_sensitivity": level(5.4 - 0.9 * hard + rng.normal(0, noise)),
        "refines": bool(rng.random() < (0.9 if hard < 3.8 and fine >= 2.5 else 0.25)),
        "contrast": contrast(stone, rng),
        "finish_band": finish_band(fine, rng),
        "scratches_seen": scratches(stone, rng, careless=careless),
    }
    if strokes <= (60 if purpose == "razor" else 70):
        seen["strokes_to_mud"] = strokes
    if careless:
        for skipped in ("water_uptake_s", "metal_share", "finish_band"):
            if rng.random() < 0.5:
                del seen[skipped]
    return seen
