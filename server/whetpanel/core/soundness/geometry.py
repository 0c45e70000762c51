"""Places, traces and pieces on a stone's face. Pure; the phone has its twin.

The face is a rectangle with its origin in one corner, x along the length and y along the width, in mm. A
photo is tied to it by four tapped corners. Whatever cannot be computed honestly is refused with the reason.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from whetpanel.errors import FieldError, Invalid

from .values import Point
from .words import round4

TOUCH_MM = 1.5
"""A tap this near an edge counts as on it: about what a fingertip on a photo can tell apart."""

NEAR_MM = 10.0
"""Edges this near a trace are those its angle is taken to."""

Matrix = tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]


def _refuse(field: str, message: str) -> Invalid:
    return Invalid(message, [FieldError(field, message)])


# -- the photo
# ---------------------------------------------------------------------------------------------------


def face_from_corners(corners: Sequence[Point], length_mm: float, width_mm: float) -> Matrix:
    """The perspective map (3 × 3 homography) from photo pixels to mm on the face.

    Parameters   corners: four photo points in turn round the face, px: the origin corner, the corner at the
                 other end of the length, the opposite corner, the corner at the other end of the width.
    Raises       Invalid if the corners cross, coincide, lie in one line or make a dent.
    References   the unit-square-to-quadrilateral form: P. Heckbert, Fundamentals of Texture Mapping and Image
                 Warping, 1989, section 2.2.3.
    """
    if not (length_mm > 0 and width_mm > 0 and math.isfinite(length_mm) and math.isfinite(width_mm)):
        raise _refuse("length_mm", "The face needs a length and a width above 0 mm.")
    if len(corners) != 4:
        raise _refuse("corners", "Tap exactly four corners.")
    if not all(math.isfinite(c) for p in corners for c in p):
        raise _refuse("corners", "Every corner needs finite coordinates.")
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    scale = max(math.dist(p, q) for p in corners for q in corners)
    turns = []
    for i in range(4):
        here, there, beyond = corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]
        turns.append(_turn(here, there, beyond))
    if scale == 0 or any(abs(t) <= 1e-6 * scale * scale for t in turns):
        raise _refuse("corners", "Two corners coincide or three lie in one line: tap the four corners again.")
    if any((t > 0) != (turns[0] > 0) for t in turns):
        raise _refuse("corners", "The corners cross: tap them in turn round the face.")
    sx, sy = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    dx1, dx2, dy1, dy2 = x1 - x2, x3 - x2, y1 - y2, y3 - y2
    den = dx1 * dy2 - dx2 * dy1
    g = (sx * dy2 - dx2 * sy) / den
    h = (dx1 * sy - sx * dy1) / den
    to_photo = (
        (x1 - x0 + g * x1, x3 - x0 + h * x3, x0),
        (y1 - y0 + g * y1, y3 - y0 + h * y3, y0),
        (g, h, 1.0),
    )
    ((a, b, c), (d, e, f), (p, q, r)) = to_photo
    # The adjugate inverts a homography up to scale, and scale does not matter to it.
    inverse = (
        (e * r - f * q, c * q - b * r, b * f - c * e),
        (f * p - d * r, a * r - c * p, c * d - a * f),
        (d * q - e * p, b * p - a * q, a * e - b * d),
    )
    # Dividing by the origin corner's depth makes the depth positive over the whole face.
    depth = inverse[2][0] * x0 + inverse[2][1] * y0 + inverse[2][2]
    i0, i1, i2 = inverse
    return (
        (i0[0] / depth * length_mm, i0[1] / depth * length_mm, i0[2] / depth * length_mm),
        (i1[0] / depth * width_mm, i1[1] / depth * width_mm, i1[2] / depth * width_mm),
        (i2[0] / depth, i2[1] / depth, i2[2] / depth),
    )


def to_face(face: Matrix, point: Point) -> Point:
    """A photo point (px) as a place on the face (mm). Raises Invalid beyond the photo's horizon."""
    x, y = point
    w = face[2][0] * x + face[2][1] * y + face[2][2]
    if not w > 1e-9:
        raise _refuse("points", "This point lies beyond the horizon of the face: tap on the stone.")
    return (
        (face[0][0] * x + face[0][1] * y + face[0][2]) / w,
        (face[1][0] * x + face[1][1] * y + face[1][2]) / w,
    )


