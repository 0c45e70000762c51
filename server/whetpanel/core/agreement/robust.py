"""A robust mean and spread that one wild result cannot carry away (Algorithm A)."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from whetpanel.core.agreement.ratings import FloatArray
from whetpanel.errors import Invalid

# ISO 13528 Annex C: scale of the median absolute deviation, clipping width, and the factor that
# makes the clipped standard deviation unbiased for a normal sample.
MAD_FACTOR = 1.483
CLIP_WIDTH = 1.5
SPREAD_FACTOR = 1.134


@dataclass(frozen=True)
class RobustMean:
    """``mean`` x* and ``sd`` s* in the unit of the values; ``se`` is 1.25·s*/√n.

    ``steps`` holds every round as (lower limit, upper limit, x*, s*), the start first with its limits
    None. ``clipped`` (n,) marks the results that lay outside the last limits. ``converged`` is False
    when ``max_rounds`` ended the iteration.
    """

    mean: float
    sd: float
    se: float
    n: int
    rounds: int
    converged: bool
    clipped: tuple[bool, ...]
    steps: tuple[tuple[float | None, float | None, float, float], ...]


def algorithm_a(values: ArrayLike, *, tolerance: float = 1e-9, max_rounds: int = 500) -> RobustMean:
    """Robust mean and standard deviation of (n,) values by repeated clipping.

    Stops when neither x* nor s* moves by more than ``tolerance`` times s*. ISO 13528 asks for no
    change in the third significant figure, which can stop early: s* creeps (1.039 after four rounds
    against 1.070 in the example of ISO 5725-5). The default runs to convergence.

    When more than half of the values are equal the starting spread is zero and nothing could move;
    the plain standard deviation starts the iteration then.

    Raises Invalid for no value or one that is not finite.

    References
    ----------
    ISO 13528:2015 Annex C; ISO 5725-5:1998.
    """
    x: FloatArray = np.asarray(values, dtype=np.float64)
    if x.ndim != 1 or x.size == 0 or not np.isfinite(x).all():
        raise Invalid("Algorithm A needs at least one value, all of them finite.")
    n = x.size
    centre = float(np.median(x))
    spread = MAD_FACTOR * float(np.median(np.abs(x - centre)))
    if spread == 0 and n > 1:
        spread = float(x.std(ddof=1))
    steps: list[tuple[float | None, float | None, float, float]] = [(None, None, centre, spread)]
    converged = spread == 0
    clipped = np.zeros(n, dtype=bool)
    while not converged and len(steps) <= max_rounds:
        low, high = centre - CLIP_WIDTH * spread, centre + CLIP_WIDTH * spread
        clipped = (x < low) | (x > high)
        inside = np.clip(x, low, high)
        new_centre = float(inside.mean())
        new_spread = SPREAD_FACTOR * float(inside.std(ddof=1))
        moved = max(abs(new_centre - centre), abs(new_spread - spread))
        centre, spread = new_centre, new_spread
        steps.append((low, high, centre, spread))
        converged = moved <= tolerance * spread
    return RobustMean(
        mean=centre,
        sd=spread,
        se=1.25 * spread / float(np.sqrt(n)),
        n=n,
        rounds=len(steps) - 1,
        converged=converged,
        clipped=tuple(bool(c) for c in clipped),
        steps=tuple(steps),
    )
