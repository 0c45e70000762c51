"""The model's constants (settings) and its five hyper-parameters.

One fit per graded scale. Trial t of stone i by tester r with a blade of steel k:

    eta_t = theta_i + alpha_ik + m_k − beta_r            m_k = mu + s_k
    y*_t ~ N(eta_t, sigma_r²)     the reported grade is y* rounded to a step and held inside the ends
    P(grade c) = (1 − L_r)·[Φ((u_c − eta)/sigma_r) − Φ((l_c − eta)/sigma_r)] + L_r/C

    theta ~ N(0, tau²)   alpha ~ N(0, nu²)   beta ~ N(0, tb²)   log sigma_r ~ N(rho0, om²)

All in units of a quarter of the scale, counted from its middle (GradeScale.unit).
"""

import math
from dataclasses import dataclass, fields

import numpy as np

from whetpanel.core.pooling.arrays import Floats
from whetpanel.errors import Invalid


@dataclass(frozen=True)
class ScalePrior:
    """Scaled-inverse-χ² prior on a variance: ``df`` pseudo-observations at standard deviation ``scale``."""

    df: float
    scale: float


@dataclass(frozen=True)
class PoolSettings:
    """Everything fixed before any grade is seen. Lengths in units of a quarter of the scale."""

    stone_spread: ScalePrior = ScalePrior(2.0, 0.8)
    steel_within_stone: ScalePrior = ScalePrior(2.0, 0.2)
    severity_spread: ScalePrior = ScalePrior(2.0, 0.3)
    precision_spread: ScalePrior = ScalePrior(2.0, 0.35)
    log_sigma_mean: float = math.log(0.4)
    log_sigma_mean_sd: float = 0.5
    severity_df: float = 8.0
    """Degrees of freedom of the severities' Student distribution:
    one tester far off does not stretch the spread for all.
    """
    level_sd: float = 1.0
    """Prior sd of the club's level about the middle of the scale."""
    steel_sd: float = 0.5
    """Prior sd of a steel's general effect."""
    lapse: tuple[float, ...] = (0.01, 0.3, 0.8)
    """Shares of grades given at random that a tester may have;
    the first one is everybody's slip of the finger.
    """
    lapse_weight: tuple[float, ...] = (0.9, 0.05, 0.05)
    """Prior probability of each share."""
    tolerance: float = 1e-3
    """Largest change between rounds, in posterior sd, at which the fit counts as settled."""
    max_rounds: int = 200
    widen: bool | None = None
    """Add the uncertainty of the hyper-parameters: True, False, or None for "while the club is small"."""
    widen_up_to_trials: int = 5000
    flag_at: float = 3.0
    """A trial sticks out when its standardised residual is at least this large."""

    def __post_init__(self) -> None:
        if len(self.lapse) != len(self.lapse_weight) or not self.lapse:
            raise Invalid("Give one prior weight for each lapse share.")
        if not all(0 <= v < 1 for v in self.lapse) or not math.isclose(
            sum(self.lapse_weight), 1.0, abs_tol=1e-9
        ):
            raise Invalid("Lapse shares lie in [0, 1) and their prior weights sum to 1.")
        if self.tolerance <= 0 or self.max_rounds < 1:
            raise Invalid("The tolerance is above zero and at least one round is allowed.")


@dataclass(frozen=True)
class Hyper:
    """The five hyper-parameters: four variances and the mean log sigma."""

    tau2: float
    nu2: float
    tb2: float
    rho0: float
    om2: float

    @classmethod
    def at_prior(cls, settings: PoolSettings) -> "Hyper":
        """The prior's own guess, from which a cold fit starts."""
        return cls(
            settings.stone_spread.scale**2,
            settings.steel_within_stone.scale**2,
            settings.severity_spread.scale**2,
            settings.log_sigma_mean,
            settings.precision_spread.scale**2,
        )

    def vector(self) -> Floats:
        """(log tau², log nu², log tb², rho0, log om²)."""
        return np.array(
            [math.log(self.tau2), math.log(self.nu2), math.log(self.tb2), self.rho0, math.log(self.om2)]
        )

    @classmethod
    def from_vector(cls, x: Floats) -> "Hyper":
        """Inverse of vector(), held inside BOUNDS."""
        v = np.clip(x, BOUNDS[:, 0], BOUNDS[:, 1])
        return cls(*(float(v[j]) if f.name == "rho0" else math.exp(v[j]) for j, f in enumerate(fields(cls))))


BOUNDS = np.array(
    [
        [math.log(1e-4), math.log(16.0)],
        [math.log(1e-5), math.log(1.0)],
        [math.log(1e-4), math.log(4.0)],
        [math.log(0.05), math.log(2.0)],
        [math.log(0.0025), math.log(2.25)],
    ]
)
"""Limits of the hyper-parameter vector. They only keep an empty direction from running away."""
