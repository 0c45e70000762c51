"""Does a tester's severity stay where it was? An EWMA chart of residuals in time order.

A tester whose grades sink or rise over the months is not careless, and weight does not mend it: the
one severity the engine knows is then an average of two. The chart notices; the dealer decides.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from whetpanel.errors import Invalid

FloatArray = NDArray[np.float64]

# With these a steady tester is flagged by mistake about once in 560 trials, and a shift of one
# standard deviation is found after about ten (Lucas and Saccucci 1990, Technometrics 32:1–12).
WEIGHT = 0.2
WIDTH = 3.0
MIN_TRIALS = 6
# A chart that has just come back inside its limits still counts as moved.
RECENT = 5
# One slip of the finger is no drift: a residual counts for at most this many of its sds.
_MOST_SDS = 3.0
# Each side of a change needs a few trials, or one odd grade would pass for a change.
_SIDE = 3


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

    ``state`` is ``too_few``, ``steady`` or ``moved`` (outside its limits now or within the last five
    trials). When moved: ``since`` is the position (from 0, in time order) of the first trial after the
    likeliest change, ``moved_by`` the mean residual after it less the mean before (grade steps of the
    scale's own unit; below zero is more severe) and ``moved_by_se`` its standard error, a little too
    small because the position was sought.
    """

    state: Literal["too_few", "steady", "moved"]
    n_trials: int
    chart: EwmaChart
    since: int | None
    moved_by: float | None
    moved_by_se: float | None
    note: str


def _likeliest_change(x: FloatArray, w: FloatArray) -> tuple[int, float, float]:
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
    stone's grade. A residual farther than three of its sds from the centre is drawn in to three, so
    that a single slip cannot pass for a move. Residuals that are not finite (a trial the engine could
    not judge) are refused; the caller leaves them out.
    """
    x: FloatArray = np.asarray(residuals, dtype=np.float64)
    s: FloatArray = np.broadcast_to(np.asarray(sds, dtype=np.float64), x.shape)
    if x.ndim != 1:
        raise ValueError("residuals must be one tester's, one after the other")
    w = 1.0 / np.maximum(s, 1e-9) ** 2
    if centre is None:
        centre = float((w * x).sum() / w.sum()) if x.size else 0.0
    x = np.clip(x, centre - _MOST_SDS * s, centre + _MOST_SDS * s)
    chart = ewma_chart(x - centre, s, weight=weight, width=width)
    n = int(x.size)
    if n < max(min_trials, 2 * _SIDE):
        note = f"{n} trials are too few to tell whether the severity moves."
        return Drift("too_few", n, chart, None, None, None, note)
    if not chart.outside[-RECENT:].any():
        return Drift("steady", n, chart, None, None, None, "")
    since, moved_by, se = _likeliest_change(x, w)
    way = "more severe" if moved_by < 0 else "more lenient"
    if abs(moved_by) < 2 * se:  # the chart left its limits, but no split of the series explains it
        note = "The last grades lie off the tester's usual level; a check stone will show whether it stays."
        return Drift("moved", n, chart, None, None, None, note)
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
