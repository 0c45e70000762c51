"""Lapping: how much stone must go to make a face flat, and what is left."""

from dataclasses import dataclass

from .flatness import Flatness, Heights, Plane, fit_form, least_squares_plane
from .values import FlatnessValues

STRAIGHTEDGE_SHARE = {"hollow": 1 / 3, "crowned": 2 / 3, "flat": 0.0}
"""Share of area × flatness to remove from a face bent one way only (a parabolic cylinder)."""


@dataclass(frozen=True)
class LappingPlan:
    """What making the face flat costs: depth at the highest place, volume, mass, and the thickness left
    there.

    ``basis`` tells whether the volume comes from a fitted surface or from a straightedge's single gap.
    """

    stock_um: float
    stock_mm3: float
    stock_g: float | None
    thickness_after_mm: float | None
    basis: str


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
    left = None if thickness_mm is None else thickness_mm - depth_um / 1000
    return LappingPlan(depth_um, volume, mass, left, basis)


def _above_the_lowest(readings: Heights, plane: Plane, face: tuple[float, float]) -> tuple[float, float]:
    """Greatest and mean height over the lowered plane, µm; the mean never beyond the greatest or below 0."""
    heights = [z - (plane.a + plane.b * x + plane.c * y) for x, y, z in readings]
    lowest, highest = min(heights), max(heights)
    centre = plane.a + plane.b * face[0] / 2 + plane.c * face[1] / 2
    mean = fit_form(readings, *face).mean_um - centre - lowest
    return highest - lowest, min(max(mean, 0.0), highest - lowest)
