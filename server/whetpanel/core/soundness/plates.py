"""Flatness of the references a lapped face is compared with: granite plates and surface plates.

A stone can be judged no better than the plate under it, so the plate's own tolerance belongs beside a
reading.
"""

import math

from whetpanel.errors import FieldError, Invalid

ISO_8512_2 = {0: (0.003, 2.5), 1: (0.006, 5.0), 2: (0.012, 10.0), 3: (0.024, 20.0)}
ISO_8512_2_LOCAL_UM = {0: 3.5, 1: 7.0, 2: 13.0, 3: 26.0}
DIN_876 = {0: (4.0, 250.0), 1: (10.0, 100.0), 2: (20.0, 50.0), 3: (40.0, 25.0)}


def granite_plate_um(length_mm: float, width_mm: float, grade: int) -> float:
    """Overall flatness tolerance of a granite plate, µm, ISO 8512-2:1990 (coefficients from memory).

    c1·l + c2 with l the diagonal in mm, rounded up to the next 100. Raises Invalid for an unknown grade.
    """
    c1, c2 = _grade(ISO_8512_2, grade)
    diagonal = math.ceil(math.hypot(length_mm, width_mm) / 100) * 100
    return c1 * diagonal + c2


def surface_plate_um(longest_mm: float, grade: int) -> float:
    """Flatness tolerance of a surface plate, µm, DIN 876: a constant + longest side over a divisor."""
    base, divisor = _grade(DIN_876, grade)
    return base + longest_mm / divisor


def _grade(table: dict[int, tuple[float, float]], grade: int) -> tuple[float, float]:
    if grade not in table:
        message = "Plates have grades 0, 1, 2 and 3."
        raise Invalid(message, [FieldError("grade", message)])
    return table[grade]
