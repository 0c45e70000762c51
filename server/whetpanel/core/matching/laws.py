"""From what the panel knows of stones to what it knows of a stone with a buyer's blades.

A stone's grades with the club's K steels and with the average steel b follow one normal law (pooling.posterior). A
buyer's steel that the club tried is one of the K. Any other steel k* is

    g* = b + d*,    d* ~ N(0, s²),    s² = nu² + (a steel's general effect)², both from the pooled model

and by the pooled model alone nothing ties d* to the steels tried. Steels of one composition class are taken to share
a part ``CLASS_SHARE`` of that variance, so that with n tried steels of the class

    g* = b + w Σ (g_k − b) + e,    w = r / (1 + (n − 1) r),    Var e = s² (1 − n w r)

which is the model's own answer for r = 0, and for r = 1 says that a class is one steel. Two untried steels of one class
share s² (r − n w r) of e.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from whetpanel.core.steels import SteelMap

Floats = npt.NDArray[np.float64]

CLASS_SHARE = 0.5
"""Share of the variance between steels that goes with the composition class.

Common practice, no source: a stone that slips on one high-alloy steel is expected to slip on the next. A club whose
trials hold two steels of each class could learn it; with one a class, as the default protocols have, none can.
"""


@dataclass(frozen=True)
class StoneLaws:
    """One scale's laws: ``mean`` (S, K+1) and ``cov`` (S, K+1, K+1) over the K steels and b, in grades, unclipped."""

    scale: str
    name: str
    low: float
    high: float
    step: float
    steels: tuple[str, ...]
    stones: tuple[str, ...]
    mean: Floats
    cov: Floats
    new_steel_var: float


class BladeLaws(NamedTuple):
    """A stone's grade with each of J blades together: ``mean`` (S, J), ``cov`` (S, J, J)."""

    mean: Floats
    cov: Floats


def blade_laws(laws: StoneLaws, maps: Sequence[SteelMap], *, class_share: float = CLASS_SHARE) -> BladeLaws:
    """The law of every stone's grades with the buyer's blades, one column for each map.

    Two blades of one and the same untried steel should come as one map: here each map brings a steel of its own.
    """
    K, r = len(laws.steels), class_share
    at = {steel: k for k, steel in enumerate(laws.steels)}
    weights = np.zeros((len(maps), K + 1))
    own = np.zeros((len(maps), len(maps)))
    for j, one in enumerate(maps):
        known = [at[steel] for steel in one.steels if steel in at]
        if one.how == "same" and known:
            weights[j, known[0]] = 1.0
            continue
        n = len(known)
        w = r / (1.0 + (n - 1) * r) if n else 0.0
        weights[j, known] = w
        weights[j, K] = 1.0 - n * w
        own[j, j] = 1.0 - n * w * r
        for i, other in enumerate(maps[:j]):
            alike = other.steel_class is not None and other.steel_class == one.steel_class
            if alike and own[i, i] > 0.0:
                own[i, j] = own[j, i] = r - n * w * r
    return BladeLaws(laws.mean @ weights.T, weights @ laws.cov @ weights.T + laws.new_steel_var * own)
