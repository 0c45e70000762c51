"""Grade scales: ends, steps, cuts."""

import numpy as np
import pytest

from whetpanel.core.pooling import GradeScale
from whetpanel.errors import Invalid


def test_the_half_step_scale_cuts_a_quarter_either_side_and_is_open_at_the_ends():
    """Rounding to a half step moves nothing by more than a quarter; beyond the ends there is no further grade."""
    scale = GradeScale("hardness", 1.0, 5.0, 0.5)

    lower, upper = scale.cuts(np.arange(9))

    assert scale.n_categories == 9
    assert [1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0] == scale.grades().tolist()
    assert np.allclose(lower[1:] + 3.0, np.arange(1.5, 5.5, 0.5) - 0.25)
    assert np.allclose(lower[1:], upper[:-1])
    assert lower[0] < -100
    assert upper[-1] > 100


@pytest.mark.parametrize(
    ("low", "high", "step", "n"), [(0, 10, 1, 11), (1, 5, 1, 5), (0, 1, 0.1, 11), (-2, 2, 0.25, 17)]
)
def test_other_ends_and_steps_work(low, high, step, n):
    """Every scale has its own ends and step; its grades find their own place on it."""
    scale = GradeScale("any", low, high, step)

    assert n == scale.n_categories
    assert list(range(n)) == scale.categories(scale.grades()).tolist()


@pytest.mark.parametrize(
    ("low", "high", "step"),
    [
        (5, 1, 0.5),
        (1, 1, 0.5),
        (1, 5, 0),
        (1, 5, -1),
        (1, 5, 0.3),
        (1, float("nan"), 1),
        (0, float("inf"), 1),
        (0, 1, 0.001),
    ],
)
def test_an_impossible_scale_is_refused(low, high, step):
    """Ends out of order, steps that do not fit, and what is no number."""
    with pytest.raises(Invalid):
        GradeScale("odd", low, high, step)


@pytest.mark.parametrize("grade", [0.5, 5.5, 3.2, float("nan"), float("inf")])
def test_a_grade_off_the_scale_is_refused_with_its_row(grade):
    """The refusal names the grade, the row and what would be right."""
    with pytest.raises(Invalid, match="row 2") as refusal:
        GradeScale("hardness").categories([3.0, grade, 4.0])

    assert "1 to 5 in steps of 0.5" in refusal.value.detail
    assert "trials[1].grade" == refusal.value.errors[0].field
