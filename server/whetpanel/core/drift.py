"""Does a tester's severity stay where it was? An EWMA chart of residuals in time order, and their best split.

A tester whose grades sink or rise over the months is not careless, and weight does not mend it: the
one severity the engine knows is then an average of two. The chart notices; the dealer decides.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from whetpanel.core.pooling import PoolResult
from whetpanel.errors import Invalid

FloatArray = NDArray[np.float64]

# With these the chart of a steady tester leaves its limits about once in 840 trials, and one that has
# shifted by a standard deviation after about eleven (Markov chain of Lucas and Saccucci 1990).
WEIGHT = 0.1
WIDTH = 3.0
MIN_TRIALS = 6
# A chart that has just come back inside its limits still counts as moved.
RECENT = 10
# The best split of a steady series scores above this about once in a hundred series, short or long
# (measured: 0.9 % of 40 trials, 2 % of 300 at 3.5; 0.3 and 0.4 % at 4).
SPLIT_SCORE = 3.8
# One slip of the finger is no drift: a residual counts for at most this many of its sds.
_MOST_SDS = 3.0
# Each side of a change needs a few trials, or one odd grade would pass for a change.
_SIDE = 3
# The stated sds count like this many moving ranges.
_SDS_COUNT = 10


@dataclass(frozen=True)
class EwmaChart:
    """The moving average ``z`` (..., n) with its limits; ``outside`` marks where it left them."""

    z: FloatArray
    low: FloatArray
    high: FloatArray
    outside: NDArray[np.bool_]


def ewma_chart(
    values: ArrayLike,
    sd: ArrayLike,
    *,
    target: float = 0.0,
    weight: float = WEIGHT,
    width: float = WIDTH,
    steady: bool = False,
) -> EwmaChart:
    """Exponentially weighted moving average of (..., n) values around ``target``.

    z_t = weight·x_t + (1 − weight)·z_{t−1}, z_0 = target; the limits are ``width`` of its standard
    deviations. ``sd`` is one number or (n,), one for each value: var_t = weight²·sd_t² +
    (1 − weight)²·var_{t−1}. With ``steady`` the limits take their long-run value from the start, as
    printed charts often do; else they open up from the first point, which catches an early move.

    Raises Invalid for a value that is not finite, an sd not above zero, or a weight outside (0, 1].

    References
    ----------
    Roberts, Technometrics 1:239–250 (1959); NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
    """
    x: FloatArray = np.asarray(values, dtype=np.float64)
    if not 0 < weight <= 1:
        raise Invalid("The weight of the newest value must be above 0 and at most 1.")
    n = x.shape[-1]
    s = np.broadcast_to(np.asarray(sd, dtype=np.float64), (n,))
    if not np.isfinite(x).all() or not np.isfinite(s).all() or (s <= 0).any():
        raise Invalid("A control chart needs finite values and standard deviations above zero.")
    z, variance = np.empty_like(x), np.empty(n)
    level, spread = np.full(x.shape[:-1], target), 0.0
    for t in range(n):
        level = weight * x[..., t] + (1 - weight) * level
        spread = weight**2 * s[t] ** 2 + (1 - weight) ** 2 * spread
        z[..., t], variance[t] = level, spread
    if steady:
        variance = weight / (2 - weight) * s**2
    reach = width * np.sqrt(variance)
    low, high = target - reach, target + reach
    return EwmaChart(z, low, high, (z < low) | (z > high))


@dataclass(frozen=True)
class Drift:
    """What one chart says about one tester; residuals are grade minus expected, so down is severe.

    ``state`` is ``too_few``, ``steady`` or ``moved``: the chart is outside its limits now or was within
    the last ten trials, or the series splits into two levels. ``since`` is then the position (from 0,
    in time order) of the first trial after the likeliest change, ``moved_by`` the mean residual after
    it less the mean before (in the grade's own unit; below zero is more severe) and ``moved_by_se`` its
    standard error, a little too small because the position was sought. They are None when no split
    explains why the chart left its limits.
    """

    state: Literal["too_few", "steady", "moved"]
    n_trials: int
    chart: EwmaChart
    since: int | None
    moved_by: float | None
    moved_by_se: float | None
    note: str


def _short_term(x: FloatArray, s: FloatArray) -> float:
    """By what factor the (n,) sds miss the scatter from one trial to the next.

    A tester who moved has a larger sigma in the engine's eyes, and limits drawn from it would hide the
    move; the moving range (mean |difference| of neighbours over 1.128) hardly feels it. The stated sds
    count like ten ranges more, so that a short series does not make up its own.
    """
    ranges = np.abs(np.diff(x / s)).sum() / 1.128
    return float((ranges + _SDS_COUNT) / (max(x.size - 1, 0) + _SDS_COUNT))


def _best_split(x: FloatArray, w: FloatArray) -> tuple[int, float, float]:
    """The split of (n,) values with precisions w that explains most; position, difference, its sd."""
    before_w, before = np.cumsum(w)[:-1], np.cumsum(w * x)[:-1]
    after_w, after = w.sum() - before_w, (w * x).sum() - before
    difference = after / after_w - before / before_w
    variance = 1 / before_w + 1 / after_w
    score = difference**2 / variance
    score[: _SIDE - 1] = -np.inf
    score[x.size - _SIDE :] = -np.inf
    at = int(np.argmax(score))
    return at + 1, float(difference[at]), float(np.sqrt(variance[at]))


def severity_drift(
    residuals: ArrayLike,
    sds: ArrayLike,
    *,
    centre: float | None = None,
    weight: float = WEIGHT,
    width: float = WIDTH,
    min_trials: int = MIN_TRIALS,
) -> Drift:
    """Chart one tester's (n,) residuals, in time order, each with its (n,) standard deviation.

    ``centre`` is the level the tester is expected to keep; by default the precision-weighted mean of
    the series itself. The sd of a residual holds the tester's own sigma and the uncertainty of the
    stone's grade; all are scaled to the scatter between neighbours. A residual farther than three of
    its sds from the centre is drawn in to three, so that a single slip cannot pass for a move.
    Residuals that are not finite (a trial the engine could not judge) are refused; the caller leaves
    them out.

    References
    ----------
    Moving range: NIST/SEMATECH e-Handbook, 6.3.2.2. Best split: Hawkins, Journal of the American
    Statistical Association 72:180–186 (1977).
    """
    x: FloatArray = np.asarray(residuals, dtype=np.float64)
    s: FloatArray = np.broadcast_to(np.asarray(sds, dtype=np.float64), x.shape)
    if x.ndim != 1:
        raise ValueError("residuals must be one tester's, one after the other")
    if not np.isfinite(x).all() or not np.isfinite(s).all() or (s <= 0).any():
        raise Invalid("Drift needs finite residuals and standard deviations above zero.")
    s = s * _short_term(x, s)
    w = 1.0 / s**2
    if centre is None:
        centre = float((w * x).sum() / w.sum()) if x.size else 0.0
    x = np.clip(x, centre - _MOST_SDS * s, centre + _MOST_SDS * s)
    chart = ewma_chart(x - centre, s, weight=weight, width=width)
    n = int(x.size)
    if n < max(min_trials, 2 * _SIDE):
        note = f"{n} trials are too few to tell whether the severity moves."
        return Drift("too_few", n, chart, None, None, None, note)
    since, moved_by, se = _best_split(x, w)
    left_limits = bool(chart.outside[-RECENT:].any())
    if not left_limits and abs(moved_by) < SPLIT_SCORE * se:
        return Drift("steady", n, chart, None, None, None, "")
    if abs(moved_by) < 2 * se:
        note = "The last grades lie off the tester's usual level; a check stone will show whether it stays."
        return Drift("moved", n, chart, None, None, None, note)
    way = "more severe" if moved_by < 0 else "more lenient"
    note = f"{abs(moved_by):.2f} {way} in the last {n - since} trials than in the {since} before them."
    return Drift("moved", n, chart, since, moved_by, se, note)


@dataclass(frozen=True)
class TesterDrift:
    """A tester's two charts. The check stones decide; the other stones warn earlier, being more.

    ``order`` and ``check_order`` give, for each point of the charts, the position of its trial in the
    caller's arrays.
    """

    all_stones: Drift
    check_stones: Drift
    order: tuple[int, ...]
    check_order: tuple[int, ...]
    note: str


def drift_by_tester(
    testers: Sequence[str],
    times: Sequence[float],
    residuals: ArrayLike,
    sds: ArrayLike,
    on_check_stone: Sequence[bool],
) -> Mapping[str, TesterDrift]:
    """Both charts for every tester, from all (n,) trials in any order.

    ``times`` are numbers that rise with time (seconds since any start); trials at the same moment keep
    the caller's order. Trials whose residual or sd is not finite are left out. A tester all of whose
    trials are left out has two empty charts.
    """
    x: FloatArray = np.asarray(residuals, dtype=np.float64)
    s: FloatArray = np.asarray(sds, dtype=np.float64)
    check = np.asarray(on_check_stone, dtype=np.bool_)
    if not len(testers) == len(times) == x.size == s.size == check.size:
        raise ValueError("one tester, time, residual, sd and check mark for each trial")
    usable = np.isfinite(x) & np.isfinite(s) & (s > 0)
    in_time = np.argsort(np.asarray(times, dtype=np.float64), kind="stable")
    rows: dict[str, list[int]] = {name: [] for name in sorted(set(testers))}
    for t in in_time.tolist():
        if usable[t]:
            rows[testers[t]].append(t)
    answer: dict[str, TesterDrift] = {}
    for name, order in rows.items():
        own = np.array(order, dtype=np.int64)
        own_check = own[check[own]]
        everywhere = severity_drift(x[own], s[own])
        checked = severity_drift(x[own_check], s[own_check])
        if checked.state == "moved":
            note = f"On check stones: {checked.note}"
        elif everywhere.state == "moved" and checked.state == "steady":
            note = f"On all stones: {everywhere.note} Check stones show no move: look at the stones first."
        elif everywhere.state == "moved":
            note = f"On all stones: {everywhere.note} A check stone would settle it."
        else:
            note = ""
        answer[name] = TesterDrift(everywhere, checked, tuple(order), tuple(own_check.tolist()), note)
    return answer


def drift_of_pooled(result: PoolResult, times: Mapping[str, float]) -> Mapping[str, TesterDrift]:
    """Both charts for every tester of a pooled scale, from each trial's residual without itself.

    ``times`` is trial id → number that rises with time; a trial without one is left out. A trial of an
    anchored stone is a trial of a check stone. The charts' positions count in ``result.trials``.

    The sd of a residual joins the tester's sigma, the uncertainty of the stone's grade and the rounding
    to a step (step²/12).
    """
    a = result.arrays
    stone, tester = _codes(result)
    sd = np.sqrt(a.sigma[tester] ** 2 + a.sd[stone] ** 2 + a.scale.step**2 / 12)
    when = np.array([times.get(trial_id, np.nan) for trial_id in result.trial_ids], dtype=np.float64)
    timed = np.isfinite(when)
    return drift_by_tester(
        [result.tester_names[r] for r in tester.tolist()],
        np.where(timed, when, 0.0).tolist(),
        np.where(timed, a.residual, np.nan),
        sd,
        np.isin(stone, a.anchored).tolist(),
    )


def _codes(result: PoolResult) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """(n,) stone and tester code of each trial, in the order of ``result.trials``."""
    design = result.arrays.problem.design
    stone, tester = np.empty(design.n_trials, dtype=np.int64), np.empty(design.n_trials, dtype=np.int64)
    stone[design.order] = design.stone_of[design.stone]
    tester[design.order] = design.tester
    return stone, tester
