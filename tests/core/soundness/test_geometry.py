"""Lengths, angles, corner pieces and the photo's perspective."""

import math

import pytest

from whetpanel.core.soundness.geometry import (
    dip_deg,
    edge_prism_mm3,
    face_from_corners,
    measure_outline,
    measure_trace,
    piece_volume_mm3,
    place,
    tetrahedron_mm3,
    to_face,
)
from whetpanel.core.soundness.usable import Obstacle, usable_face
from whetpanel.errors import Invalid

FACE = (205.0, 75.0)


def trace(*points, face=FACE):
    return measure_trace(place(points, *face), *face)


def test_dip_from_rise_and_run():
    """arctan(18/52) = 19.0935°, arctan(3/70) = 2.4540° (trigonometry)."""
    assert dip_deg(18, 52) == pytest.approx(19.0935, abs=5e-5)
    assert dip_deg(3, 70) == pytest.approx(2.4540, abs=5e-5)


def test_corner_chip_is_a_tetrahedron_and_edge_chip_a_prism():
    """V = abc/6: legs 10, 8, 6 mm make 80 mm³; ½·10·6·25 = 750 mm³ (solid geometry)."""
    assert tetrahedron_mm3(10, 8, 6) == pytest.approx(80)
    assert edge_prism_mm3(10, 6, 25) == pytest.approx(750)
    assert piece_volume_mm3(10 * 8 / 2, "corner", 6, 25) == pytest.approx(tetrahedron_mm3(10, 8, 6))
    assert piece_volume_mm3(10 * 25, "one_edge", 6, 25) == pytest.approx(edge_prism_mm3(10, 6, 25))


def test_a_piece_of_unknown_depth_is_taken_as_going_through():
    assert piece_volume_mm3(300, "corner", None, 25) == 7500
    assert piece_volume_mm3(300, "corner", 30, 25) == 7500


def test_a_straight_trace_across_a_corner():
    """Legs 20 and 30: hypotenuse √1300, area ½·20·30, height over it 600/√1300, angle arctan(20/30)."""
    t = trace((0, 20), (30, 0))

    assert t.reach == "corner"
    assert t.length_mm == pytest.approx(math.sqrt(1300))
    assert t.corner_distance_mm == pytest.approx(600 / math.sqrt(1300))
    assert t.angle_deg == pytest.approx(math.degrees(math.atan2(20, 30)))
    assert (t.piece.leg_long_mm, t.piece.leg_short_mm, t.piece.area_mm2) == pytest.approx((30, 20, 300))


def test_the_way_a_trace_is_drawn_does_not_matter():
    points = [(205, 50), (195, 62), (180, 75)]

    assert trace(*points) == trace(*reversed(points))


def test_a_bent_corner_piece_has_the_area_between_bend_and_corner():
    """Corner (0, 0), edge points (0, 20) and (30, 0), bend at (20, 15): two triangles from the corner."""
    # Triangle (0,0),(20,15),(0,20): ½·20·20 = 200; triangle (0,0),(30,0),(20,15): ½·30·15 = 225.
    assert trace((0, 20), (20, 15), (30, 0)).piece.area_mm2 == pytest.approx(200 + 225)


@pytest.mark.parametrize(
    ("points", "reach"),
    [
        (((50, 30), (60, 30)), "inside"),
        (((50, 30), (60, 0)), "one_edge"),
        (((50, 0), (60, 0.4)), "one_edge"),
        (((0, 0), (20, 20)), "one_edge"),
        (((0, 20), (30, 0)), "corner"),
        (((0, 1), (205, 1)), "one_edge"),
        (((50, 0), (60, 75)), "opposite_edges"),
        (((0, 30), (205, 30)), "opposite_edges"),
        (((0, 20), (60, 0), (205, 30)), "opposite_edges"),
    ],
)
def test_reach(points, reach):
    """What a trace touches, within the 1.5 mm of a fingertip."""
    assert reach == trace(*points).reach


def test_the_angle_is_to_the_near_edge_not_to_a_far_one():
    """8 mm from the near edge and parallel to the ends: 90° to the edge it is near, whatever the ends say."""
    assert trace((100, 8), (100, 30)).angle_deg == pytest.approx(90)
    assert trace((195, 20), (195, 50)).angle_deg == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("points", "field"),
    [
        ([], "points"),
        ([(10, 10), (10, 10)], "points"),
        ([(10, 10), (10, 80)], "points.1"),
        ([(float("nan"), 10), (10, 20)], "points.0"),
    ],
)
def test_what_cannot_be_measured_is_refused(points, field):
    with pytest.raises(Invalid) as refused:
        trace(*points)

    assert [field] == [e.field for e in refused.value.errors]


