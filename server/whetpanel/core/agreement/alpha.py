"""Krippendorff's alpha for any number of raters, any gaps, and repeats.

Computed here and not by a library: the public ``krippendorff`` package (which the tests compare
with) knows neither repeats by one rater nor an interval, and statsmodels, irrCAC and pingouin would
bring pandas into the service for one formula.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from whetpanel.core.agreement.ratings import FloatArray, IntArray, Ratings
from whetpanel.errors import Invalid

Level = Literal["nominal", "ordinal", "interval", "ratio"]
LEVELS: tuple[Level, ...] = get_args(Level)

# Work arrays of the bootstrap stay under this many numbers (32 MB).
_CHUNK = 4_000_000


@dataclass(frozen=True)
class Alpha:
    """Agreement beyond chance: 1 is perfect, 0 is chance, below 0 is systematic disagreement.

    ``alpha`` is None when it is not defined, and ``note`` then says why. ``low95`` and ``high95``
    are None when no interval was asked for or too few resamples were defined.
    """

    level: Level
    alpha: float | None
    low95: float | None
    high95: float | None
    n_units: int
    n_raters: int
    n_ratings: int
    n_resamples: int
    note: str


@dataclass(frozen=True)
class _Pairable:
    """The ratings that can be paired, rows sorted by unit.

    A rater's repeats of a unit share one vote: ``vote`` (n,) is 1 over the number of repeats, and
    only ratings by different raters are paired. Without repeats this is Krippendorff's definition.
    """

    first: IntArray  # (n_units,) where each unit's rows begin
    pair_first: IntArray  # (n_pairs,) where each (unit, rater)'s rows begin
    unit_of_pair_first: IntArray  # (n_units,) where each unit's (unit, rater) groups begin
    vote: FloatArray  # (n,)
    raters_of_unit: FloatArray  # (n_units,) distinct raters, at least 2
    value: FloatArray  # (n,)
    code: IntArray  # (n,) into levels
    levels: FloatArray  # (n_levels,) distinct values, rising
    n_raters: int


def _pairable(ratings: Ratings) -> _Pairable | None:
    key = ratings.unit * len(ratings.raters) + ratings.rater
    cells, cell, repeats = np.unique(key, return_inverse=True, return_counts=True)
    distinct = np.bincount(cells // len(ratings.raters), minlength=len(ratings.units))
    keep = distinct[ratings.unit] >= 2
    if not keep.any():
        return None
    unit, key = ratings.unit[keep], key[keep]
    levels, code = np.unique(ratings.value[keep], return_inverse=True)
    kept_cells, pair_first = np.unique(key, return_index=True)
    kept_units, first = np.unique(unit, return_index=True)
    _, unit_of_pair_first = np.unique(kept_cells // len(ratings.raters), return_index=True)
    return _Pairable(
        first=first.astype(np.int64),
        pair_first=pair_first.astype(np.int64),
        unit_of_pair_first=unit_of_pair_first.astype(np.int64),
        vote=1.0 / repeats[cell[keep]],
        raters_of_unit=distinct[kept_units].astype(np.float64),
        value=ratings.value[keep],
        code=code.astype(np.int64),
        levels=levels,
        n_raters=int(np.unique(ratings.rater[keep]).size),
    )


def _squared_differences(p: _Pairable, x: FloatArray) -> FloatArray:
    """Per unit: sum over ordered pairs by different raters of vote·vote·(x − x')², over (raters − 1).

    ``x`` is (..., n), one row of positions per resample; the answer is (..., n_units). Expanding the
    square makes it linear in the number of ratings, where listing the pairs would be quadratic.
    """
    sum_of_squares = np.add.reduceat(p.vote * x * x, p.first, axis=-1)
    total = np.add.reduceat(p.vote * x, p.first, axis=-1)
    own_mean = np.add.reduceat(p.vote * x, p.pair_first, axis=-1)
    own = np.add.reduceat(own_mean**2, p.unit_of_pair_first, axis=-1)
    m = p.raters_of_unit
    answer: FloatArray = 2.0 * ((m - 1) * sum_of_squares - total**2 + own) / (m - 1)
    return answer


def _mismatches(p: _Pairable) -> FloatArray:
    """The nominal metric per unit: votes on different categories, over (raters − 1)."""
    answer = np.zeros(p.first.size)
    for level in range(p.levels.size):  # a category is one coordinate, a mismatch half a squared distance
        answer += 0.5 * _squared_differences(p, (p.code == level).astype(np.float64))
    return answer


def _ratio_metric(a: FloatArray, b: FloatArray) -> FloatArray:
    total = a + b
    answer: FloatArray = np.divide(a - b, total, out=np.zeros_like(total), where=total > 0) ** 2
    return answer


def _ratio_differences(p: _Pairable) -> FloatArray:
    """The ratio metric per unit; it does not expand, so pairs are listed unit by unit."""
    ends = np.append(p.first[1:], p.value.size)
    cell = np.searchsorted(p.pair_first, np.arange(p.value.size), side="right")
    answer = np.empty(p.first.size)
    for u, (start, end) in enumerate(zip(p.first, ends, strict=True)):
        x, vote, who = p.value[start:end], p.vote[start:end], cell[start:end]
        metric = _ratio_metric(x[:, None], x[None, :]) * (who[:, None] != who[None, :])
        answer[u] = vote @ metric @ vote / (p.raters_of_unit[u] - 1)
    return answer


def _votes_per_level(p: _Pairable) -> FloatArray:
    """(n_units, n_levels): the votes each unit gave each distinct value."""
    unit = np.searchsorted(p.first, np.arange(p.value.size), side="right") - 1
    n_levels = p.levels.size
    votes = np.bincount(unit * n_levels + p.code, p.vote, p.first.size * n_levels).astype(np.float64)
    return votes.reshape(p.first.size, n_levels)


def _coincidences(p: _Pairable, votes: FloatArray) -> FloatArray:
    """(n_units, n_levels²): how often each pair of values met in each unit, over (raters − 1).

    The diagonal is not the published one (it is never used, a value being no distance from itself).
    """
    n_levels = p.levels.size
    met = votes[:, :, None] * votes[:, None, :]
    rows_of_cell = np.diff(np.append(p.pair_first, p.value.size))
    unit_of_cell = np.searchsorted(p.unit_of_pair_first, np.arange(p.pair_first.size), side="right") - 1
    for c in np.flatnonzero(rows_of_cell > 1).tolist():  # a rater does not meet himself
        rows = slice(p.pair_first[c], p.pair_first[c] + rows_of_cell[c])
        own = np.bincount(p.code[rows], p.vote[rows], n_levels)
        met[unit_of_cell[c]] -= np.outer(own, own)
    answer: FloatArray = (met / (p.raters_of_unit - 1)[:, None, None]).reshape(p.first.size, n_levels**2)
    return answer


@dataclass(frozen=True)
class _Disagreement:
    """Alpha of resamples, each a row of how often every unit was drawn; all that stays is computed once.

    ``observed`` takes counts (n_resamples, n_units) and marginal (n_resamples, n_levels), ``expected``
    marginal and n (n_resamples,). ``width`` is the longest row of numbers that one resample needs.
    """

    observed: Callable[[FloatArray, FloatArray], FloatArray]
    expected: Callable[[FloatArray, FloatArray], FloatArray]
    votes: FloatArray
    raters_of_unit: FloatArray
    width: int

    def alphas(self, counts: FloatArray) -> FloatArray:
        """(n_resamples,) alpha, NaN where it is not defined."""
        n = counts @ self.raters_of_unit
        marginal = counts @ self.votes
        observed, expected = self.observed(counts, marginal), self.expected(marginal, n)
        defined = ((marginal > 0).sum(axis=1) > 1) & (expected > 0)
        ratio = np.divide(observed * (n - 1), expected, out=np.full(n.shape, np.nan), where=defined)
        answer: FloatArray = 1.0 - ratio
        return answer


def _disagreement(p: _Pairable, level: Level) -> _Disagreement:
    votes, n_levels, n_units = _votes_per_level(p), p.levels.size, p.first.size
    if level == "ordinal":
        # Krippendorff's ordinal metric, the frequencies between two values with the two ends counted
        # half, is the squared distance between their mid-ranks; so it is the interval metric on ranks,
        # which are anew in each resample.
        def ranks(marginal: FloatArray) -> FloatArray:
            answer: FloatArray = np.cumsum(marginal, axis=1) - 0.5 * marginal
            return answer

        def expected_by_rank(marginal: FloatArray, n: FloatArray) -> FloatArray:
            rank = ranks(marginal)
            answer: FloatArray = 2.0 * (
                n * (marginal * rank**2).sum(axis=1) - (marginal * rank).sum(axis=1) ** 2
            )
            return answer

        if n_units * n_levels**2 <= _CHUNK:  # few values: how often they met is soon counted
            met = _coincidences(p, votes)

            def observed_by_meetings(counts: FloatArray, marginal: FloatArray) -> FloatArray:
                rank = ranks(marginal)
                distance = (rank[:, :, None] - rank[:, None, :]) ** 2
                answer: FloatArray = ((counts @ met).reshape(distance.shape) * distance).sum(axis=(1, 2))
                return answer

            width = max(n_units, n_levels**2)
            return _Disagreement(observed_by_meetings, expected_by_rank, votes, p.raters_of_unit, width)

        def observed_by_rating(counts: FloatArray, marginal: FloatArray) -> FloatArray:
            answer: FloatArray = (counts * _squared_differences(p, ranks(marginal)[:, p.code])).sum(axis=1)
            return answer

        return _Disagreement(observed_by_rating, expected_by_rank, votes, p.raters_of_unit, p.value.size)

    if level == "interval":
        centre = p.value.mean()  # the differences are what counts; large means would cancel badly
        at = p.levels - centre
        of_unit = _squared_differences(p, p.value - centre)

        def expected(marginal: FloatArray, n: FloatArray) -> FloatArray:
            answer: FloatArray = 2.0 * (n * (marginal @ at**2) - (marginal @ at) ** 2)
            return answer

    elif level == "nominal":
        of_unit = _mismatches(p)

        def expected(marginal: FloatArray, n: FloatArray) -> FloatArray:
            answer: FloatArray = n**2 - (marginal**2).sum(axis=1)
            return answer

    else:
        metric = _ratio_metric(p.levels[:, None], p.levels[None, :])
        of_unit = _ratio_differences(p)

        def expected(marginal: FloatArray, n: FloatArray) -> FloatArray:
            answer: FloatArray = ((marginal @ metric) * marginal).sum(axis=1)
            return answer

    def observed(counts: FloatArray, marginal: FloatArray) -> FloatArray:
        answer: FloatArray = counts @ of_unit
        return answer

    return _Disagreement(observed, expected, votes, p.raters_of_unit, max(n_units, n_levels))


def krippendorff_alpha(
    ratings: Ratings,
    *,
    level: Level,
    n_resamples: int = 0,
    rng: np.random.Generator | None = None,
) -> Alpha:
    """How far raters agree beyond chance, with a 95 % bootstrap interval when resamples are asked for.

    Units with a single rater say nothing about agreement and drop out; ``n_units``, ``n_raters`` and
    ``n_ratings`` count what remains. Repeats by one rater share one vote and are not paired with each
    other, since a rater's agreement with himself is repeatability, not agreement.

    The interval resamples whole units with replacement and takes the 2.5 and 97.5 percentiles; the
    expected disagreement (and for ordinal values the metric) is computed anew in each resample.
    Resamples where every value is the same have no alpha and are left out of ``n_resamples``. With
    fewer than about 20 units the interval is known to be too narrow.

    Raises
    ------
    Invalid
        for ratio-level values below zero, or labels at any level but nominal.
    ValueError
        when resamples are asked for without an ``rng``.

    References
    ----------
    Krippendorff, Computing Krippendorff's Alpha-Reliability (2011). Resampling of units: Zapf,
    Castell, Morawietz and Karch, BMC Medical Research Methodology 16:93 (2016).
    """
    if level not in LEVELS:
        raise ValueError(f"level must be one of {', '.join(LEVELS)}")
    if ratings.categories and level != "nominal":
        raise Invalid(f"The values are words, and only the nominal level takes words; {level} needs numbers.")
    if level == "ratio" and (ratings.value < 0).any():
        raise Invalid("The ratio level needs values of zero and above. Use the interval level instead.")
    if n_resamples and rng is None:
        raise ValueError("a bootstrap interval needs an rng")

    pairable = _pairable(ratings)
    if pairable is None:
        note = "No unit was rated by two raters, so there is no agreement to measure."
        return Alpha(level, None, None, None, 0, 0, 0, 0, note)
    n_units = pairable.first.size
    disagreement = _disagreement(pairable, level)
    point = float(disagreement.alphas(np.ones((1, n_units)))[0])
    counts = (n_units, pairable.n_raters, int(pairable.value.size))
    if not np.isfinite(point):
        note = "Every value is the same, so chance agreement is complete and alpha is not defined."
        return Alpha(level, None, None, None, *counts, 0, note)
    note = "" if n_units >= 20 else f"Only {n_units} units: the interval is likely too narrow."
    if not n_resamples or rng is None:
        return Alpha(level, point, None, None, *counts, 0, "")
    found: list[FloatArray] = []
    per_chunk = max(1, _CHUNK // disagreement.width)
    for start in range(0, n_resamples, per_chunk):
        size = min(per_chunk, n_resamples - start)
        draws = rng.multinomial(n_units, np.full(n_units, 1.0 / n_units), size=size)
        found.append(disagreement.alphas(draws.astype(np.float64)))
    alphas = np.concatenate(found)
    alphas = alphas[np.isfinite(alphas)]
    if n_units < 2 or alphas.size < 0.5 * n_resamples:
        note = "Too few units vary for a bootstrap interval."
        return Alpha(level, point, None, None, *counts, int(alphas.size), note)
    low, high = np.quantile(alphas, [0.025, 0.975])
    return Alpha(level, point, float(low), float(high), *counts, int(alphas.size), note)
