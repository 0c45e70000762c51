"""Probability that a normal vector lies in a box, for many stones at once.

One dimension: the normal distribution function. Two: Owen's T function (Owen 1956, Annals of Mathematical Statistics
27:1075-1090). More: separation of variables (Genz 1992, Journal of Computational and Graphical Statistics 1:141-149)
summed over a fixed lattice with the baker's transformation, so that the same question has the same answer always.
"""

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri, owens_t

Floats = npt.NDArray[np.float64]

POINTS_EACH = 192
"""Points of the lattice for each dimension; the error then stays below some thousandths (see its test)."""
_PRIMES = np.array([2, 3, 5, 7, 11, 13, 17, 19])
_FAR = 40.0
"""Stands for infinity in standard deviations."""
_CHUNK = 128


def box_probability(mean: Floats, cov: Floats, low: Floats, high: Floats) -> Floats:
    """P(low < x < high) for x ~ N(mean, cov), one for each stone.

    Parameters
    ----------
    mean (S, J), cov (S, J, J), low and high (J,), infinite where a side is open. J from 1 to 9.
    """
    sd = np.sqrt(np.maximum(np.diagonal(cov, axis1=1, axis2=2), 1e-12))
    a = np.clip((low - mean) / sd, -_FAR, _FAR)
    b = np.clip((high - mean) / sd, -_FAR, _FAR)
    if (low >= high).any():
        return np.zeros(mean.shape[0])
    if mean.shape[1] == 1:
        return _one(a[:, 0], b[:, 0])
    correlation = cov / (sd[:, :, None] * sd[:, None, :])
    if mean.shape[1] == 2:
        return _two(a, b, correlation[:, 0, 1])
    parts = [
        _many(a[s : s + _CHUNK], b[s : s + _CHUNK], correlation[s : s + _CHUNK])
        for s in range(0, mean.shape[0], _CHUNK)
    ]
    return np.concatenate(parts) if parts else np.zeros(0)


def _one(a: Floats, b: Floats) -> Floats:
    # Above the mean the difference of upper tails keeps its digits, as that of lower ones does below it.
    out: Floats = np.where(a > 0.0, ndtr(-a) - ndtr(-b), ndtr(b) - ndtr(a))
    return out


def _two(a: Floats, b: Floats, rho: Floats) -> Floats:
    rho = np.clip(rho, -0.999999, 0.999999)
    p: Floats = (
        _both_below(b[:, 0], b[:, 1], rho)
        - _both_below(a[:, 0], b[:, 1], rho)
        - _both_below(b[:, 0], a[:, 1], rho)
        + _both_below(a[:, 0], a[:, 1], rho)
    )
    out: Floats = np.clip(p, 0.0, 1.0)
    return out


def _both_below(h: Floats, k: Floats, rho: Floats) -> Floats:
    """P(x < h, y < k) with correlation rho, by Owen's T. A bound of exactly zero is moved by a hair's breadth."""
    h, k = (np.where(np.abs(v) < 1e-12, 1e-12, v) for v in (h, k))
    s = np.sqrt(1.0 - rho * rho)
    out: Floats = (
        0.5 * (ndtr(h) + ndtr(k))
        - owens_t(h, (k - rho * h) / (h * s))
        - owens_t(k, (h - rho * k) / (k * s))
        - np.where(h * k < 0.0, 0.5, 0.0)
    )
    return out


def _lattice(dimensions: int, n: int) -> Floats:
    """(dimensions, n) points: square roots of primes, folded so that both ends of the unit interval meet."""
    x = (np.sqrt(_PRIMES[:dimensions])[:, None] * (np.arange(n) + 1.0)) % 1.0
    out: Floats = np.abs(2.0 * x - 1.0)
    return out


def _many(a: Floats, b: Floats, correlation: Floats) -> Floats:
    S, J = a.shape
    L = np.linalg.cholesky(correlation + 1e-9 * np.eye(J))
    n = POINTS_EACH * J
    u = _lattice(J - 1, n)
    y = np.zeros((S, J - 1, n))
    total = np.ones((S, n))
    for j in range(J):
        shift = np.einsum("sk,skn->sn", L[:, j, :j], y[:, :j])
        d = ndtr((a[:, j, None] - shift) / L[:, j, j, None])
        e = ndtr((b[:, j, None] - shift) / L[:, j, j, None])
        total *= e - d
        if j < J - 1:
            y[:, j] = ndtri(np.clip(d + u[j] * (e - d), 1e-15, 1.0 - 1e-15))
    out: Floats = np.clip(total.mean(1), 0.0, 1.0)
    return out