def test_an_outline_that_crosses_itself_is_refused():
    with pytest.raises(Invalid, match="crosses itself"):
        measure_outline(((10, 10), (30, 30), (30, 10), (10, 30)), *FACE)


def test_an_outlines_area():
    """A 3-4-5 triangle has 6 mm² and is 5 mm wide."""
    spot = measure_outline(((50, 30), (53, 30), (53, 34)), *FACE)

    assert (spot.area_mm2, spot.size_mm) == pytest.approx((6, 5))


class TestPhoto:
    """The perspective map against a camera with known pose: a second, independent way to the same points."""

    @staticmethod
    def camera(tilt_deg, turn_deg, away_mm, focal_px=1500.0):
        """A pinhole camera over the middle of the face, turned about the vertical, then tilted."""
        tilt, turn = math.radians(tilt_deg), math.radians(turn_deg)

        def see(x, y):
            x, y = x - FACE[0] / 2, y - FACE[1] / 2
            x, y = x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
            depth = away_mm + y * math.sin(tilt)
            return (800 + focal_px * x / depth, 600 + focal_px * y * math.cos(tilt) / depth)

        return see

    @pytest.mark.parametrize("tilt", [0, 20, 45, 60])
    @pytest.mark.parametrize("turn", [0, 33, 180, 271])
    def test_a_pinhole_picture_is_undone(self, tilt, turn):
        see = self.camera(tilt, turn, away_mm=400)
        corners = [see(0, 0), see(FACE[0], 0), see(*FACE), see(0, FACE[1])]
        face = face_from_corners(corners, *FACE)

        for x, y in [(0, 0), (205, 75), (102.5, 37.5), (31, 7), (180, 70)]:
            assert to_face(face, see(x, y)) == pytest.approx((x, y), abs=1e-8)

    def test_crossed_corners_are_refused(self):
        with pytest.raises(Invalid, match="cross"):
            face_from_corners([(0, 0), (200, 75), (200, 0), (0, 75)], *FACE)

    def test_beyond_the_horizon_is_refused(self):
        see = self.camera(60, 0, away_mm=250)
        corners = [see(0, 0), see(FACE[0], 0), see(*FACE), see(0, FACE[1])]

        with pytest.raises(Invalid, match="horizon"):
            to_face(face_from_corners(corners, *FACE), (800, 3000))


class TestUsableFace:
    """The largest clear rectangle against the closed form for a cut corner and against brute force."""

    @staticmethod
    def best_beside_a_corner(a, b):
        """Largest (L − x)(W − y) with x/a + y/b = 1: the parabola's top, or the better end."""
        L, W = FACE
        x = (L * b / a - (W - b)) / (2 * b / a)
        candidates = [min(max(x, 0), a), 0, a]
        return max((L - x) * (W - b + b * x / a) for x in candidates)

    @pytest.mark.parametrize(("a", "b"), [(30, 20), (180, 60), (12, 70), (200, 30), (150, 74)])
    def test_a_corner_cut_off(self, a, b):
        """Never more than the exact answer, and less by no more than two cells along each side."""
        exact = self.best_beside_a_corner(a, b)
        found = usable_face(*FACE, [Obstacle(((0, b), (a, 0)))])

        assert exact - 2 * 0.5 * (FACE[0] + FACE[1]) <= found.area_mm2 <= exact + 1e-6

    def test_all_of_it_when_nothing_is_in_the_way(self):
        assert usable_face(*FACE, []).share_percent == 100

    def test_nothing_left(self):
        everything = Obstacle(((0, 0), (205, 0), (205, 75), (0, 75)), closed=True)

        assert usable_face(*FACE, [everything]) is None

    def test_brute_force_on_a_small_face(self):
        """On a 12 × 8 mm face all rectangles of half-millimetre cells are tried one by one."""
        spots = [(3.25, 2.25), (8.25, 5.75), (6.25, 1.25)]
        taken = {(int(x / 0.5), int(y / 0.5)) for x, y in spots}
        best = max(
            (i1 - i0) * (j1 - j0)
            for i0 in range(24)
            for i1 in range(i0 + 1, 25)
            for j0 in range(16)
            for j1 in range(j0 + 1, 17)
            if not any(i0 <= i < i1 and j0 <= j < j1 for i, j in taken)
        )
        found = usable_face(12, 8, [Obstacle((spot,), radius_mm=0.1) for spot in spots])

        assert best * 0.25 == pytest.approx(found.area_mm2)
