"""Kendall's W: do several judges put the same things in the same order?"""

from dataclasses import dataclass

import numpy as np
from scipy import stats

from whetpanel.core.agreement.ratings import FloatArray
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class Concordance:
    """``w`` runs from 0 (no common order) to 1 (the same order); corrected for ties.

    ``s`` is the sum of squared deviations of the rank sums, ``w_uncorrected`` ignores ties. ``w`` is
    None when every judge ties everything. ``p`` is from chi-square with ``df`` degrees of freedom,
    which is rough for fewer than about eight things.
    """

    w: float | None
    w_uncorrected: float
    s: float
    chi_square: float | None
    df: int
    p: float | None
    n_judges: int
    n_things: int


def kendall_w(table: FloatArray) -> Concordance:
    """Concordance of a complete (n_things, n_judges) table of scores or ranks; ties share mean ranks.

    Raises Invalid for fewer than two things or judges, or a missing value.

    References
    ----------
    Siegel, Nonparametric Statistics for the Behavioral Sciences (1956), pp. 229–238; Kendall, Rank
    Correlation Methods (1948).
    """
    table = np.asarray(table, dtype=np.float64)
    if table.ndim != 2 or table.shape[0] < 2 or table.shape[1] < 2:
        raise Invalid("Concordance needs at least two things and two judges.")
    if not np.isfinite(table).all():
        raise Invalid("Concordance needs a complete table: every judge, every thing.")
    n, m = table.shape
    ranks = stats.rankdata(table, axis=0)
    rank_sum = ranks.sum(axis=1)
    s = float(((rank_sum - rank_sum.mean()) ** 2).sum())
    most = m**2 * (n**3 - n) / 12.0
    ties = 0.0
    for judge in range(m):
        counts = np.unique(table[:, judge], return_counts=True)[1].astype(np.float64)
        ties += float((counts**3 - counts).sum())
    possible = most - m * ties / 12.0
    w = s / possible if possible > 1e-9 else None
    chi_square = None if w is None else m * (n - 1) * w
    p = None if chi_square is None else float(stats.chi2.sf(chi_square, n - 1))
    return Concordance(w, s / most, s, chi_square, n - 1, p, m, n)
