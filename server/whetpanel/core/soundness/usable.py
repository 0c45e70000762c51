"""The largest rectangle of a face that stays clear of its defects.

The face is laid out in small cells; every cell a defect touches is taken; the largest free rectangle of cells
is found row by row. So the answer is always on the safe side, by less than one cell (about 0.5 mm) on each
side.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .values import Point

CELL_MM = 0.5
MOST_CELLS = 500


@dataclass(frozen=True)
class UsableFace:
    """A clear rectangle: its corner nearest the origin, its sides and area in mm and mm², its share of the
    face.
    """

    x_mm: float
    y_mm: float
    length_mm: float
    width_mm: float
    area_mm2: float
    share_percent: float


@dataclass(frozen=True)
class Obstacle:
    """What to keep clear of: a line (two points or more), a closed outline, or a round spot (one point)."""

    points: tuple[Point, ...]
    closed: bool = False
    radius_mm: float = 0.0


Box = tuple[float, float, float, float]


def usable_face(length_mm: float, width_mm: float, obstacles: Sequence[Obstacle]) -> UsableFace | None:
    """The largest clear rectangle with sides along the face's edges; None if nothing is left.

    Of equal rectangles the one found first counts: nearest the origin along the width, then along the length.
    """
    cell = max(CELL_MM, max(length_mm, width_mm) / MOST_CELLS)
    nx, ny = math.ceil(length_mm / cell), math.ceil(width_mm / cell)
    if not obstacles:
        return UsableFace(0.0, 0.0, length_mm, width_mm, length_mm * width_mm, 100.0)
    dx, dy = length_mm / nx, width_mm / ny
    taken = [bytearray(nx) for _ in range(ny)]
    for obstacle in obstacles:
        for box in _boxes(obstacle, dx, dy):
            _take(taken, box, dx, dy)
    best = _largest_free(taken, nx)
    if best is None:
        return None
    i, j, w, h = best
    return UsableFace(
        x_mm=i * dx,
        y_mm=j * dy,
        length_mm=w * dx,
        width_mm=h * dy,
        area_mm2=w * dx * h * dy,
        share_percent=100 * (w * h) / (nx * ny),
    )


def _boxes(obstacle: Obstacle, dx: float, dy: float) -> Iterable[Box]:
    """Small upright boxes (x0, x1, y0, y1) that together cover the obstacle."""
    points = obstacle.points
    if len(points) == 1:
        yield from _disc_boxes(points[0], obstacle.radius_mm, dy)
        return
    legs = list(pairwise(points))
    if obstacle.closed:
        legs.append((points[-1], points[0]))
        yield from _inner_boxes(points, dx, dy)
    for (x0, y0), (x1, y1) in legs:
        steps = max(1, math.ceil(max(abs(x1 - x0) / dx, abs(y1 - y0) / dy)))
        for k in range(steps):
            a, b = k / steps, (k + 1) / steps
            xa, xb = x0 + (x1 - x0) * a, x0 + (x1 - x0) * b
            ya, yb = y0 + (y1 - y0) * a, y0 + (y1 - y0) * b
            yield (min(xa, xb), max(xa, xb), min(ya, yb), max(ya, yb))


def _disc_boxes(at: Point, radius: float, dy: float) -> Iterable[Box]:
    steps = max(1, math.ceil(2 * radius / dy))
    for k in range(steps):
        lo, hi = -radius + 2 * radius * k / steps, -radius + 2 * radius * (k + 1) / steps
        nearest = 0.0 if lo <= 0 <= hi else min(abs(lo), abs(hi))
        half = math.sqrt(max(0.0, radius * radius - nearest * nearest))
        yield (at[0] - half, at[0] + half, at[1] + lo, at[1] + hi)


def _inner_boxes(points: Sequence[Point], dx: float, dy: float) -> Iterable[Box]:
    """The inside of an outline, row by row along the middle of each row of cells (even-odd rule)."""
    j0, j1 = math.floor(min(y for _, y in points) / dy), math.ceil(max(y for _, y in points) / dy)
    for j in range(j0, j1):
        y = (j + 0.5) * dy
        cuts = sorted(
            p[0] + (q[0] - p[0]) * (y - p[1]) / (q[1] - p[1])
            for p, q in zip(points, [*points[1:], points[0]], strict=True)
            if (p[1] <= y) != (q[1] <= y)
        )
        for left, right in zip(cuts[::2], cuts[1::2], strict=False):
            yield (left, right, y, y)


def _take(taken: list[bytearray], box: Box, dx: float, dy: float) -> None:
    x0, x1, y0, y1 = box
    columns = _span(x0, x1, dx, len(taken[0]))
    for j in _span(y0, y1, dy, len(taken)):
        for i in columns:
            taken[j][i] = 1


def _span(low: float, high: float, size: float, count: int) -> range:
    """The cells from one coordinate to another.

    A nudge of a millionth of a cell keeps a defect that lies just on a cell's border out of the next
    cell; one without any width on a border takes the cells on both sides.
    """
    start, end = math.floor(low / size + 1e-6), math.ceil(high / size - 1e-6)
    if end <= start:
        end = start + 1
        if start * size >= high - 1e-6 * size:
            start -= 1
    return range(max(start, 0), min(end, count))


def _largest_free(taken: list[bytearray], nx: int) -> tuple[int, int, int, int] | None:
    """Largest free rectangle of cells (i, j, wide, high), by the stack of rising columns in one pass."""
    best: tuple[int, int, int, int] | None = None
    best_cells = 0
    heights = [0] * (nx + 1)
    for j, row in enumerate(taken):
        for i in range(nx):
            heights[i] = 0 if row[i] else heights[i] + 1
        if j + 1 < len(taken) and taken[j + 1] == row:
            # Whatever ends here goes on through the next row, and is larger there.
            continue
        stack: list[tuple[int, int]] = []
        for i in range(nx + 1):
            start = i
            height = heights[i]
            if stack and stack[-1][1] == height:
                continue
            while stack and stack[-1][1] >= height:
                start, h = stack.pop()
                if h * (i - start) > best_cells:
                    best_cells = h * (i - start)
                    best = (start, j - h + 1, i - start, h)
            stack.append((start, height))
    return best