# -- traces
# ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Piece:
    """The piece a break would take off a corner: legs along the two edges in mm, area on the face in mm²."""

    leg_long_mm: float
    leg_short_mm: float
    area_mm2: float


@dataclass(frozen=True)
class Trace:
    """A line on the face. ``reach`` is inside, one_edge, corner or opposite_edges; ``edges`` names those
    touched.

    ``angle_deg`` (0–90) is the smallest angle to an edge within NEAR_MM, or to the nearest edge if none is.
    So a trace that grows never seems safer because it came near another edge.
    """

    length_mm: float
    angle_deg: float
    edge_distance_mm: float
    corner_distance_mm: float
    reach: str
    edges: tuple[str, ...]
    piece: Piece | None


def place(
    points: Sequence[Point], length_mm: float, width_mm: float, field: str = "points"
) -> tuple[Point, ...]:
    """Points kept to the face: a touch outside is brought to the edge, farther out is refused.

    Raises Invalid, naming the point. Coordinates are kept to 0.0001 mm.
    """
    if not points:
        raise _refuse(field, "A finding needs at least one point on the face.")
    placed = []
    for i, (x, y) in enumerate(points):
        if not (math.isfinite(x) and math.isfinite(y)):
            raise _refuse(f"{field}.{i}", "This point needs finite coordinates.")
        if not (-TOUCH_MM <= x <= length_mm + TOUCH_MM and -TOUCH_MM <= y <= width_mm + TOUCH_MM):
            raise _refuse(
                f"{field}.{i}", "This point lies off the face: check the stone's sizes or tap it again."
            )
        placed.append((round4(min(max(x, 0.0), length_mm)), round4(min(max(y, 0.0), width_mm))))
    return tuple(placed)


def trace_length_mm(points: Sequence[Point]) -> float:
    """The length of the line through the points, mm."""
    return sum(math.dist(p, q) for p, q in pairwise(points))


def measure_trace(points: Sequence[Point], length_mm: float, width_mm: float, field: str = "points") -> Trace:
    """Everything the rules want to know of a traced line. Points as given by ``place``; at least two.

    Raises Invalid for a trace without length.
    """
    length = trace_length_mm(points)
    if len(points) < 2 or length <= 0:
        raise _refuse(field, "The trace has no length: tap at least two different points along it.")
    gaps = _edge_gaps(points, length_mm, width_mm)
    edges = tuple(name for name, gap in gaps.items() if gap <= TOUCH_MM)
    piece = None
    reach = "inside" if not edges else "one_edge"
    if _hugs_an_edge(points, length_mm, width_mm):
        # It splits off a sliver of that edge, even if it runs on to both corners; not the stone.
        reach = "one_edge"
    elif {"start", "end"} <= set(edges) or {"near", "far"} <= set(edges):
        reach = "opposite_edges"
    elif len(edges) == 2:
        piece = _corner_piece(points, edges, length_mm, width_mm)
        reach = "corner" if piece else "one_edge"
    return Trace(
        length_mm=length,
        angle_deg=_edge_angle_deg(points, gaps),
        edge_distance_mm=min(gaps.values()),
        corner_distance_mm=_corner_distance(points, length_mm, width_mm, closed=False),
        reach=reach,
        edges=edges,
        piece=piece,
    )


def _edge_gaps(points: Sequence[Point], length_mm: float, width_mm: float) -> dict[str, float]:
    """Distance of a line or outline from each edge. Edges are straight, so the nearest place is a tapped
    point.
    """
    return {
        "start": min(x for x, _ in points),
        "end": min(length_mm - x for x, _ in points),
        "near": min(y for _, y in points),
        "far": min(width_mm - y for _, y in points),
    }


