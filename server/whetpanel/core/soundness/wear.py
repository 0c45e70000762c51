"""Wear: how fast a lap takes stone away, and how long a stone lasts.

Preston's law is what a club can calibrate for itself: depth = K · pressure · sliding distance. K depends on
stone, abrasive and water; the first guess is only good to a factor of several, and every logged lapping
narrows it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from whetpanel.errors import FieldError, Invalid

GUESS_PER_PA = 5e-10
"""First guess of Preston's K at GUESS_GRAIN_UM on a natural stone: 20 N on a bench stone's face takes 100 µm
in about 150 m of sliding. Common practice, no source; GUESS_SPREAD says how little it is worth."""

GUESS_GRAIN_UM = 68.0
GUESS_SPREAD = math.log(4)
"""One standard deviation of the first guess, on the natural logarithm: a factor of 4."""

ONE_LAPPING_SPREAD = math.log(1.6)
"""One standard deviation from one lapping to the next while fewer than five are logged: a factor of 1.6."""

FEWEST_FOR_SPREAD = 5
Z90 = 1.6448536269514722


@dataclass(frozen=True)
class Lapping:
    """One logged lapping: depth taken off, mean force, wetted area, strokes and their length, grain size."""

    removed_um: float
    force_n: float
    area_mm2: float
    strokes: float
    stroke_mm: float
    grain_um: float


@dataclass(frozen=True)
class LappingRate:
    """Preston's K for a grain of GUESS_GRAIN_UM, 1/Pa, with a 90 % interval for the next lapping.

    ``n_lappings`` 0 means the stated first guess. K is taken to grow with grain size (from memory).
    """

    per_pa: float
    low90: float
    high90: float
    n_lappings: int


@dataclass(frozen=True)
class Strokes:
    """How many strokes a depth asks for, with a 90 % interval."""

    strokes: float
    low90: float
    high90: float


def preston_depth_um(per_pa: float, pressure_pa: float, distance_m: float) -> float:
    """Depth removed, µm: K · pressure · sliding distance (speed · time)."""
    return per_pa * pressure_pa * distance_m * 1e6


def archard_mm3(k: float, force_n: float, distance_mm: float, hardness_mpa: float) -> float:
    """Volume worn, mm³: k · force · distance / hardness (any factor 3 of the books is inside k)."""
    _need(hardness_mpa > 0, "hardness_mpa", "The hardness must be above 0.")
    return k * force_n * distance_mm / hardness_mpa


def preston_of(lapping: Lapping) -> float:
    """K of one lapping, 1/Pa, brought to a grain of GUESS_GRAIN_UM. Raises Invalid unless all is above 0."""
    for name, value in vars(lapping).items():
        _need(math.isfinite(value) and value > 0, name, "Every value of a logged lapping must be above 0.")
    pressure = lapping.force_n / (lapping.area_mm2 * 1e-6)
    distance = lapping.strokes * lapping.stroke_mm * 1e-3
    return lapping.removed_um * 1e-6 / (pressure * distance) * (GUESS_GRAIN_UM / lapping.grain_um)


def fit_rate(lappings: Sequence[Lapping]) -> LappingRate:
    """Preston's K from the logged lappings, drawn towards the first guess as far as they are few.

    Notes        Normal on log K: the guess counts as one observation with spread GUESS_SPREAD. From
                 FEWEST_FOR_SPREAD lappings on, their own scatter replaces ONE_LAPPING_SPREAD. The interval is
                 for the next lapping, so it holds both the doubt about K and the scatter.
    """
    logs = [math.log(preston_of(lapping)) for lapping in lappings]
    n = len(logs)
    scatter = ONE_LAPPING_SPREAD
    if n >= FEWEST_FOR_SPREAD:
        mean = sum(logs) / n
        scatter = max(0.05, math.sqrt(sum((x - mean) ** 2 for x in logs) / (n - 1)))
    trust_guess, trust_logs = GUESS_SPREAD**-2, n / scatter**2
    middle = (trust_guess * math.log(GUESS_PER_PA) + sum(logs) / scatter**2) / (trust_guess + trust_logs)
    half = Z90 * math.sqrt(1 / (trust_guess + trust_logs) + scatter**2)
    return LappingRate(math.exp(middle), math.exp(middle - half), math.exp(middle + half), n)


def strokes_for(
    depth_um: float, rate: LappingRate, force_n: float, area_mm2: float, stroke_mm: float, grain_um: float
) -> Strokes:
    """Strokes to take a depth off a face. Raises Invalid unless force, area, stroke and grain are above 0."""
    for name, value in (
        ("force_n", force_n), ("area_mm2", area_mm2), ("stroke_mm", stroke_mm), ("grain_um", grain_um),
    ):  # fmt: skip
        _need(math.isfinite(value) and value > 0, name, "This must be above 0.")
    pressure = force_n / (area_mm2 * 1e-6)
    scale = depth_um * 1e-6 / (pressure * stroke_mm * 1e-3) * (GUESS_GRAIN_UM / grain_um)
    return Strokes(scale / rate.per_pa, scale / rate.high90, scale / rate.low90)


def wear_mm_per_h(thickness_before_mm: float, thickness_after_mm: float, hours: float) -> float:
    """Thickness lost per hour of use. Raises Invalid if the stone has grown or no time has passed."""
    _need(hours > 0, "hours", "The hours of use must be above 0.")
    _need(
        thickness_after_mm <= thickness_before_mm,
        "thickness_after_mm",
        "The stone is thicker than before: measure again, at the same places.",
    )
    return (thickness_before_mm - thickness_after_mm) / hours


def hours_left(thickness_mm: float, least_mm: float, mm_per_h: float) -> float:
    """Hours of use until the stone is down to its least thickness; infinite if it does not wear."""
    if mm_per_h <= 0:
        return math.inf
    return max(0.0, thickness_mm - least_mm) / mm_per_h


def _need(ok: bool, field: str, message: str) -> None:
    if not ok:
        raise Invalid(message, [FieldError(field, message)])
