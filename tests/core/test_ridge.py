"""The line through unequal grades, against weighted least squares by statsmodels."""

import numpy as np
import pytest
from statsmodels.regression.linear_model import WLS

from whetpanel.core.ridge import fit_line


def problem(n: int, seed: int, slopes: tuple[float, ...]):  # type: ignore[no-untyped-def]
    rng = np.random.default_rng(seed)
    X = np.column_stack([np.ones(n), rng.normal(0, 1, (n, len(slopes)))])
    v = rng.uniform(0.05, 0.5, n) ** 2
    y = X @ np.array([3.0, *slopes]) + rng.normal(0, np.sqrt(v + 0.4**2))
    return X, np.zeros((n, len(slopes), len(slopes))), y, v


def test_with_much_data_it_is_weighted_least_squares() -> None:
    X, blur, y, v = problem(4000, 1, (0.5, -0.3))
    line = fit_line(X, blur, y, v, 1.0)
    reference = WLS(y, X, weights=1 / (v + line.sigma2 + line.noise)).fit(cov_type="fixed scale")

    np.testing.assert_allclose(line.b, reference.params, atol=1e-3)
    np.testing.assert_allclose(np.sqrt(np.diag(line.cov)), reference.bse, rtol=0.01)
    assert np.sqrt(line.sigma2) == pytest.approx(0.4, abs=0.02)


def test_with_little_data_and_no_effect_the_slopes_are_held_near_zero() -> None:
    held, free = 0.0, 0.0
    for seed in range(30):
        X, blur, y, v = problem(20, seed, (0.0, 0.0, 0.0, 0.0))
        line = fit_line(X, blur, y, v, 1.0)
        held += float((line.b[1:] ** 2).sum())
        free += float((np.linalg.lstsq(X, y, rcond=None)[0][1:] ** 2).sum())
    assert held < 0.6 * free


def test_one_wild_row_hardly_tilts_the_line() -> None:
    X, blur, y, v = problem(60, 2, (0.5,))
    before = fit_line(X, blur, y, v, 1.0)
    far = int(np.argmax(X[:, 1]))
    y[far] -= 4.0
    after = fit_line(X, blur, y, v, 1.0)
    tilted = np.polyfit(X[:, 1], y, 1)[0]

    assert abs(after.b[1] - before.b[1]) < 0.5 * abs(tilted - before.b[1])
