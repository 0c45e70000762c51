"""What must hold for every stone: a photo's pose does not matter, and worse is never judged milder."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.core.soundness.strategies import faces, probes

from whetpanel.core.soundness import FindingValues, InspectionValues, StoneShape, assess
from whetpanel.core.soundness.geometry import face_from_corners, place, to_face
from whetpanel.core.soundness.rules import urgency_rank

FRACTION = st.integers(0, 1000).map(lambda n: n / 1000)


def assessed(kind, points, face, answers):
    finding = FindingValues(id="f", kind=kind, points=tuple(points), **answers)
    stone = StoneShape(*face, thickness_mm=25.0, mass_g=900.0, kind="slate")
    return assess(stone, InspectionValues(findings=(finding,)))


def rank(kind, points, face, answers):
    """How strict the strictest verdict on the finding is."""
    found = assessed(kind, points, face, answers)
    return max((urgency_rank(v.urgency) for v in found.verdicts if v.finding_id), default=0)


@st.composite
def poses(draw):
    """A photo's pose: moved, turned, scaled, and seen at a slant (the last two numbers)."""
    return (
        draw(st.floats(-500, 500)), draw(st.floats(-500, 500)), draw(st.floats(0, 2 * math.pi)),
        draw(st.floats(2, 20)), draw(st.floats(-0.0008, 0.0008)), draw(st.floats(-0.0008, 0.0008)),
    )  # fmt: skip


def pictured(pose, x, y):
    move_x, move_y, turn, scale, slant_x, slant_y = pose
    w = 1 + slant_x * x + slant_y * y
    u, v = scale * x / w, scale * y / w
    return (
        move_x + u * math.cos(turn) - v * math.sin(turn),
        move_y + u * math.sin(turn) + v * math.cos(turn),
    )


@given(faces(), st.lists(st.tuples(FRACTION, FRACTION), min_size=2, max_size=6, unique=True), poses())
@settings(deadline=None)
def test_moving_turning_scaling_and_slanting_the_photo_changes_no_fact(face, fractions, pose):
    length, width = face
    points = [(a * length, b * width) for a, b in fractions]
    corners = [pictured(pose, *corner) for corner in ((0, 0), (length, 0), (length, width), (0, width))]
    seen = face_from_corners(corners, length, width)
    back = [to_face(seen, pictured(pose, *point)) for point in points]

    for one, other in zip(points, back, strict=True):
        assert one == pytest.approx(other, abs=1e-6)
    # Places are kept to 0.0001 mm, so a last bit of perspective cannot tip a fact over a limit.
    kept, kept_back = place(points, *face), place(back, *face)
    assume(kept == kept_back)
    assert assessed("fissure", points, face, {}).findings == assessed("fissure", back, face, {}).findings


@given(
    faces(), FRACTION, FRACTION, st.floats(0, 2 * math.pi), st.floats(1, 80), st.floats(0.1, 200), probes()
)
@settings(deadline=None, max_examples=300)
def test_a_longer_fissure_is_never_judged_milder(face, a, b, way, length, more, answers):
    """The fissure is drawn out further in its own direction, as far as the face reaches."""
    start = (a * face[0], b * face[1])
    reach = _reach(start, way, face)
    assume(reach > 1)
    short, long = min(length, reach), min(length + more, reach)
    step = (math.cos(way), math.sin(way))
    end = [(start[0] + r * step[0], start[1] + r * step[1]) for r in (short, long)]

    assert rank("fissure", [start, end[0]], face, answers) <= rank("fissure", [start, end[1]], face, answers)


def _reach(start, way, face):
    """How far one can go from a place in a direction before the face ends."""
    reaches = [math.inf]
    for at, step, size in zip(start, (math.cos(way), math.sin(way)), face, strict=True):
        if step > 1e-12:
            reaches.append((size - at) / step)
        elif step < -1e-12:
            reaches.append(-at / step)
    return min(reaches)


@given(faces(), FRACTION, FRACTION, FRACTION, FRACTION, FRACTION, probes())
@settings(deadline=None, max_examples=300)
def test_a_fissure_nearer_its_corner_is_never_judged_milder(face, a, b, c, d, nearer, answers):
    """The fissure lies in one corner's quarter of the face and is moved straight towards that corner."""
    points = [(a * face[0] / 2, b * face[1] / 2), (c * face[0] / 2, d * face[1] / 2)]
    assume(math.dist(*points) > 1)
    low_x, low_y = min(p[0] for p in points), min(p[1] for p in points)
    moved = [(x - nearer * low_x, y - nearer * low_y) for x, y in points]

    assert rank("fissure", points, face, answers) <= rank("fissure", moved, face, answers)


@given(faces(), st.sampled_from(["inclusion", "soft_spot", "chip", "line"]), FRACTION, FRACTION, probes())
@settings(deadline=None)
def test_a_larger_spot_is_never_judged_milder(face, kind, a, b, answers):
    at = [(a * face[0], b * face[1])]
    small, large = answers | {"size_mm": 2.0}, answers | {"size_mm": 25.0}

    assert rank(kind, at, face, small) <= rank(kind, at, face, large)


@given(
    faces(),
    FRACTION,
    FRACTION,
    FRACTION,
    FRACTION,
    st.sampled_from(["fissure", "inclusion", "line"]),
    probes(),
)
@settings(deadline=None, max_examples=200)
def test_bad_news_from_a_probe_is_never_judged_milder(face, a, b, c, d, kind, answers):
    """A probe that answers yes instead of no (catches, scratches, moves) makes the verdict no milder."""
    points = [(a * face[0], b * face[1]), (c * face[0], d * face[1])]
    assume(math.dist(*points) > 1)
    for name in ("catches_nail", "catches_edge", "scratches_finish", "moves_when_pressed"):
        good, bad = answers | {name: False}, answers | {name: True}

        assert rank(kind, points, face, good) <= rank(kind, points, face, bad), name


@given(faces(), FRACTION, FRACTION, FRACTION, FRACTION)
@settings(deadline=None)
def test_mirroring_the_stone_changes_no_verdict(face, a, b, c, d):
    """Which corner is the origin is only a matter of how one holds the stone."""
    points = [(a * face[0], b * face[1]), (c * face[0], d * face[1])]
    assume(math.dist(*points) > 1)
    turned = [(face[0] - x, face[1] - y) for x, y in points]

    one, other = assessed("fissure", points, face, {}), assessed("fissure", turned, face, {})
    assert [v.rule_id for v in one.verdicts] == [v.rule_id for v in other.verdicts]
