"""Flatness, straightness and form against printed values, a second method and algebra."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.core.published import rows

from whetpanel.core.soundness import FlatnessReading, FlatnessValues
from whetpanel.core.soundness.flatness import (
    dish_radius_mm,
    fit_form,
    least_squares_um,
    measure_flatness,
    measure_straightness,
    minimum_zone,
    minimum_zone_um,
)
from whetpanel.errors import Invalid

FACE = (205.0, 75.0)

SOLVER_UM = 2e-4
"""The solver's own tolerance is 1e-7 of the largest height; here heights reach 1300 µm."""


def published(name):
    return [
        (float(r["x_mm"]), float(r["y_mm"]), float(r["z"]))
        for r in rows("flatness_points")
        if r["set"] == name
    ]


@pytest.mark.parametrize(
    ("name", "least", "zone", "places"),
    [("five_mm", 0.072097, 0.067262, 6), ("grid3x3_um", 9.0, 9.0, 6), ("twist_um", 40.0, 40.0, 6)],
)
def test_worked_sets(name, least, zone, places):
    """Least squares and minimum zone as general libraries gave them (tests/data/SOURCES.md)."""
    assert least == pytest.approx(least_squares_um(published(name)), abs=10**-places)
    assert zone == pytest.approx(minimum_zone_um(published(name)), abs=10**-places)


def test_minimum_zone_is_the_width_of_the_hull_from_above():
    """A second method: the best planes touch 3 + 1 or 2 + 2 readings, so all such planes are tried."""
    rng = np.random.default_rng(5)
    for _ in range(20):
        points = np.column_stack([rng.uniform(0, 200, 9), rng.uniform(0, 70, 9), rng.uniform(-20, 20, 9)])

        assert _zone_by_trying(points) == pytest.approx(minimum_zone_um(points.tolist()), rel=1e-9)


def _zone_by_trying(points):
    n = len(points)
    normals = []
    for i in range(n):
        for j in range(i + 1, n):
            for k in range(j + 1, n):
                normals.append(np.cross(points[j] - points[i], points[k] - points[i]))
            for k in range(n):
                for m in range(k + 1, n):
                    if len({i, j, k, m}) == 4:
                        normals.append(np.cross(points[j] - points[i], points[m] - points[k]))
    best = np.inf
    for normal in normals:
        if abs(normal[2]) > 1e-9:
            heights = points @ (normal / normal[2])
            best = min(best, np.ptp(heights))
    return best


def test_straightness_of_a_profile():
    """Least squares 9.6667, minimum zone 9.5, end to end 9.5 µm (computed apart with a general library)."""
    heights = (0, -3, -5, -8, -9, -7, -4, -2, 1)
    s = measure_straightness([(25.0 * i, float(z)) for i, z in enumerate(heights)])

    assert s.least_squares == pytest.approx(9.6667, abs=5e-5)
    assert s.minimum_zone == pytest.approx(9.5)
    assert s.ends == pytest.approx(9.5)


def test_dish_radius():
    """R = L²/(8h) + h/2: 200 mm and 0.04 mm make 125 m (circle geometry)."""
    assert dish_radius_mm(200, 0.04) / 1000 == pytest.approx(125.000, abs=5e-4)


def test_form_of_known_surfaces():
    """A parabola, a saddle and a tilt come back as they were put in; the mean of u² over the face is 1/3."""
    readings = [
        (x, y, 120 * u * u - 30 * v * v + 20 * u * v + 7 * u + 3)
        for x in np.linspace(0, 205, 5)
        for y in np.linspace(0, 75, 4)
        for u, v in [(2 * x / 205 - 1, 2 * y / 75 - 1)]
    ]
    form = fit_form(readings, *FACE)

    assert (form.dish_length_um, form.dish_width_um, form.twist_um) == pytest.approx((120, -30, 40))
    assert form.mean_um == pytest.approx(120 / 3 - 30 / 3 + 3)


def test_four_corners_tell_the_twist_but_no_dish():
    form = fit_form([(0, 0, 20), (205, 0, -20), (0, 75, -20), (205, 75, 20)], *FACE)

    assert form.twist_um == pytest.approx(40)
    assert form.dish_length_um is None


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ([(0, 0, 1), (1, 0, 2), (0, 1, 1)], "four readings"),
        ([(x, 2 * x, 1) for x in range(6)], "one line"),
        ([(0, 0, 1), (1, 0, float("nan")), (0, 1, 1), (1, 1, 1)], "finite"),
    ],
)
def test_readings_that_tell_nothing_are_refused(readings, words):
    with pytest.raises(Invalid, match=words):
        minimum_zone_um(readings)


def test_a_straightedge_reads_its_largest_gap_whatever_the_sign():
    """The feeler-gauge method: the largest gap along the diagonals is the flatness."""
    for sign in (1, -1):
        readings = tuple(
            FlatnessReading(x, y, sign * z) for x, y, z in [(5, 5, 0), (102.5, 37.5, 80), (200, 70, 10)]
        )
        flatness = measure_flatness(FlatnessValues("straightedge", readings), FACE)

        assert (flatness.flatness_um, flatness.shape) == (80, "hollow")


heights = st.integers(-500, 500).map(lambda n: n / 10)
places = st.tuples(st.integers(0, 41).map(lambda n: n * 5.0), st.integers(0, 15).map(lambda n: n * 5.0))


@st.composite
def grids(draw):
    """Four readings or more, not all in one line."""
    spots = draw(st.lists(places, min_size=4, max_size=14, unique=True))
    at = np.array(spots) - np.mean(spots, axis=0)
    if np.linalg.matrix_rank(at, tol=1.0) < 2:
        spots += [(0.0, 0.0), (205.0, 0.0), (0.0, 75.0)]
    return [(x, y, draw(heights)) for x, y in dict.fromkeys(spots)]


@given(grids())
@settings(deadline=None)
def test_the_minimum_zone_is_never_above_least_squares(readings):
    assert minimum_zone_um(readings) <= least_squares_um(readings) + SOLVER_UM


@given(grids(), st.floats(-1, 1), st.floats(-1, 1), st.floats(-1000, 1000))
@settings(deadline=None)
def test_tilting_and_lifting_the_gauge_changes_nothing(readings, b, c, a):
    tilted = [(x, y, z + a + b * x + c * y) for x, y, z in readings]

    assert minimum_zone_um(readings) == pytest.approx(minimum_zone_um(tilted), abs=SOLVER_UM)
    assert least_squares_um(readings) == pytest.approx(least_squares_um(tilted), abs=1e-6)


@given(grids())
@settings(deadline=None)
def test_all_readings_lie_between_the_two_planes(readings):
    zone, plane = minimum_zone(readings)

    over = [z - (plane.a + plane.b * x + plane.c * y) for x, y, z in readings]
    assert max(over) - min(over) == pytest.approx(zone, abs=1e-6)
