"""Hyper-parameters: the fixed point of the marginal likelihood with scaled-inverse-χ² priors, and its
gradient.

For a variance v shared by n effects with posterior means x and posterior variances c, prior df d0 at sd s0:

    v ← (d0 s0² + Σ x²)/(d0 + n − Σ c/v)            (MacKay, Neural Computation 4:415–447, 1992, with a prior)
    d log evidence / d log v = ½ (Σ (x² + c)/v − n) + ½ d0 (s0²/v − 1)
"""

import numpy as np

from whetpanel.core.pooling.arrays import Floats
from whetpanel.core.pooling.gaussian import Posterior
from whetpanel.core.pooling.model import Hyper, PoolSettings, ScalePrior
from whetpanel.core.pooling.sites import Precisions


def fixed_point(old: float, square: float, var: float, n: int, prior: ScalePrior) -> float:
    """One step of the fixed point above;
    ``var``/old is how much of the n effects the data left undetermined.
    """
    determined = max(n - min(var / old, n), 1e-3)
    return (prior.df * prior.scale**2 + square) / (prior.df + determined)


def next_hyper(
    post: Posterior, testers: Precisions, hyper: Hyper, settings: PoolSettings, n_stones: int, tail: Floats
) -> Floats:
    """The hyper-parameter vector that one fixed-point step leads to."""
    K = post.u.shape[1]
    mo = post.moments
    beta = post.block.mean[K:-1]
    beta_var = post.block.cov.diagonal()[K:-1]
    tau2 = fixed_point(hyper.tau2, mo.theta_sq, mo.theta_var, n_stones, settings.stone_spread)
    nu2 = fixed_point(hyper.nu2, mo.alpha_sq, mo.alpha_var, n_stones * K, settings.steel_within_stone)
    tb2 = fixed_point(
        hyper.tb2,
        float((tail * beta**2).sum()),
        float((tail * beta_var).sum()),
        beta.size,
        settings.severity_spread,
    )
    rho0, om2 = _next_precision(testers, hyper, settings)
    return np.array([np.log(tau2), np.log(nu2), np.log(tb2), rho0, np.log(om2)])


def _next_precision(testers: Precisions, hyper: Hyper, settings: PoolSettings) -> tuple[float, float]:
    """Mean and variance of the testers' log sigma:
    each posterior is read as prior times one normal observation.
    """
    mean, var = testers.log_sigma()
    var = np.minimum(var, 0.98 * hyper.om2)
    information = 1.0 / var - 1.0 / hyper.om2
    z = (mean / var - hyper.rho0 / hyper.om2) / information
    w = 1.0 / (hyper.om2 + 1.0 / information)
    p = 1.0 / settings.log_sigma_mean_sd**2
    rho0 = (float((w * z).sum()) + p * settings.log_sigma_mean) / (float(w.sum()) + p)
    square = float(((mean - hyper.rho0) ** 2).sum())
    om2 = fixed_point(hyper.om2, square, float(var.sum()), mean.size, settings.precision_spread)
    return rho0, om2


def next_tail(post: Posterior, hyper: Hyper, settings: PoolSettings) -> Floats:
    """(R,) precision multipliers of a Student severity as a scale mixture: (df + 1)/(df + E beta²/tb²)."""
    K = post.u.shape[1]
    square = post.block.mean[K:-1] ** 2 + post.block.cov.diagonal()[K:-1]
    return (settings.severity_df + 1.0) / (settings.severity_df + square / hyper.tb2)


def evidence_gradient(
    post: Posterior, testers: Precisions, hyper: Hyper, settings: PoolSettings, n_stones: int, tail: Floats
) -> Floats:
    """Gradient of log evidence plus log prior in the hyper-parameter vector, at a settled fit."""
    K = post.u.shape[1]
    mo = post.moments

    def slope(v: float, square: float, n: int, prior: ScalePrior) -> float:
        return 0.5 * (square / v - n) + 0.5 * prior.df * (prior.scale**2 / v - 1.0)

    beta = post.block.mean[K:-1]
    beta_var = post.block.cov.diagonal()[K:-1]
    mean, var = testers.log_sigma()
    pull = (float(mean.sum()) - mean.size * hyper.rho0) / hyper.om2
    return np.array(
        [
            slope(hyper.tau2, mo.theta_sq + mo.theta_var, n_stones, settings.stone_spread),
            slope(hyper.nu2, mo.alpha_sq + mo.alpha_var, n_stones * K, settings.steel_within_stone),
            slope(hyper.tb2, float((tail * (beta**2 + beta_var)).sum()), beta.size, settings.severity_spread),
            pull - (hyper.rho0 - settings.log_sigma_mean) / settings.log_sigma_mean_sd**2,
            slope(
                hyper.om2,
                float(((mean - hyper.rho0) ** 2 + var).sum()),
                mean.size,
                settings.precision_spread,
            ),
        ]
    )
