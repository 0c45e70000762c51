"""Stones whose trials contradict each other: the answer has two peaks, and one normal must not pick one of them.

A grade far from all others is read as a possible slip, so its Gaussian site vanishes. With two trials that say 1 and
5 either may be the slip, yet the fit settles on one. Such stones are few; for them the posterior of the grade is
integrated on a grid, everything else held at the fit, and where it is clearly wider, its mean and variance are used.
"""

from dataclasses import replace

import numpy as np

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.fit import Fit, Problem
from whetpanel.core.pooling.gaussian import StoneGrades
from whetpanel.core.pooling.sites import normaliser

_GRID = np.linspace(-4.5, 4.5, 91)
"""Grades in units from the middle; the scale itself reaches from −2 to 2."""
_VANISHED = 1e-3
"""A site precision below this, in units, means that the fit takes the grade for a slip."""
_SHARE = 0.2
"""Share of a stone's trials taken for slips above which the majority is no longer beyond doubt."""
_WIDER = 1.2
"""How much wider the grid's sd has to be before it replaces the fit's."""


def face_conflicts(problem: Problem, fit: Fit, grades: StoneGrades) -> tuple[StoneGrades, Bools]:
    """Grades with the contradicted stones widened, and which those are (sorted order)."""
    design = problem.design
    torn = np.zeros(design.n_stones, dtype=np.bool_)
    slips = np.bincount(design.stone, fit.state.sites.w < _VANISHED, design.n_stones)
    suspects = np.flatnonzero(slips > _SHARE * design.trials_of_stone)
    if not suspects.size:
        return grades, torn
    mean, var = _integrate(problem, fit, suspects)
    wider = var > _WIDER**2 * grades.var[suspects]
    at = suspects[wider]
    if not at.size:
        return grades, torn
    torn[at] = True
    shift, more = mean[wider] - grades.grade[at], var[wider] - grades.var[at]
    new = replace(
        grades, grade=grades.grade.copy(), var=grades.var.copy(), cell=grades.cell.copy(),
        cell_var=grades.cell_var.copy(), relative_var=grades.relative_var.copy(),
    )  # fmt: skip
    new.grade[at] += shift
    new.var[at] += more
    new.relative_var[at] += more
    new.cell[at] += shift[:, None]
    new.cell_var[at] += more[:, None]
    return new, torn


def _integrate(problem: Problem, fit: Fit, stones: Ints) -> tuple[Floats, Floats]:
    """Mean and variance of each stone's grade by summing over the grid; shape (stones,) each."""
    prior, each, _, local = grade_log_density(problem, fit, stones)
    for g in range(_GRID.size):
        prior[:, g] += np.bincount(local, each[:, g], stones.size)
    return moments_on_grid(prior)


def moments_on_grid(log_density: Floats) -> tuple[Floats, Floats]:
    """Mean and variance per row of a log density over the grid, up to any constant."""
    p = np.exp(log_density - log_density.max(1, keepdims=True))
    p /= p.sum(1, keepdims=True)
    mean = p @ _GRID
    return mean, p @ _GRID**2 - mean**2


def grade_log_density(problem: Problem, fit: Fit, stones: Ints) -> tuple[Floats, Floats, Ints, Ints]:
    """What bears on each stone's grade, as logs over the grid: the prior with any agreed grade (stones, grid), the
    likelihood of each trial (rows, grid), the rows they stand in, and each row's place among ``stones``.
    """
    design, a, hyper = problem.design, problem.anchors.reference, fit.state.hyper
    block, K = fit.posterior.block, design.n_steels
    m, cov = block.mean[:K], block.cov
    level = float(a @ m)
    rows = design.ranges(stones)
    local = np.repeat(np.arange(stones.size), design.trials_of_stone[stones])
    lik = problem.likelihood.part(rows)
    k, r = design.steel[rows], K + design.tester[rows]
    # eta = grade + (alpha_k − a·alpha) + (m_k − a·m) − beta_r: the brackets and beta are noise about their means.
    shift = m[k] - level - block.mean[r]
    steel_var = np.einsum("kl,lm,km->k", np.eye(K) - a, cov[:K, :K], np.eye(K) - a)
    v = hyper.nu2 * (1.0 - 2.0 * a[k] + a @ a) + steel_var[k] + cov[r, r]
    prior_var = hyper.tau2 + hyper.nu2 * float(a @ a) + float(a @ cov[:K, :K] @ a)
    prior = np.repeat(-0.5 * (_GRID - level)[None, :] ** 2 / prior_var, stones.size, axis=0)
    c, value = problem.anchors.precision[stones], problem.anchors.value[stones]
    prior -= 0.5 * c[:, None] * (_GRID - value[:, None]) ** 2
    grid = fit.grid
    each = np.zeros((rows.size, _GRID.size))
    for g, x in enumerate(_GRID):
        total = np.zeros(rows.size)
        for j in range(grid.lapse.size):
            q = grid.q[lik.tester, j]
            if not (q > 1e-4).any():
                continue
            P, _, _ = normaliser(x + shift, v, lik.lower, lik.upper, grid.sigma2[lik.tester, j])
            total += q * ((1.0 - grid.lapse[j]) * P + grid.lapse[j] / lik.n_categories)
        each[:, g] = np.log(np.maximum(total, 1e-300))
    return prior, each, rows, local
