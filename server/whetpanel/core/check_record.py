"""A tester's grades of check stones against the agreed ones, and what may be said of them on the whole."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

FEWEST_TRIALS = 6
FEWEST_STONES = 2
KNOWN_WITHIN = 0.5
"""Half width, in grades, within which a level near the agreed one is called level. Our own choice: half a step of the
scale by whole grades, a step of the scale by halves."""


@dataclass(frozen=True)
class CheckTrial:
    """One grade of a check stone beside the agreed one, in grades; ``agreed_sd`` is what the agreement leaves open."""

    stone: str
    reported: float
    agreed: float
    agreed_sd: float

    @property
    def difference(self) -> float:
        """Above zero: milder than agreed."""
        return self.reported - self.agreed


def check_level(trials: Sequence[CheckTrial]) -> str:
    """ "below", "level" or "above" the agreed grades, or "too_few" to say.

    The mean difference with its 90 % interval: Student's t on the means of the stones, since several trials of one
    stone share what is wrong with its agreed grade, with the agreed grades' own uncertainty added. It is told to the
    tester as well, so it says nothing of a single stone and rests on several trials of at least two.
    """
    by_stone: dict[str, list[CheckTrial]] = {}
    for trial in trials:
        by_stone.setdefault(trial.stone, []).append(trial)
    if len(trials) < FEWEST_TRIALS or len(by_stone) < FEWEST_STONES:
        return "too_few"
    means = np.array([np.mean([one.difference for one in some]) for some in by_stone.values()])
    n = means.size
    own = float(means.var(ddof=1)) / n
    agreed = sum(some[0].agreed_sd ** 2 for some in by_stone.values()) / n**2
    # The spread of the means holds the agreed grades' errors already; where few means agree by chance, they are
    # a floor.
    half = float(stats.t.ppf(0.95, n - 1)) * math.sqrt(max(own, agreed))
    mean = float(means.mean())
    if mean - half > 0:
        return "above"
    if mean + half < 0:
        return "below"
    return "level" if half <= KNOWN_WITHIN else "too_few"
