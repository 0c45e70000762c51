"""Probability of a box under a normal law, against scipy.stats, an independent implementation."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from whetpanel.core.matching.rectangles import box_probability


def some_boxes(n: int, J: int, rng: np.random.Generator):
    root = rng.normal(size=(n, J, J + 1))
    cov = 0.15 * root @ root.transpose(0, 2, 1) + 0.4
    mean = rng.normal(size=(n, J))
    low, high = rng.uniform(-1.5, 0.0, J), rng.uniform(0.3, 1.5, J)
    low[rng.random(J) < 0.3], high[rng.random(J) < 0.3] = -np.inf, np.inf
    return mean, cov, low, high


def test_one_dimension_is_the_normal_distribution() -> None:
    """To rounding, far out in both tails too, where a difference of two numbers near 1 would have lost everything."""
    mean = np.array([[-9.0], [0.3], [9.0]])
    cov = np.full((3, 1, 1), 1.44)

    p = box_probability(mean, cov, np.array([-1.0]), np.array([1.0]))

    z = (np.array([-1.0, 1.0])[:, None] - mean[:, 0]) / 1.2
    expected = np.where(mean[:, 0] > 0, norm.cdf(z[1]) - norm.cdf(z[0]), norm.sf(z[0]) - norm.sf(z[1]))
    assert expected == pytest.approx(p, rel=1e-12)


@pytest.mark.parametrize(("J", "tolerance"), [(2, 1e-6), (3, 2e-3), (4, 2e-3), (5, 5e-3)])
def test_more_dimensions_agree_with_scipy(J: int, tolerance: float) -> None:
    """scipy integrates by Genz's routine with its own points; ours for two is algebra."""
    rng = np.random.default_rng(J)
    worst = 0.0
    for _ in range(3):
        mean, cov, low, high = some_boxes(20, J, rng)
        ours = box_probability(mean, cov, low, high)
        far = np.where(np.isinf(low), -50.0, low), np.where(np.isinf(high), 50.0, high)
        theirs = [
            multivariate_normal(mean[i], cov[i]).cdf(far[1], lower_limit=far[0]) for i in range(mean.shape[0])
        ]
        worst = max(worst, float(np.abs(ours - theirs).max()))

    assert worst < tolerance


def test_two_quadrants_have_their_closed_form() -> None:
    """P(x > 0, y > 0) = 1/4 + asin(rho)/2π (Sheppard 1899), bounds of exactly zero and all but perfect ties."""
    rho = np.array([-0.99, -0.5, 0.0, 0.5, 0.9, 0.999])
    cov = np.ones((rho.size, 2, 2))
    cov[:, 0, 1] = cov[:, 1, 0] = rho

    p = box_probability(np.zeros((rho.size, 2)), cov, np.zeros(2), np.full(2, np.inf))

    assert 0.25 + np.arcsin(rho) / (2 * np.pi) == pytest.approx(p, abs=1e-9)


def test_taking_the_parts_for_independent_is_seen_to_fail() -> None:
    """The shortcut that multiplies the sides differs by far more than our tolerance, so the test above can fail."""
    rng = np.random.default_rng(3)
    mean, cov, low, high = some_boxes(60, 3, rng)
    sides = [box_probability(mean[:, [j]], cov[:, [j]][:, :, [j]], low[[j]], high[[j]]) for j in range(3)]

    assert np.abs(np.prod(sides, axis=0) - box_probability(mean, cov, low, high)).max() > 0.05


def test_an_empty_band_is_never_met() -> None:
    """A band whose ends are the wrong way round holds nothing, in any number of dimensions."""
    for J in (1, 2, 3):
        low, high = np.zeros(J), np.ones(J)
        low[0], high[0] = 1.0, 0.5

        assert 0.0 == box_probability(np.zeros((1, J)), np.eye(J)[None], low, high)[0]