def _hugs_an_edge(points: Sequence[Point], length_mm: float, width_mm: float) -> bool:
    """Whether all of a trace lies within a touch of one edge."""
    return (
        all(x <= TOUCH_MM for x, _ in points)
        or all(length_mm - x <= TOUCH_MM for x, _ in points)
        or all(y <= TOUCH_MM for _, y in points)
        or all(width_mm - y <= TOUCH_MM for _, y in points)
    )


def _edge_angle_deg(points: Sequence[Point], gaps: dict[str, float]) -> float:
    """Acute angle of the trace's end-to-end direction to the edges it comes near."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    if math.hypot(x1 - x0, y1 - y0) <= TOUCH_MM:
        # A trace that comes back to its start has no end-to-end direction: its longest leg speaks for it.
        (x0, y0), (x1, y1) = max(pairwise(points), key=lambda leg: math.dist(*leg))
    along = math.degrees(math.atan2(abs(y1 - y0), abs(x1 - x0)))
    to = {"near": along, "far": along, "start": 90.0 - along, "end": 90.0 - along}
    limit = max(NEAR_MM, min(gaps.values()))
    return min(to[name] for name, gap in gaps.items() if gap <= limit)


def _corner_distance(points: Sequence[Point], length_mm: float, width_mm: float, *, closed: bool) -> float:
    corners = ((0.0, 0.0), (length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm))
    legs = list(pairwise(points))
    if closed or not legs:
        legs.append((points[-1], points[0]))
    return min(distance_to_leg(corner, p, q) for corner in corners for p, q in legs)


def distance_to_leg(at: Point, p: Point, q: Point) -> float:
    """Distance of a place from a straight leg between two points, mm."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    square = dx * dx + dy * dy
    t = 0.0 if square == 0 else ((at[0] - p[0]) * dx + (at[1] - p[1]) * dy) / square
    t = min(max(t, 0.0), 1.0)
    return math.hypot(at[0] - p[0] - t * dx, at[1] - p[1] - t * dy)


def _corner_piece(
    points: Sequence[Point], edges: tuple[str, ...], length_mm: float, width_mm: float
) -> Piece | None:
    """The piece between a trace and the corner of the two edges it touches; None if it only runs into the
    corner.
    """
    side = "start" if "start" in edges else "end"
    base = "near" if "near" in edges else "far"
    cx, cy = (0.0 if side == "start" else length_mm), (0.0 if base == "near" else width_mm)
    on_side = [i for i, (x, _) in enumerate(points) if abs(x - cx) <= TOUCH_MM]
    on_base = [i for i, (_, y) in enumerate(points) if abs(y - cy) <= TOUCH_MM]
    i = max(on_side, key=lambda k: abs(points[k][1] - cy))
    j = max(on_base, key=lambda k: abs(points[k][0] - cx))
    leg_side, leg_base = abs(points[i][1] - cy), abs(points[j][0] - cx)
    if i == j or min(leg_side, leg_base) <= TOUCH_MM:
        return None
    between = list(points[i : j + 1]) if i < j else list(reversed(points[j : i + 1]))
    outline = [(cx, cy), (cx, points[i][1]), *between, (points[j][0], cy)]
    return Piece(max(leg_side, leg_base), min(leg_side, leg_base), outline_area_mm2(outline))


# -- spots and outlines
# ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Spot:
    """A spot or an outlined patch. ``piece`` only where a patch takes a corner."""

    size_mm: float
    area_mm2: float
    edge_distance_mm: float
    corner_distance_mm: float
    reach: str
    piece: Piece | None


def outline_area_mm2(points: Sequence[Point]) -> float:
    """Area inside a closed outline, mm² (shoelace formula)."""
    twice = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, [*points[1:], points[0]], strict=True))
    return abs(twice) / 2


def measure_spot(at: Point, size_mm: float, length_mm: float, width_mm: float) -> Spot:
    """A round spot of a given diameter (0 if only a place is known)."""
    radius = size_mm / 2
    gaps = _edge_gaps([at], length_mm, width_mm)
    touched = {name for name, gap in gaps.items() if gap - radius <= TOUCH_MM}
    return Spot(
        size_mm=size_mm,
        area_mm2=math.pi * radius * radius,
        edge_distance_mm=max(0.0, min(gaps.values()) - radius),
        corner_distance_mm=max(0.0, _corner_distance([at], length_mm, width_mm, closed=False) - radius),
        reach=_patch_reach(touched),
        piece=None,
    )


