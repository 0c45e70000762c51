"""How flat a face is: minimum zone, least squares, dish and twist from height readings.

Terms follow ISO 12781: flatness is the distance from the highest peak to the lowest valley, measured from a
reference plane. The minimum zone is the closest pair of parallel planes that hold all readings, so it is
never above the least-squares flatness. Heights are taken along z, which for a stone differs from the true
normal by far less than a reading can tell.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from whetpanel.errors import FieldError, Invalid

from .values import FlatnessValues
from .words import round4

Heights = Sequence[tuple[float, float, float]]

STRAIGHT_RANK = 1e-9

OFF_MM = 5.0
"""A reading may be noted this far off the face, since gauges and straightedges overhang."""


@dataclass(frozen=True)
class Plane:
    """z = a + b·x + c·y, z in µm, x and y in mm."""

    a: float
    b: float
    c: float


@dataclass(frozen=True)
class Form:
    """The large shape of a face over its whole length and width, µm peak to valley; None where readings are
    few.

    ``dish_length_um`` and ``dish_width_um``: how far the ends stand above the middle (negative: crowned).
    ``twist_um``: how far two opposite corners stand above the other two. ``mean_um``: the mean height of the
    fitted surface over the face.
    """

    dish_length_um: float | None
    dish_width_um: float | None
    twist_um: float | None
    mean_um: float


@dataclass(frozen=True)
class Flatness:
    """What the readings say. ``least_squares_um`` and ``form`` are None for a straightedge, which has no
    plane.
    """

    method: str
    flatness_um: float
    least_squares_um: float | None
    form: Form | None
    shape: str
    n_readings: int


def measure_flatness(
    values: FlatnessValues, face: tuple[float, float] | None, field: str = "flatness.readings"
) -> Flatness:
    """Flatness of a face from its readings; ``face`` is its length and width, mm, if known.

    Raises       Invalid if there are too few readings, or they lie in one line, or off the face.
    Notes        straightedge: the flatness is the largest gap, as the feeler-gauge method along the diagonals
                 reads it; gaps count without their sign.
    """
    readings = [(r.x_mm, r.y_mm, r.height_um) for r in values.readings]
    if face is not None:
        for i, (x, y, _) in enumerate(readings):
            if not (-OFF_MM <= x <= face[0] + OFF_MM and -OFF_MM <= y <= face[1] + OFF_MM):
                raise _refuse(
                    f"{field}.{i}", "This reading lies off the face: check its place or the stone's sizes."
                )
    if values.method == "straightedge":
        if len(readings) < 2:
            raise _refuse(
                field, "A straightedge needs gaps at two places at least, one of them in the middle."
            )
        largest = max(abs(z) for _, _, z in readings)
        shape = "uneven" if face is None else _gap_shape(readings, *face)
        return Flatness("straightedge", largest, None, None, "flat" if largest == 0 else shape, len(readings))
    least = least_squares_um(readings, field)
    # Both are exact, so only rounding could put the minimum zone above the least squares.
    flatness = min(minimum_zone_um(readings, field), least)
    form = None if face is None else fit_form(readings, *face)
    shape = "uneven" if form is None else _shape(form, flatness)
    return Flatness("grid", flatness, least, form, "flat" if round4(flatness) <= 0 else shape, len(readings))


def least_squares_um(readings: Heights, field: str = "flatness.readings") -> float:
    """Peak to valley about the least-squares plane, in the unit of the heights. Raises Invalid."""
    plane = least_squares_plane(readings, field)
    residuals = [z - (plane.a + plane.b * x + plane.c * y) for x, y, z in readings]
    return max(residuals) - min(residuals)


def least_squares_plane(readings: Heights, field: str = "flatness.readings") -> Plane:
    """The plane with the least sum of squared distances along z. Raises Invalid."""
    points = _checked(readings, field)
    mean = points.mean(axis=0)
    d = points - mean
    b, c = np.linalg.lstsq(d[:, :2], d[:, 2], rcond=None)[0]
    return Plane(float(mean[2] - b * mean[0] - c * mean[1]), float(b), float(c))


def minimum_zone_um(readings: Heights, field: str = "flatness.readings") -> float:
    """Distance of the closest two parallel planes that hold all readings, in the unit of the heights.

    A linear programme: least t with −t/2 ≤ z − (a + b·x + c·y) ≤ t/2. Raises Invalid.
    """
    return minimum_zone(readings, field)[0]


def minimum_zone(readings: Heights, field: str = "flatness.readings") -> tuple[float, Plane]:
    """The minimum zone and its middle plane."""
    points = _checked(readings, field)
    centre, spread, z0, z_spread = _scales(points)
    u = (points[:, :2] - centre) / spread
    z = (points[:, 2] - z0) / z_spread
    n = len(z)
    design = np.column_stack([np.ones(n), u, np.full(n, 0.5)])
    flipped = np.column_stack([-np.ones(n), -u, np.full(n, 0.5)])
    answer = linprog(
        c=[0, 0, 0, 1],
        A_ub=-np.vstack([design, flipped]),
        b_ub=np.concatenate([-z, z]),
        bounds=[(None, None)] * 3 + [(0, None)],
        method="highs",
    )
    if answer.x is None:
        raise ArithmeticError(f"the flatness programme found no answer: {answer.message}")
    a, b, c = answer.x[:3]
    # Taken from the plane again rather than from the programme's own tolerance-bound objective.
    residual = z - (a + u @ np.array([b, c]))
    zone = float((residual.max() - residual.min()) * z_spread)
    b_mm, c_mm = b * z_spread / spread[0], c * z_spread / spread[1]
    a_mm = z0 + a * z_spread - b_mm * centre[0] - c_mm * centre[1]
    return zone, Plane(float(a_mm), float(b_mm), float(c_mm))


@dataclass(frozen=True)
class Straightness:
    """Straightness of one profile about three references, in the unit of its heights."""

    minimum_zone: float
    least_squares: float
    ends: float


def measure_straightness(profile: Sequence[tuple[float, float]], field: str = "profile") -> Straightness:
    """How straight a profile (place, height) is. Raises Invalid below three readings or without any length.

    The minimum zone of a profile has a side along an edge of its convex hull, so all pairs of readings are
    tried.
    """
    points = np.array([tuple(p) for p in profile], dtype=float).reshape(-1, 2)
    if len(points) < 3 or not np.isfinite(points).all() or np.ptp(points[:, 0]) == 0:
        raise _refuse(field, "A profile needs three finite readings at least, at different places.")
    x, z = points[:, 0], points[:, 1]
    i, j = np.triu_indices(len(points), 1)
    apart = x[i] != x[j]
    slopes = (z[j] - z[i])[apart] / (x[j] - x[i])[apart]
    zone = float(np.ptp(z - slopes[:, None] * x, axis=1).min())
    fitted = np.polyfit(x - x.mean(), z, 1)[0]
    first, last = int(x.argmin()), int(x.argmax())
    ends = (z[last] - z[first]) / (x[last] - x[first])
    return Straightness(
        minimum_zone=zone,
        least_squares=float(np.ptp(z - fitted * x)),
        ends=float(np.ptp(z - ends * x)),
    )


def dish_radius_mm(span_mm: float, sag_mm: float) -> float:
    """Radius of a hollow from its sag over a span: span²/(8·sag) + sag/2. Raises Invalid unless both exceed
    0.
    """
    if not (span_mm > 0 and sag_mm > 0):
        raise _refuse("sag_mm", "The span and the sag must be above 0; a flat face has no radius.")
    return span_mm * span_mm / (8 * sag_mm) + sag_mm / 2


def fit_form(readings: Heights, length_mm: float, width_mm: float) -> Form:
    """Dish along both ways and twist, by least squares, with as many terms as the readings can bear.

    With u and v from −1 to 1 across the face: z = c0 + c1·u + c2·v + c3·u·v + c4·u² + c5·v². Where the
    readings cannot tell all six apart the two dishes are left out, then the twist.
    """
    points = np.array(readings, dtype=float)
    u, v = 2 * points[:, 0] / length_mm - 1, 2 * points[:, 1] / width_mm - 1
    columns = [np.ones_like(u), u, v, u * v, u * u, v * v]
    for n_terms in (6, 4):
        design = np.column_stack(columns[:n_terms])
        if len(points) >= n_terms and _well_spread(design):
            c = np.linalg.lstsq(design, points[:, 2], rcond=None)[0]
            if n_terms == 6:
                return Form(float(c[4]), float(c[5]), float(2 * c[3]), float(c[0] + c[4] / 3 + c[5] / 3))
            return Form(None, None, float(2 * c[3]), float(c[0]))
    design = np.column_stack(columns[:3])
    c = np.linalg.lstsq(design, points[:, 2], rcond=None)[0]
    return Form(None, None, None, float(c[0]))


def _well_spread(design: NDArray[np.float64]) -> bool:
    """Whether the columns can be told apart, by the pivots of elimination on the normal equations.

    The phone eliminates in the same way, so both choose the same terms.
    """
    m = design.T @ design / len(design)
    n = len(m)
    for k in range(n):
        p = k + int(np.argmax(np.abs(m[k:, k])))
        if abs(m[p, k]) < 1e-6:
            return False
        m[[k, p]] = m[[p, k]]
        m[k + 1 :] -= np.outer(m[k + 1 :, k] / m[k, k], m[k])
    return True


def _shape(form: Form, flatness_um: float) -> str:
    """The word for the largest part of the form: hollow, crowned, twisted, or uneven if none explains
    much.
    """
    # Rounded, so that a last bit cannot choose another word on the phone than on the server.
    along, across, twist = form.dish_length_um or 0.0, form.dish_width_um or 0.0, form.twist_um or 0.0
    size, word = max(
        (round4(abs(along)), "hollow" if along > 0 else "crowned"),
        (round4(abs(across)), "hollow" if across > 0 else "crowned"),
        (round4(abs(twist)), "twisted"),
        key=lambda part: part[0],
    )
    return word if size >= round4(0.5 * flatness_um) else "uneven"


def _gap_shape(readings: Heights, length_mm: float, width_mm: float) -> str:
    """The gap is widest in the middle of a hollow face, and towards the ends of a crowned one."""
    gaps = [(abs(z), _outwardness(x, y, length_mm, width_mm)) for x, y, z in readings]
    inner = max((gap for gap, out in gaps if out <= 0.5), default=0.0)
    outer = max((gap for gap, out in gaps if out > 0.5), default=0.0)
    return "hollow" if inner >= outer else "crowned"


def _outwardness(x: float, y: float, length_mm: float, width_mm: float) -> float:
    """0 in the middle of the face, 1 at its edges."""
    return max(abs(2 * x / length_mm - 1), abs(2 * y / width_mm - 1))


def _scales(
    points: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64], float, float]:
    centre = points[:, :2].mean(axis=0)
    spread = np.abs(points[:, :2] - centre).max(axis=0)
    spread[spread == 0] = 1
    z0 = float(points[:, 2].mean())
    z_spread = float(np.abs(points[:, 2] - z0).max()) or 1.0
    return centre, spread, z0, z_spread


def _checked(readings: Heights, field: str) -> NDArray[np.float64]:
    points = np.array([tuple(r) for r in readings], dtype=float).reshape(-1, 3)
    if len(points) < 4:
        raise _refuse(field, "Flatness needs four readings at least, better nine on a grid.")
    if not np.isfinite(points).all():
        raise _refuse(field, "Every reading needs finite numbers.")
    d = points[:, :2] - points[:, :2].mean(axis=0)
    sxx, syy, sxy = float(d[:, 0] @ d[:, 0]), float(d[:, 1] @ d[:, 1]), float(d[:, 0] @ d[:, 1])
    if sxx * syy - sxy * sxy <= STRAIGHT_RANK * (sxx + syy) ** 2:
        raise _refuse(field, "All readings lie in one line: take some to the left and right of it too.")
    return points


def _refuse(field: str, message: str) -> Invalid:
    return Invalid(message, [FieldError(field, message)])
