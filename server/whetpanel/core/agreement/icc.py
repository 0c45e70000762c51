"""The family of intraclass correlations for a complete table of targets by raters."""

from dataclasses import dataclass

import numpy as np
from scipy import stats

from whetpanel.core.agreement.ratings import FloatArray
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class Icc:
    """One intraclass correlation with its F test of zero and its 95 % limits.

    ``kind`` is (model, ratings averaged): ``1`` each target by other raters, ``2`` raters a sample
    (absolute agreement), ``3`` these raters only (consistency). Limits and F are None where a mean
    square of zero leaves them undefined.
    """

    kind: str
    icc: float | None
    f: float | None
    df1: int
    df2: int
    p: float | None
    low95: float | None
    high95: float | None


@dataclass(frozen=True)
class IccFamily:
    """All six, with the mean squares they come from."""

    one_1: Icc
    two_1: Icc
    three_1: Icc
    one_k: Icc
    two_k: Icc
    three_k: Icc
    n_targets: int
    n_raters: int
    ms_targets: float
    ms_within: float
    ms_raters: float
    ms_residual: float


def _ratio(numerator: float, denominator: float) -> float | None:
    return numerator / denominator if denominator > 0 else None


def _of_mean(single: float | None, k: int) -> float | None:
    """Spearman and Brown: the reliability of the mean of k from that of one."""
    if single is None:
        return None
    below = 1 + (k - 1) * single
    return k * single / below if below > 0 else None


def intraclass_correlations(table: FloatArray) -> IccFamily:
    """ICC(1,1), (2,1), (3,1), (1,k), (2,k) and (3,k) of a complete (n_targets, n_raters) table.

    Raises Invalid for a table smaller than 2 × 2 or with a missing value: an incomplete table needs
    a mixed model, not this.

    References
    ----------
    Shrout and Fleiss, Psychological Bulletin 86:420–428 (1979), with the limits given there; the
    limits of ICC(2,k) are those of ICC(2,1) put through the Spearman–Brown formula.
    """
    table = np.asarray(table, dtype=np.float64)
    if table.ndim != 2 or table.shape[0] < 2 or table.shape[1] < 2:
        raise Invalid("An intraclass correlation needs at least two targets and two raters.")
    if not np.isfinite(table).all():
        raise Invalid("An intraclass correlation needs a complete table: every rater, every target.")
    n, k = table.shape
    grand = table.mean()
    target_mean, rater_mean = table.mean(axis=1), table.mean(axis=0)
    ss_targets = k * float(((target_mean - grand) ** 2).sum())
    ss_raters = n * float(((rater_mean - grand) ** 2).sum())
    residual = table - target_mean[:, None] - rater_mean[None, :] + grand
    ss_residual = float((residual**2).sum())
    # A sum of squares at the level of rounding is an exact zero; else F would be a random large number.
    tiny = 1e-20 * table.size * max(1.0, float(np.abs(table).max())) ** 2
    sums = (ss_targets, ss_raters, ss_residual)
    ss_targets, ss_raters, ss_residual = (0.0 if s < tiny else s for s in sums)
    msb = ss_targets / (n - 1)
    msj = ss_raters / (k - 1)
    mse = ss_residual / ((n - 1) * (k - 1))
    msw = (ss_raters + ss_residual) / (n * (k - 1))

    def one_or_three(error: float, df2: int, model: str) -> tuple[Icc, Icc]:
        df1 = n - 1
        f = _ratio(msb, error)
        single = _ratio(msb - error, msb + (k - 1) * error)
        mean = _ratio(msb - error, msb)
        if f is None or f == 0:
            return (
                Icc(f"ICC({model},1)", single, f, df1, df2, None, None, None),
                Icc(f"ICC({model},k)", mean, f, df1, df2, None, None, None),
            )
        p = float(stats.f.sf(f, df1, df2))
        f_low = f / float(stats.f.ppf(0.975, df1, df2))
        f_high = f * float(stats.f.ppf(0.975, df2, df1))
        low, high = ((g - 1) / (g + k - 1) for g in (f_low, f_high))
        return (
            Icc(f"ICC({model},1)", single, f, df1, df2, p, low, high),
            Icc(f"ICC({model},k)", mean, f, df1, df2, p, 1 - 1 / f_low, 1 - 1 / f_high),
        )

    one_1, one_k = one_or_three(msw, n * (k - 1), "1")
    three_1, three_k = one_or_three(mse, (n - 1) * (k - 1), "3")
    two = _ratio(msb - mse, msb + (k - 1) * mse + k * (msj - mse) / n)
    two_mean = _ratio(msb - mse, msb + (msj - mse) / n)
    low2 = high2 = None
    if mse > 0 and two is not None:
        fj = msj / mse
        a = k * two * fj
        b = n * (1 + (k - 1) * two) - k * two
        v = (k - 1) * (n - 1) * (a + b) ** 2 / ((n - 1) * a**2 + b**2)
        if np.isfinite(v) and v > 0:
            f_upper = float(stats.f.ppf(0.975, n - 1, v))
            f_lower = float(stats.f.ppf(0.975, v, n - 1))
            spread = k * msj + (k * n - k - n) * mse
            low2 = _ratio(n * (msb - f_upper * mse), f_upper * spread + n * msb)
            high2 = _ratio(n * (f_lower * msb - mse), spread + n * f_lower * msb)
    f3, df1, df2, p3 = three_1.f, three_1.df1, three_1.df2, three_1.p
    return IccFamily(
        one_1=one_1,
        two_1=Icc("ICC(2,1)", two, f3, df1, df2, p3, low2, high2),
        three_1=three_1,
        one_k=one_k,
        two_k=Icc("ICC(2,k)", two_mean, f3, df1, df2, p3, _of_mean(low2, k), _of_mean(high2, k)),
        three_k=three_k,
        n_targets=n,
        n_raters=k,
        ms_targets=msb,
        ms_within=msw,
        ms_raters=msj,
        ms_residual=mse,
    )