def measure_outline(
    points: Sequence[Point], length_mm: float, width_mm: float, field: str = "points"
) -> Spot:
    """A patch outlined by three points or more. Raises Invalid if the outline crosses itself or has no
    area.
    """
    if _crosses_itself(points):
        raise _refuse(field, "The outline crosses itself: tap its points in turn round the patch.")
    area = outline_area_mm2(points)
    if area <= 0:
        raise _refuse(field, "The outline has no area: tap at least three points round the patch.")
    gaps = _edge_gaps(points, length_mm, width_mm)
    touched = {name for name, gap in gaps.items() if gap <= TOUCH_MM}
    reach = _patch_reach(touched)
    piece = None
    if reach == "corner":
        cx = 0.0 if "start" in touched else length_mm
        cy = 0.0 if "near" in touched else width_mm
        leg_side = max(abs(y - cy) for x, y in points if abs(x - cx) <= TOUCH_MM)
        leg_base = max(abs(x - cx) for x, y in points if abs(y - cy) <= TOUCH_MM)
        piece = Piece(max(leg_side, leg_base), min(leg_side, leg_base), area)
    return Spot(
        size_mm=max(math.dist(p, q) for p in points for q in points),
        area_mm2=area,
        edge_distance_mm=min(gaps.values()),
        corner_distance_mm=_corner_distance(points, length_mm, width_mm, closed=True),
        reach=reach,
        piece=piece,
    )


def _patch_reach(touched: set[str]) -> str:
    if {"start", "end"} <= touched or {"near", "far"} <= touched:
        return "opposite_edges"
    return ("inside", "one_edge", "corner")[min(len(touched), 2)]


def _crosses_itself(points: Sequence[Point]) -> bool:
    n = len(points)
    legs = [(points[i], points[(i + 1) % n]) for i in range(n)]
    for i in range(n):
        for j in range(i + 1, n):
            neighbours = j == i + 1 or (i == 0 and j == n - 1)
            if not neighbours and _legs_cross(*legs[i], *legs[j]):
                return True
    return False


def _legs_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(p: Point, q: Point, r: Point) -> float:
    """Positive if the way from p through q to r turns one way, negative if the other, 0 if straight on."""
    return (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0])


# -- depth
# -------------------------------------------------------------------------------------------------------


def dip_deg(rise_mm: float, run_mm: float) -> float:
    """Angle of a fissure to the face, from how far it falls along how far it runs on the side. Raises
    Invalid.
    """
    if not (rise_mm >= 0 and run_mm >= 0 and rise_mm + run_mm > 0):
        raise _refuse("rise_mm", "Rise and run must not be negative, and one must be above 0.")
    return math.degrees(math.atan2(rise_mm, run_mm))


def tetrahedron_mm3(a_mm: float, b_mm: float, c_mm: float) -> float:
    """A corner broken off with legs a, b and c along its three edges: abc/6."""
    return a_mm * b_mm * c_mm / 6


def edge_prism_mm3(a_mm: float, b_mm: float, along_mm: float) -> float:
    """An edge chipped to a triangle with legs a and b over a length: half of a·b·length."""
    return a_mm * b_mm * along_mm / 2


def piece_volume_mm3(area_mm2: float, reach: str, depth_mm: float | None, thickness_mm: float) -> float:
    """Volume of the stone that a piece of the face takes with it.

    With a known depth: a corner tapers to a point (a third of area × depth, the tetrahedron abc/6), an edge
    or an inner pit to a line (a half, the triangular prism). With no depth known, or one through the stone,
    the piece is taken as going straight through: the most it can be.
    """
    if depth_mm is None or depth_mm >= thickness_mm:
        return area_mm2 * thickness_mm
    return area_mm2 * depth_mm / (3 if reach == "corner" else 2)
