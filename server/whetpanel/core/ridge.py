"""A line through grades of unequal precision: Bayesian ridge, its spreads found by evidence."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

FloatArray = NDArray[np.float64]

# A residual beyond this many sds has its noise widened until it is no farther, so that a stone that
# contradicts its signs does not tilt the line.
_DRAW_IN = 3.0


@dataclass(frozen=True)
class Line:
    """A fitted regression: slopes with their covariance, spread sigma² about the line, per-row noise."""

    b: FloatArray  # (1 + n_signs,) intercept first
    cov: FloatArray  # (1 + n_signs, 1 + n_signs)
    sigma2: float
    noise: FloatArray  # (n_rows,) further variance of the rows it was fitted to
    hyper: FloatArray  # log sigma, log slope spread

    def foretell(self, X: FloatArray, blur: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Mean and variance of the true grade of stones with design rows X (m, 1 + n_signs)."""
        variance = self.sigma2 + np.einsum("ij,jk,ik->i", X, self.cov, X)
        variance = variance + np.einsum("j,ijk,k->i", self.b[1:], blur, self.b[1:])
        return X @ self.b, variance


def fit_line(
    X: FloatArray,
    blur: FloatArray,
    y: FloatArray,
    v: FloatArray,
    unit: float,
    start: FloatArray | None = None,
) -> Line:
    """Bayesian ridge: slopes ~ N(0, s²), y ~ N(X b, v + sigma² + noise); s and sigma by evidence.

    X (n, 1 + n_signs), its first column ones; blur (n, n_signs, n_signs) covariance of guessed signs;
    y, v (n,) grades and their variances. The noise is b' blur b for guessed signs, and what draws a far
    residual in. The intercept is free (its prior sd is 100 units). Log-normal priors keep s near 0.3
    and sigma near 0.5 units where the data say nothing (a factor e either way). ``start`` is the
    ``hyper`` of a like fit.

    References
    ----------
    MacKay, Neural Computation 4:415–447 (1992): slopes and spreads by maximum evidence.
    """
    n_signs = X.shape[1] - 1
    centre = np.log(np.array([0.5, 0.3]) * unit)
    noise = np.zeros(y.size)

    def solve(h: FloatArray) -> tuple[float, FloatArray, FloatArray]:
        d = 1.0 / (v + np.exp(2 * h[0]) + noise)
        prior = np.full(n_signs + 1, np.exp(-2 * h[1]))
        prior[0] = (100 * unit) ** -2
        A = (X * d[:, None]).T @ X
        A[np.diag_indices_from(A)] += prior
        r = X.T @ (d * y)
        cov = np.linalg.inv(A)
        b = cov @ r
        _, logdet = np.linalg.slogdet(A)
        evidence = np.log(d).sum() + np.log(prior).sum() - logdet - (d * y * y).sum() + r @ b
        return float(-0.5 * evidence + 0.5 * ((h - centre) ** 2).sum()), b, cov

    def misfit(h: NDArray[np.float64]) -> float:
        return solve(h)[0]

    h: NDArray[np.float64] = centre if start is None else start
    for _ in range(3):  # the noise depends on the line it is for; three rounds settle both
        # One per cent of a spread is plenty.
        found = optimize.minimize(misfit, h, method="Nelder-Mead", options={"xatol": 1e-2, "fatol": 1e-2})
        h = np.clip(np.asarray(found.x, dtype=np.float64), centre - 6, centre + 6)
        _, b, cov = solve(h)
        guessed = np.einsum("j,ijk,k->i", b[1:], blur, b[1:])
        far = ((y - X @ b) / _DRAW_IN) ** 2 - (v + np.exp(2 * h[0]) + guessed)
        noise = guessed + np.maximum(far, 0.0)
        if not noise.any():
            break
    _, b, cov = solve(h)
    return Line(b, cov, float(np.exp(2 * h[0])), noise, h)
