"""Fills gaps in a table from its other columns, and says how unsure each filling is."""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def complete(
    table: FloatArray, *, rounds: int = 50, tolerance: float = 1e-6
) -> tuple[FloatArray, FloatArray]:
    """Standardise (n, p) columns and put conditional means where values are missing (NaN).

    Returns ``z`` (n, p), each column with mean 0 and sd 1 over the values seen, and ``blur`` (n, p, p),
    the conditional covariance of the filled values (zero where nothing was missing). The columns are
    taken as jointly normal; their correlations are found by expectation and maximisation, drawn
    towards none by p + 2 invented rows, so that a pair of columns rarely seen together stays apart.

    Every column needs two different values.

    References
    ----------
    Little and Rubin, Statistical Analysis with Missing Data, 2nd edition (2002), section 11.2.
    """
    n, p = table.shape
    seen = np.isfinite(table)
    centre, scale = np.nanmean(table, axis=0), np.nanstd(table, axis=0, ddof=1)
    z = np.where(seen, (table - centre) / scale, 0.0)
    blur = np.zeros((n, p, p))
    patterns, which = np.unique(seen, axis=0, return_inverse=True)
    which = which.ravel()
    if seen.all():
        return z, blur
    mean, covariance = np.zeros(p), np.eye(p)
    invented = p + 2
    for _ in range(rounds):
        for k, here in enumerate(patterns):
            rows, gone = np.flatnonzero(which == k), ~here
            if not gone.any():
                continue
            slope = np.linalg.solve(covariance[np.ix_(here, here)], covariance[np.ix_(here, gone)])
            z[np.ix_(rows, gone)] = mean[gone] + (z[np.ix_(rows, here)] - mean[here]) @ slope
            left = covariance[np.ix_(gone, gone)] - covariance[np.ix_(gone, here)] @ slope
            blur[np.ix_(rows, gone, gone)] = left
        mean = z.sum(axis=0) / (n + invented)
        away = z - mean
        new = (away.T @ away + blur.sum(axis=0) + invented * np.eye(p)) / (n + invented)
        settled = float(np.abs(new - covariance).max()) < tolerance
        covariance = new
        if settled:
            break
    return z, blur
