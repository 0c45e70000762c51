"""Lapping: how much stone must go to make a face flat, what is left, and with which grits."""

from dataclasses import dataclass

from whetpanel.errors import FieldError, Invalid

from .flatness import Flatness, Heights, Plane, fit_form, least_squares_plane
from .grit import Grain, grain
from .values import FlatnessValues

STRAIGHTEDGE_SHARE = {"hollow": 1 / 3, "crowned": 2 / 3, "flat": 0.0}
"""Share of area × flatness to remove from a face bent one way only (a parabolic cylinder)."""


@dataclass(frozen=True)
class GritStep:
    """One step of a lapping: the grit and how deep it should take the face, µm."""

    grain: Grain
    remove_um: float


@dataclass(frozen=True)
class LappingPlan:
    """What making the face flat costs: depth at the highest place, volume and mass, the grits in turn, and
    what thickness is left at the highest place after all of them.

    ``basis`` tells whether the volume comes from a fitted surface or from a straightedge's single gap.
    """

    stock_um: float
    stock_mm3: float
    stock_g: float | None
    thickness_after_mm: float | None
    basis: str
    grits: tuple[GritStep, ...]


def plan_lapping(
    values: FlatnessValues,
    flatness: Flatness,
    face: tuple[float, float],
    thickness_mm: float | None,
    density_g_cm3: float | None,
) -> LappingPlan:
    """Stock to remove until the lowest place is reached, with the lap lying as the face lies on average.

    Notes        grid: the plane is the least-squares one, lowered to the lowest reading; the volume above it
                 is that of the fitted surface. straightedge: the face is taken as bent along one way only.
    """
    area = face[0] * face[1]
    if values.method == "straightedge":
        depth_um = flatness.flatness_um
        volume = area * depth_um / 1000 * STRAIGHTEDGE_SHARE[flatness.shape]
        basis = "straightedge"
    else:
        readings = [(r.x_mm, r.y_mm, r.height_um) for r in values.readings]
        depth_um, mean_um = _above_the_lowest(readings, least_squares_plane(readings), face)
        volume = area * mean_um / 1000
        basis = "surface"
    mass = None if density_g_cm3 is None else volume * density_g_cm3 / 1000
    grits = grit_steps(depth_um)
    left = None if thickness_mm is None else thickness_mm - sum(step.remove_um for step in grits) / 1000
    return LappingPlan(depth_um, volume, mass, left, basis, grits)


def _above_the_lowest(readings: Heights, plane: Plane, face: tuple[float, float]) -> tuple[float, float]:
    """Greatest and mean height over the lowered plane, µm; the mean never beyond the greatest or below 0."""
    heights = [z - (plane.a + plane.b * x + plane.c * y) for x, y, z in readings]
    lowest, highest = min(heights), max(heights)
    centre = plane.a + plane.b * face[0] / 2 + plane.c * face[1] / 2
    mean = fit_form(readings, *face).mean_um - centre - lowest
    return highest - lowest, min(max(mean, 0.0), highest - lowest)


START_SHARE = 0.5
"""The first grit's grain is at least this share of the stock, so that it cuts through in reasonable time."""

CLEAR_SHARE = 0.5
"""Each grit goes this share of the grain before it deep, which clears the scratches that one left."""

STEP_SHARE = 0.6
"""From one grit to the next the grain falls to this share or below, where the table allows."""

LAPPING_GRADES = (120, 150, 180, 220, 240, 280, 320, 400, 500, 600, 800, 1000, 1200, 1500, 2000, 2500)
"""Grades P to lap with: coarser ones tear natural stone."""


def grit_steps(stock_um: float, finish: int = 1000) -> tuple[GritStep, ...]:
    """A sequence of wet lapping grits (FEPA P) from the stock down to a finish grade.

    Notes        Common practice, no source. Each later step clears the scratches of the one before it; the
                 first takes the rest of the stock.
    Raises       Invalid for a stock below 0 or a finish that is not among LAPPING_GRADES.
    """
    if finish not in LAPPING_GRADES:
        raise _refuse("finish", f"Finish at one of P {', '.join(map(str, LAPPING_GRADES))}.")
    if not 0 <= stock_um < 1e5:
        raise _refuse("stock_um", "The stock must be 0 or more, and below 100 mm.")
    grains = [grain("fepa_p", number) for number in LAPPING_GRADES if number <= finish]
    chosen = [next((g for g in reversed(grains) if g.um >= START_SHARE * stock_um), grains[0])]
    while chosen[-1] is not grains[-1]:
        finer = grains[grains.index(chosen[-1]) + 1 :]
        chosen.append(next((g for g in finer if g.um <= STEP_SHARE * chosen[-1].um), finer[-1]))
    later = [CLEAR_SHARE * before.um for before in chosen[:-1]]
    first = max(stock_um - sum(later), min(stock_um, CLEAR_SHARE * chosen[0].um))
    return tuple(GritStep(g, depth) for g, depth in zip(chosen, [first, *later], strict=True))


def _refuse(field: str, message: str) -> Invalid:
    return Invalid(message, [FieldError(field, message)])
