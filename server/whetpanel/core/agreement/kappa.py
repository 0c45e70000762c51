"""Fleiss' kappa: agreement of many raters on unordered categories."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import stats

from whetpanel.core.agreement.ratings import FloatArray, Ratings
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class Kappa:
    """``kappa`` 1 perfect, 0 chance; None when all ratings fall in one category.

    ``se`` is the standard error if there were no agreement beyond chance, so ``z`` and ``p`` test
    that and nothing else.
    """

    kappa: float | None
    observed: float
    expected: float
    se: float | None
    z: float | None
    p: float | None
    n_subjects: int
    n_ratings_each: int


def fleiss_kappa(counts: ArrayLike) -> Kappa:
    """Kappa from an (n_subjects, n_categories) table of how many raters chose what.

    Raises Invalid unless every subject has the same number (two or more) of ratings, whole and not
    negative; with gaps use nominal alpha.

    References
    ----------
    Fleiss, Psychological Bulletin 76:378–382 (1971); standard error from Fleiss, Nee and Landis,
    Psychological Bulletin 86:974–977 (1979).
    """
    table: FloatArray = np.asarray(counts, dtype=np.float64)
    if table.ndim != 2 or table.shape[0] < 1 or (table < 0).any() or (table != np.rint(table)).any():
        raise Invalid("Fleiss' kappa needs a table of counts: subjects in rows, categories in columns.")
    per_subject = table.sum(axis=1)
    m = float(per_subject[0])
    if (per_subject != m).any() or m < 2:
        raise Invalid(
            "Fleiss' kappa needs equally many ratings, at least two, of every subject. Use nominal alpha."
        )
    n = table.shape[0]
    share = table.sum(axis=0) / (n * m)
    observed = float((((table**2).sum(axis=1) - m) / (m * (m - 1))).mean())
    expected = float((share**2).sum())
    if 1.0 - expected < 1e-12:
        return Kappa(None, observed, expected, None, None, None, n, int(m))
    kappa = (observed - expected) / (1.0 - expected)
    spread = float((share * (1 - share)).sum())
    inside = spread**2 - float((share * (1 - share) * (1 - 2 * share)).sum())
    se = float(np.sqrt(2.0 * max(inside, 0.0) / (n * m * (m - 1)))) / spread
    z = kappa / se if se > 0 else None
    p = None if z is None else float(2 * stats.norm.sf(abs(z)))
    return Kappa(kappa, observed, expected, se, z, p, n, int(m))


def category_counts(ratings: Ratings) -> FloatArray:
    """The (n_units, n_categories) counts that ``fleiss_kappa`` takes, categories in rising order."""
    levels, code = np.unique(ratings.value, return_inverse=True)
    flat = np.bincount(ratings.unit * levels.size + code, minlength=len(ratings.units) * levels.size)
    return flat.reshape(len(ratings.units), levels.size).astype(np.float64)
