"""What a record on check stones lets one say: against Student's t as scipy has it, and never of a single stone."""

import numpy as np
import pytest
from scipy import stats

from whetpanel.core.check_record import CheckTrial, check_level


def record(*by_stone: tuple[float, ...], sd: float = 0.05) -> list[CheckTrial]:
    """Trials by their differences from an agreed 3.0."""
    return [
        CheckTrial(f"stone-{n}", 3.0 + difference, 3.0, sd)
        for n, differences in enumerate(by_stone)
        for difference in differences
    ]


@pytest.mark.parametrize("shift", [-0.6, -0.2, 0.0, 0.2, 0.6])
def test_the_level_follows_students_t_on_the_stones_means(shift: float) -> None:
    """Above or below exactly where scipy's interval for the mean leaves zero out."""
    differences = [(0.0, 0.5), (0.5, 0.0), (0.0, 0.0), (0.5, 0.5)]
    moved = [tuple(d + shift for d in some) for some in differences]
    means = np.array([np.mean(some) for some in moved])
    low, high = stats.t.interval(0.9, means.size - 1, means.mean(), stats.sem(means))

    expected = "above" if low > 0 else "below" if high < 0 else "level"

    assert expected == check_level(record(*moved))


def test_few_trials_or_a_single_stone_say_nothing() -> None:
    """However clear they look."""
    assert "too_few" == check_level([])
    assert "too_few" == check_level(record((1.0, 1.0), (1.0, 1.0, 1.0)))
    assert "too_few" == check_level(record((1.0,) * 20))
    assert "above" == check_level(record((1.0, 1.0), (1.0, 1.0), (1.0, 1.0)))


def test_what_the_agreement_leaves_open_widens_the_interval() -> None:
    """The same grades against loosely agreed ones are no proof of a lean."""
    differences = [(0.5, 0.5), (0.5, 0.5), (0.5, 0.5)]

    assert "above" == check_level(record(*differences, sd=0.05))
    assert "above" != check_level(record(*differences, sd=0.6))
