"""Repeatability and reproducibility in the manner of ISO 5725-2: a unit is a level, a rater a laboratory."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from whetpanel.core.agreement.ratings import FloatArray, IntArray, Ratings

# ISO 5725-6: the limit that a difference of two results exceeds with probability 5 %, 1.96·√2 rounded.
LIMIT_FACTOR = 2.8


@dataclass(frozen=True)
class LevelPrecision:
    """Precision at one level, in the unit of the values.

    ``repeatability_sd`` is the standard's s_r, ``between_sd`` its s_L (between laboratories) and
    ``reproducibility_sd`` its s_R; None where there are no repeats, or fewer than two laboratories.
    ``floored`` says that the between-laboratory variance came out negative and was set to zero.
    """

    level: str
    mean: float
    repeatability_sd: float | None
    between_sd: float | None
    reproducibility_sd: float | None
    repeatability_limit: float | None
    reproducibility_limit: float | None
    n_labs: int
    n_results: int
    df_repeatability: int
    floored: bool


@dataclass(frozen=True)
class Precision:
    """Precision over all levels, and each level by itself.

    The overall ``repeatability_sd`` pools the within-cell variances of all levels by their degrees of
    freedom ``df_repeatability``. The overall ``between_sd`` takes that pooled variance off each level's
    between-laboratory mean square and averages by (laboratories − 1), before flooring at zero, so that
    levels where chance made it negative, and levels without a repeat of their own, count too.
    """

    repeatability_sd: float | None
    between_sd: float | None
    reproducibility_sd: float | None
    repeatability_limit: float | None
    reproducibility_limit: float | None
    n_levels: int
    n_labs: int
    n_results: int
    df_repeatability: int
    df_between: int
    levels: tuple[LevelPrecision, ...]


@dataclass(frozen=True)
class _Squares:
    """One level's sums: all of ISO 5725-2 is arithmetic on these."""

    mean: float
    ss_within: float
    df_within: int
    ms_between: float
    n_bar: float  # the effective number of results per laboratory; 0 with fewer than two
    n_labs: int
    n_results: int

    def between_variance(self, var_r: float) -> float:
        return (self.ms_between - var_r) / self.n_bar


def _squares(lab: IntArray, value: FloatArray) -> _Squares:
    _, code, counts = np.unique(lab, return_inverse=True, return_counts=True)
    n = counts.astype(np.float64)
    total, n_labs = float(n.sum()), int(counts.size)
    cell_mean = np.bincount(code, value) / n
    mean = float(value.mean())
    ms_between, n_bar = 0.0, 0.0
    if n_labs > 1:
        ms_between = float((n * (cell_mean - mean) ** 2).sum()) / (n_labs - 1)
        n_bar = float((total - (n**2).sum() / total) / (n_labs - 1))
    ss_within = float(((value - cell_mean[code]) ** 2).sum())
    return _Squares(mean, ss_within, int(total) - n_labs, ms_between, n_bar, n_labs, int(total))


def _root(variance: float | None) -> float | None:
    return None if variance is None else float(np.sqrt(max(variance, 0.0)))


def _both(s_r: float | None, s_L: float | None) -> float | None:
    return None if s_r is None or s_L is None else float(np.hypot(s_r, s_L))


def _limit(s: float | None) -> float | None:
    return None if s is None else LIMIT_FACTOR * s


def _level(name: str, q: _Squares) -> LevelPrecision:
    var_r = q.ss_within / q.df_within if q.df_within else None
    var_L = q.between_variance(var_r) if var_r is not None and q.n_labs > 1 else None
    s_r, s_L = _root(var_r), _root(var_L)
    s_R = _both(s_r, s_L)
    return LevelPrecision(
        level=name,
        mean=q.mean,
        repeatability_sd=s_r,
        between_sd=s_L,
        reproducibility_sd=s_R,
        repeatability_limit=_limit(s_r),
        reproducibility_limit=_limit(s_R),
        n_labs=q.n_labs,
        n_results=q.n_results,
        df_repeatability=q.df_within,
        floored=var_L is not None and var_L < 0,
    )


def repeatability_and_reproducibility(ratings: Ratings) -> Precision:
    """How far two results differ: by one rater again (r), by two raters (R).

    Unequal numbers of repeats are allowed. Without any repeat ``repeatability_sd`` is None, and then so
    are the others: a single result per rater cannot tell the two apart.

    References
    ----------
    ISO 5725-2:1994, 7.4 (cells of unequal size); limits from ISO 5725-6. No result is removed as an
    outlier here: a trial that sticks out is the dealer's to judge.
    """
    edges = np.searchsorted(ratings.unit, np.arange(len(ratings.units) + 1))
    squares = [_squares(ratings.rater[start:end], ratings.value[start:end]) for start, end in pairwise(edges)]
    df_r = sum(q.df_within for q in squares)
    var_r = sum(q.ss_within for q in squares) / df_r if df_r else None
    several = [q for q in squares if q.n_labs > 1]
    df_L = sum(q.n_labs - 1 for q in several)
    var_L = None
    if var_r is not None and df_L:
        var_L = sum((q.n_labs - 1) * q.between_variance(var_r) for q in several) / df_L
    s_r, s_L = _root(var_r), _root(var_L)
    s_R = _both(s_r, s_L)
    return Precision(
        repeatability_sd=s_r,
        between_sd=s_L,
        reproducibility_sd=s_R,
        repeatability_limit=_limit(s_r),
        reproducibility_limit=_limit(s_R),
        n_levels=len(ratings.units),
        n_labs=len(ratings.raters),
        n_results=ratings.n_ratings,
        df_repeatability=df_r,
        df_between=df_L,
        levels=tuple(_level(name, q) for name, q in zip(ratings.units, squares, strict=True)),
    )
