"""Tolerances of reference plates against the printed tables."""

import pytest

from whetpanel.core.soundness.plates import granite_plate_um, surface_plate_um
from whetpanel.errors import Invalid


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        ((160, 100), (3, 6, 12, 25)),
        ((400, 250), (4, 8, 16, 32)),
        ((630, 400), (5, 10, 20, 39)),
        ((1600, 1000), (8, 16, 33, 66)),
        ((2500, 1600), (11.5, 23, 46, 92)),
    ],
)
def test_granite_plates(size, printed):
    """ISO 8512-2:1990, overall tolerances (from memory), printed rounded to whole or half micrometres."""
    for grade, tolerance in enumerate(printed):
        assert tolerance == pytest.approx(granite_plate_um(*size, grade), abs=0.51)


def test_surface_plates():
    """DIN 876 for a longest side of 400 mm: 5.6, 14, 28, 56 µm."""
    assert pytest.approx([surface_plate_um(400, grade) for grade in range(4)]) == [5.6, 14, 28, 56]


def test_there_is_no_grade_four():
    with pytest.raises(Invalid):
        surface_plate_um(400, 4)
