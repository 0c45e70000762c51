"""One agreed value from several statements, each with its own standard error."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import stats

from whetpanel.core.agreement.ratings import FloatArray
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class AgreedValue:
    """The precision-weighted mean and its standard error, with and without differences between sources.

    ``mean`` and ``se`` treat the sources as measuring one thing. ``q`` on ``df`` degrees of freedom
    tests that; ``between_variance`` is DerSimonian and Laird's estimate, zero when ``q`` is below
    ``df``; ``random_mean`` and ``random_se`` allow for it.
    """

    mean: float
    se: float
    q: float
    df: int
    p: float | None
    between_variance: float
    random_mean: float
    random_se: float


def agreed_value(estimates: ArrayLike, standard_errors: ArrayLike) -> AgreedValue:
    """Pool (n,) estimates by their (n,) standard errors, for instance experts' grades of a check stone.

    Raises Invalid for no estimate, a value that is not finite, or a standard error not above zero.

    References
    ----------
    Cochran, Biometrics 10:101–129 (1954); DerSimonian and Laird, Controlled Clinical Trials
    7:177–188 (1986).
    """
    y: FloatArray = np.asarray(estimates, dtype=np.float64)
    se: FloatArray = np.asarray(standard_errors, dtype=np.float64)
    if y.ndim != 1 or y.size == 0 or y.shape != se.shape or not np.isfinite(y).all():
        raise Invalid("Give at least one estimate, all finite, and one standard error for each.")
    if not np.isfinite(se).all() or (se <= 0).any():
        raise Invalid("Every standard error must be above zero: no statement is exact.")
    w = 1.0 / se**2
    total = float(w.sum())
    mean = float(w @ y) / total
    df = y.size - 1
    q = float(w @ (y - mean) ** 2)
    scale = total - float((w**2).sum()) / total
    between = max(0.0, (q - df) / scale) if df else 0.0
    v = 1.0 / (se**2 + between)
    return AgreedValue(
        mean=mean,
        se=total**-0.5,
        q=q,
        df=df,
        p=float(stats.chi2.sf(q, df)) if df else None,
        between_variance=between,
        random_mean=float(v @ y) / float(v.sum()),
        random_se=float(v.sum()) ** -0.5,
    )
