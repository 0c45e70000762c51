"""The account of a grade: what each trial said, what was taken out of it, what it counted, how the stone settled."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Floats
from whetpanel.core.pooling.history import estimates_over_time
from whetpanel.core.pooling.pool import held_inside
from whetpanel.core.pooling.result import PooledArrays, PoolResult


@dataclass(frozen=True)
class Estimate:
    """A grade and its 90 % interval, in grades of the scale."""

    grade: float
    low90: float
    high90: float


@dataclass(frozen=True)
class TrialAccount:
    """One trial as the pooling saw it. Lengths in grades of the scale.

    reported      the grade as given
    severity      how far its tester grades below the panel
    steel_lean    how far stones come out higher with this steel than over the reference steels
    corrected     reported + severity − steel_lean: what the trial says of the stone over the reference steels
    expected      the grade that this tester was expected to give, this trial left out
    residual      reported − expected
    standardised  the residual as a normal score
    pull          how far the trial moved its stone's grade: with it minus without it
    flag          "high" or "low" where the standardised residual reaches 3, else ""
    weight        how far the stone's grade would follow if this trial alone had read one grade higher; 0 for a grade
                  that the fit takes for a slip. The weights of a stone's trials sum to less than 1.
    after         the stone's grade once this trial and the stone's earlier ones were in (history.py)
    """

    trial_id: str
    reported: float
    severity: float
    steel_lean: float
    corrected: float
    expected: float
    residual: float
    standardised: float
    pull: float
    flag: str
    weight: float
    after: Estimate


@dataclass(frozen=True)
class StoneAccount:
    """A stone's trials in the order in which they were finished.

    before   the grade that was to be expected of it before any trial of its own
    borrowed 1 − the sum of the trials' weights: the part of the grade that rests on what the club's other stones, an
             agreed grade and the signs say
    """

    stone: str
    before: Estimate
    borrowed: float
    trials: tuple[TrialAccount, ...]


def steel_leans(result: PoolResult) -> dict[str, float]:
    """How far stones come out higher with each steel than over the reference steels, in grades: m_k − a·m."""
    a = result.arrays
    m = a.fit.posterior.block.mean[: len(result.steel_names)]
    lean = a.scale.unit * (m - float(a.reference @ m))
    return dict(zip(result.steel_names, lean.tolist(), strict=True))


def weights(arrays: PooledArrays) -> Floats:
    """(n,) in input order: Cov(G, eta_t)·w_t, the derivative of the stone's grade G in the trial's own reading.

    The posterior mean is the prior's part plus Σ_t Cov(G, eta_t) n_t over all trials, and n_t = w_t · reading.
    """
    out = np.empty(arrays.problem.design.n_trials)
    own = arrays.stone_grades.covariance_with_eta * arrays.fit.state.sites.w
    out[arrays.problem.design.order] = own
    return out


def account_for(
    result: PoolResult, when: Mapping[str, float], *, places: int | None = None
) -> tuple[StoneAccount, ...]:
    """Every stone's account, by name. ``when``: trial id → time it was finished; what is not named goes first, and
    trials of one moment go by their ids. ``places``: round every figure, for an account that is to be written down.
    """
    a = result.arrays
    d = a.problem.design
    times = np.array([when.get(trial_id, -np.inf) for trial_id in result.trial_ids], dtype=np.float64)
    in_turn = np.argsort(times, kind="stable")
    turn = np.empty(times.size)
    turn[in_turn] = np.arange(times.size)
    history = estimates_over_time(a.problem, a.fit, turn[d.order], a.torn[d.stone_of])
    offset = a.offset[d.stone_of]
    # What the hyper-parameters leave in doubt widens the earlier intervals as it widens the last one.
    wider = (a.sd / a.scale.unit)[d.stone_of] / np.sqrt(a.stone_grades.var)

    def listed(values: Floats) -> list[float]:
        # Rounding whole columns is many times quicker than rounding a million single numbers.
        out: list[float] = (values if places is None else values.round(places)).tolist()
        return out

    def estimates(mean: Floats, sd: Floats) -> list[Estimate]:
        held = held_inside(a.scale.from_units(mean), a.scale.unit * sd, a.scale)
        return [Estimate(*one) for one in zip(*map(listed, held), strict=True)]

    by_row = np.argsort(d.order, kind="stable")
    after = estimates(
        (history.after + offset[d.stone])[by_row], (np.sqrt(history.after_var) * wider[d.stone])[by_row]
    )
    before = estimates(history.before + offset, np.sqrt(history.before_var) * wider)
    reported = a.scale.at(d.category)[by_row]
    severity = a.severity[d.tester][by_row]
    lean = np.array(list(steel_leans(result).values()))[d.steel][by_row]
    weight = weights(a)
    rows = zip(
        result.trial_ids, listed(reported), listed(severity), listed(lean), listed(reported + severity - lean),
        listed(reported - a.residual), listed(a.residual), listed(a.standardised), listed(a.pull),
        [_FLAGS[flag] for flag in a.flag.tolist()], listed(weight), after, strict=True,
    )  # fmt: skip
    trials = [TrialAccount(*row) for row in rows]
    by_stone: dict[int, list[TrialAccount]] = {}
    stones = d.stone[by_row].tolist()
    for n in in_turn.tolist():
        by_stone.setdefault(stones[n], []).append(trials[n])
    borrowed = listed((1.0 - np.bincount(d.stone[by_row], weight, d.n_stones)).astype(np.float64))
    return tuple(
        StoneAccount(name, before[at], borrowed[at], tuple(by_stone.get(at, ())))
        for name, at in zip(result.stone_names, d.position.tolist(), strict=True)
    )


_FLAGS = {-1: "low", 0: "", 1: "high"}
