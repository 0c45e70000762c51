"""From a pooled scale and the stones' signs to the prior means of the next pooling."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling import PoolResult
from whetpanel.core.signs import SIGNS, SignCheck, SignsAnswer, learn_from_signs


@dataclass(frozen=True)
class SignPriors:
    """What the signs say of the stones of one pooled scale.

    ``shift`` goes to ``pool_grades(prior_mean=...)``: how far each stone's starting point lies from the
    average stone's, in grades; empty when the signs are left out. ``checks`` has the graded stones by
    name, those that contradict their signs first.
    """

    answer: SignsAnswer
    shift: Mapping[str, float]
    checks: Mapping[str, SignCheck]


def learn_from_pooled(
    result: PoolResult, signs: Mapping[str, Mapping[str, float]], *, rng: np.random.Generator
) -> SignPriors:
    """Learn from a scale pooled *without* signs; ``signs`` is stone → sign → value, gaps simply absent.

    The engine's prior and the club's common level are taken out of each grade first. A stone of
    ``signs`` that the result does not know is passed over: pool with ``stones=`` to have it foretold.

    Raises Invalid as ``learn_from_signs`` does.
    """
    a = result.arrays
    hyper = a.fit.state.hyper
    # A stone's printed grade is its own level plus its mean effect over the reference steels.
    prior_sd = a.scale.unit * float(np.sqrt(hyper.tau2 + hyper.nu2 * (a.reference**2).sum()))
    values = np.array(
        [[signs.get(name, {}).get(kind.name, np.nan) for kind in SIGNS] for name in result.stone_names],
        dtype=np.float64,
    ).reshape(len(result.stone_names), len(SIGNS))
    # The level of the whole club is one error common to all stones. It moves every grade alike, so the
    # slopes do not feel it, and it must not pass for noise of each stone.
    own_sd = np.sqrt(np.maximum(a.sd**2 - a.level_sd**2, 0.2 * a.sd**2))
    known = (a.n_trials > 0) | np.isin(np.arange(a.sd.size), a.anchored)
    answer = learn_from_signs(
        values,
        np.where(known, a.estimate, np.nan),
        np.where(known, own_sd, np.nan),
        rng=rng,
        prior_mean=a.level,
        prior_sd=prior_sd,
        unit=a.scale.unit,
    )
    if answer.prior_mean is None:
        return SignPriors(answer, {}, {})
    middle = float(answer.prior_mean[known].mean())
    shift = {
        name: float(mean) - middle for name, mean in zip(result.stone_names, answer.prior_mean, strict=True)
    }
    by_surprise = sorted(answer.checks, key=lambda c: (not c.contradicts, -abs(c.z), c.stone))
    return SignPriors(answer, shift, {result.stone_names[c.stone]: c for c in by_surprise})
