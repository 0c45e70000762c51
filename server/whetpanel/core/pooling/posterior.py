"""What the fit knows of each stone as a whole: its grade with every steel together, and with a steel nobody tried.

A stone's grades with different steels share its own part and the testers who tried it, so they lean together; and a
steel the panel never had is one more draw of the same model. Both follow from one small normal law a stone, over

    g_k = theta + alpha_k + m_k      the grade with each of the K steels
    b   = theta + mu                 the grade with the average of all steels there could be

theta given u is N(c Σ u_k, c nu²) with c = tau²/(nu² + K tau²), mu given m is N(c' Σ m_k, c' s²) with
c' = l²/(s² + K l²), l the prior sd of the level and s that of a steel's general effect. So every entry is linear in
(u, m) plus, for b, noise of its own; the fit gives Cov(u, m). The grade with a new steel is b plus a draw of variance
nu² + s².
"""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Floats
from whetpanel.core.pooling.design import by_input
from whetpanel.core.pooling.gaussian import back_substitute, eliminate
from whetpanel.core.pooling.result import PooledArrays


@dataclass(frozen=True)
class StonePosteriors:
    """One normal law a stone over (g_1 … g_K, b), in grades, before anything is held inside the scale's ends.

    mean           (S, K+1), in the order of the input's stones and steels; the last column is b
    cov            (S, K+1, K+1)
    new_steel_var  variance by which the grade with a steel nobody tried scatters about b
    """

    mean: Floats
    cov: Floats
    new_steel_var: float


def stone_posteriors(arrays: PooledArrays) -> StonePosteriors:
    """The law of every stone's grades, agreeing with the printed grades in mean and sd.

    Notes
    -----
    The printed sd holds what small clubs add for the uncertain hyper-parameters, and the mean and sd of stones whose
    trials contradict each other come from a grid. Both are carried over by scaling the fit's covariance to the
    printed sd, correlations kept; b is scaled as the stone's overall grade is.
    """
    problem, fit = arrays.problem, arrays.fit
    design, settings, hyper = problem.design, problem.settings, fit.state.hyper
    block, K, S = fit.posterior.block, design.n_steels, design.n_stones
    unit, a = arrays.scale.unit, arrays.reference
    c = hyper.tau2 / (hyper.nu2 + K * hyper.tau2)
    level2, steel2 = settings.level_sd**2, settings.steel_sd**2
    c_level = level2 / (steel2 + K * level2)
    of_u = np.vstack([np.eye(K), np.full(K, c)])
    of_m = np.vstack([np.eye(K), np.full(K, c_level)])
    mean, cov = np.empty((S, K + 1)), np.empty((S, K + 1, K + 1))
    for bucket in design.buckets:
        e = eliminate(bucket, K, fit.state.sites, hyper, problem.anchors)
        back = back_substitute(bucket, K, e, block)
        columns = K + bucket.testers
        f_steel = of_m - of_u @ e.M_steel
        f_tester = -(of_u @ e.M_tester)
        cross = f_steel @ block.cov[:K][:, columns].transpose(1, 0, 2) @ f_tester.transpose(0, 2, 1)
        cov[bucket.stones] = (
            of_u @ e.U @ of_u.T
            + f_steel @ block.cov[:K, :K] @ f_steel.transpose(0, 2, 1)
            + cross
            + cross.transpose(0, 2, 1)
            + f_tester @ block.cov[columns[:, :, None], columns[:, None, :]] @ f_tester.transpose(0, 2, 1)
        )
        mean[bucket.stones] = back.u @ of_u.T + block.mean[:K] @ of_m.T
    cov[:, K, K] += c * hyper.nu2 + c_level * steel2
    mean, cov = by_input(mean, design) + arrays.offset[:, None], by_input(cov, design)
    cells = cov[:, :K, :K]
    raw_sd = np.sqrt(np.maximum(np.einsum("k,skl,l->s", a, cells, a), 1e-12))
    stretch = np.column_stack(
        [
            arrays.cell_sd / np.sqrt(np.maximum(np.diagonal(cells, axis1=1, axis2=2), 1e-12)),
            arrays.sd / raw_sd,
        ]
    )
    shift = arrays.scale.to_units(arrays.estimate) - mean[:, :K] @ a
    return StonePosteriors(
        mean=arrays.scale.from_units(mean + shift[:, None]),
        cov=stretch[:, :, None] * cov * stretch[:, None, :],
        new_steel_var=unit**2 * (hyper.nu2 + steel2),
    )
