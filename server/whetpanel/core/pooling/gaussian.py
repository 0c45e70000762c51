"""The Gaussian solve: each stone is eliminated onto the small block of steels and testers.

Notation per stone, with K steels and q distinct testers. u_k = theta + alpha_k; every trial carries a
Gaussian site of precision w and natural mean n on eta = u_k + m_k − beta_r.

    W_k  = Σ w            b_k = Σ n            B_kr = −Σ w over the trials of tester r with steel k
    h    = 1/(1 + nu² W)  V = 1/(1/tau² + Σ_k W h)
    U    = diag(nu² h) + V h h'                          posterior covariance of u, given steels and testers
    H    = [diag(W), B]                                  how u hangs on (m, beta)
    M    = U H

A check stone (agreed grade A, precision c, reference weights a) adds c·(a·(u + m) − A)² to the exponent: U
loses κ (U a)(U a)' with κ = c/(1 + c a'U a), H gains c a a' in its steel columns, and b gains c A a.

    G   = prior + Σ w z z' + Σ c a a' − Σ_stones H'U H   precision of (m, beta); right side alike
    f   = z − M_k                                        Var(eta) = U_kk + f G⁻¹ f'
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_factor, cho_solve

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.core.pooling.design import Bucket, Design
from whetpanel.core.pooling.model import Hyper, PoolSettings


@dataclass(frozen=True)
class Anchors:
    """Check stones in sorted-stone order: precision and agreed value (units),
    zero precision where there is none.
    """

    precision: Floats
    value: Floats
    reference: Floats
    """(K,): weight of each steel in the printed grade; sums to 1."""


@dataclass
class Sites:
    """One Gaussian site per trial: precision ``w`` ≥ 0 and natural mean ``n`` = w · mean."""

    w: Floats
    n: Floats


@dataclass(frozen=True)
class Eliminated:
    """What one bucket of stones contributes. Shapes: (s,K,K), (s,K,q), (s,K), (s,K,K), (s,K,q)."""

    U: Floats
    B: Floats
    b: Floats
    M_steel: Floats
    M_tester: Floats
    H_steel: Floats


@dataclass(frozen=True)
class Block:
    """Posterior of (m, beta): mean (p+1,), covariance (p+1, p+1);
    the last row and column are empty padding.
    """

    mean: Floats
    cov: Floats


@dataclass(frozen=True)
class Moments:
    """Second moments of the stones' own effects, summed over stones, for the variance updates."""

    theta_sq: float
    theta_var: float
    alpha_sq: float
    alpha_var: float


@dataclass(frozen=True)
class Posterior:
    """Solution of one solve. eta and var are per trial; u is (S, K)."""

    block: Block
    eta: Floats
    var: Floats
    u: Floats
    moments: Moments


def _sums(at: Ints, weights: Floats, n: int) -> Floats:
    """Weights added up by index; floating even where there is nothing to add."""
    return np.bincount(at, weights, n).astype(np.float64, copy=False)


def eliminate(bucket: Bucket, K: int, sites: Sites, hyper: Hyper, anchors: Anchors) -> Eliminated:
    """U, B, b and M of one bucket; the formulas are in the module's docstring."""
    s, q = bucket.n, bucket.q
    w = sites.w[bucket.trials]
    B = -_sums(bucket.cell * q + bucket.slot, w, s * K * q).reshape(s, K, q)
    W = -B.sum(-1)
    b = _sums(bucket.cell, sites.n[bucket.trials], s * K).reshape(s, K)
    h = 1.0 / (1.0 + hyper.nu2 * W)
    V = 1.0 / (1.0 / hyper.tau2 + (W * h).sum(1))
    kk = np.arange(K)
    U = (V[:, None] * h)[:, :, None] * h[:, None, :]
    U[:, kk, kk] += hyper.nu2 * h
    c = anchors.precision[bucket.stones]
    a = anchors.reference
    H_steel = np.zeros((s, K, K))
    H_steel[:, kk, kk] = W
    if c.any():
        e = U @ a
        U -= (c / (1.0 + c * (e @ a)))[:, None, None] * e[:, :, None] * e[:, None, :]
        H_steel += c[:, None, None] * (a[:, None] * a)
        b = b + (c * anchors.value[bucket.stones])[:, None] * a
        M_steel = U @ H_steel
    else:
        M_steel = U * W[:, None, :]
    return Eliminated(U, B, b, M_steel, U @ B, H_steel)


def prior_precision(K: int, R: int, hyper: Hyper, settings: PoolSettings, tail: Floats) -> Floats:
    """(p, p) prior precision of (m, beta): m has a common level and a steel's own effect,
    beta is independent.
    """
    P = np.zeros((K + R, K + R))
    P[:K, :K] = np.linalg.inv(np.full((K, K), settings.level_sd**2) + settings.steel_sd**2 * np.eye(K))
    r = np.arange(K, K + R)
    P[r, r] = tail / hyper.tb2
    return P


def solve_block(
    design: Design, sites: Sites, hyper: Hyper, anchors: Anchors, settings: PoolSettings, tail: Floats
) -> tuple[Block, list[Eliminated]]:
    """Posterior of (m, beta) by the Schur complement, and the eliminated stones for the way back."""
    K, R = design.n_steels, design.n_testers
    p = K + R
    G = prior_precision(K, R, hyper, settings, tail)
    rhs = np.zeros(p)
    k, r = np.arange(K), np.arange(K, p)
    G[k, k] += np.bincount(design.steel, sites.w, K)
    G[r, r] += np.bincount(design.tester, sites.w, R)
    cross = np.bincount(design.steel * R + design.tester, sites.w, K * R).reshape(K, R)
    rhs[:K] = np.bincount(design.steel, sites.n, K)
    rhs[K:] = -np.bincount(design.tester, sites.n, R)
    a = anchors.reference
    G[:K, :K] += anchors.precision.sum() * (a[:, None] * a)
    rhs[:K] += (anchors.precision * anchors.value).sum() * a
    tester_part = np.zeros((R + 1) ** 2)
    steel_tester = np.zeros((K, R + 1))
    stones = []
    for bucket in design.buckets:
        e = eliminate(bucket, K, sites, hyper, anchors)
        stones.append(e)
        upper_i, upper_j = bucket.upper
        X = e.B.transpose(0, 2, 1) @ e.M_tester
        tester_part += np.bincount(bucket.pair, X[:, upper_i, upper_j].ravel(), (R + 1) ** 2)
        G[:K, :K] -= np.einsum("skl,skm->lm", e.H_steel, e.M_steel)
        Y = e.M_steel.transpose(0, 2, 1) @ e.B
        flat = bucket.testers.ravel()
        for j in range(K):
            steel_tester[j] += np.bincount(flat, Y[:, j].ravel(), R + 1)
        rhs[:K] -= np.einsum("skl,sk->l", e.M_steel, e.b)
        rhs[K:] -= np.bincount(flat, np.einsum("skq,sk->sq", e.M_tester, e.b).ravel(), R + 1)[:R]
    G[:K, K:] -= cross + steel_tester[:, :R]
    G[K:, :K] = G[:K, K:].T
    T = tester_part.reshape(R + 1, R + 1)[:R, :R]
    # Slots rise with the tester's code, so only the upper triangle was filled; mirror it.
    G[K:, K:] -= T + np.triu(T, 1).T
    factor = cho_factor(0.5 * (G + G.T), lower=True)
    cov = np.zeros((p + 1, p + 1))
    cov[:p, :p] = cho_solve(factor, np.eye(p))
    cov = 0.5 * (cov + cov.T)
    mean = np.zeros(p + 1)
    mean[:p] = cho_solve(factor, rhs)
    return Block(mean, cov), stones


@dataclass(frozen=True)
class Back:
    """One bucket's way back: u (s,K), M S in two parts, and the gathered covariance rows."""

    u: Floats
    T_steel: Floats
    T_tester: Floats
    var_u: Floats
    """(s, K): variance of u_k alone, steels and testers integrated out."""


def back_substitute(bucket: Bucket, K: int, e: Eliminated, block: Block) -> Back:
    """Mean and covariance of the stones' effects given the posterior of (m, beta)."""
    S = block.cov
    m = block.mean[:K]
    columns = K + bucket.testers
    beta = block.mean[columns]
    g = e.b - e.H_steel @ m - (e.B @ beta[:, :, None])[:, :, 0]
    u = (e.U @ g[:, :, None])[:, :, 0]
    S_rk = S[columns, :K]
    S_rr = S[columns[:, :, None], columns[:, None, :]]
    T_steel = e.M_steel @ S[:K, :K] + e.M_tester @ S_rk
    T_tester = e.M_steel @ S_rk.transpose(0, 2, 1) + e.M_tester @ S_rr
    kk = np.arange(K)
    var_u = e.U[:, kk, kk] + (T_steel * e.M_steel).sum(-1) + (T_tester * e.M_tester).sum(-1)
    return Back(u, T_steel, T_tester, var_u)


def predict_trials(
    bucket: Bucket, design: Design, block: Block, back: Back, eta: Floats, var: Floats
) -> None:
    """Write mean and variance of eta for the bucket's trials into ``eta`` and ``var``."""
    K, q = design.n_steels, bucket.q
    S = block.cov
    k = design.steel[bucket.trials]
    r = K + design.tester[bucket.trials]
    eta[bucket.trials] = back.u.ravel()[bucket.cell] + block.mean[k] - block.mean[r]
    S_diag = S.diagonal()
    v = (
        back.var_u.ravel()[bucket.cell]
        - 2.0 * back.T_steel.ravel()[bucket.cell * K + k]
        + 2.0 * back.T_tester.ravel()[bucket.cell * q + bucket.slot]
        + (S_diag[k] - 2.0 * S[k, r] + S_diag[r])
    )
    # Rounding can eat a variance that is nearly nothing; it may be small but never zero.
    var[bucket.trials] = np.maximum(v, 1e-12)


def stone_moments(e: Eliminated, back: Back, hyper: Hyper) -> tuple[float, float, float, float]:
    """Σ mean² and Σ variance of theta and of alpha over a bucket.

    theta given u is N(c Σu, v0) with c = tau²/(nu² + K tau²) and v0 = c nu²; alpha_k = u_k − theta.
    """
    K = back.u.shape[1]
    c = hyper.tau2 / (hyper.nu2 + K * hyper.tau2)
    v0 = c * hyper.nu2
    total = back.u.sum(1)
    theta = c * total
    var_total = (
        e.U.sum((1, 2))
        + (back.T_steel.sum(1) * e.M_steel.sum(1)).sum(-1)
        + (back.T_tester.sum(1) * e.M_tester.sum(1)).sum(-1)
    )
    theta_var = c * c * var_total + v0
    alpha_var = back.var_u.sum(1) - 2.0 * c * var_total + K * theta_var
    # E Σ(u_k − theta)²: the cross term uses E[theta Σu] = c E[(Σu)²].
    alpha_sq = ((back.u - theta[:, None]) ** 2).sum(1)
    return float((theta**2).sum()), float(theta_var.sum()), float(alpha_sq.sum()), float(alpha_var.sum())


def solve(
    design: Design, sites: Sites, hyper: Hyper, anchors: Anchors, settings: PoolSettings, tail: Floats
) -> Posterior:
    """Posterior of every trial's eta, of (m, beta), and the moments of the stones' effects."""
    K = design.n_steels
    block, stones = solve_block(design, sites, hyper, anchors, settings, tail)
    eta, var = np.empty(design.n_trials), np.empty(design.n_trials)
    u = np.empty((design.n_stones, K))
    sums = np.zeros(4)
    for bucket, e in zip(design.buckets, stones, strict=True):
        back = back_substitute(bucket, K, e, block)
        predict_trials(bucket, design, block, back, eta, var)
        u[bucket.stones] = back.u
        sums += stone_moments(e, back, hyper)
    return Posterior(block, eta, var, u, Moments(*(float(v) for v in sums)))


def solve_given_block(
    design: Design, sites: Sites, hyper: Hyper, anchors: Anchors, block: Block
) -> tuple[Floats, Floats]:
    """Mean and variance of eta per trial with the posterior of (m, beta) held as it is."""
    eta, var = np.empty(design.n_trials), np.empty(design.n_trials)
    for bucket in design.buckets:
        e = eliminate(bucket, design.n_steels, sites, hyper, anchors)
        predict_trials(bucket, design, block, back_substitute(bucket, design.n_steels, e, block), eta, var)
    return eta, var


@dataclass(frozen=True)
class StoneGrades:
    """Posterior of the printed quantities, in sorted-stone order, in units from the middle."""

    grade: Floats
    """(S,): mean of a·(u + m)."""
    var: Floats
    cell: Floats
    """(S, K): mean of u_k + m_k."""
    cell_var: Floats
    covariance_with_eta: Floats
    """(n,): Cov(grade of the trial's stone, the trial's eta)."""
    relative_var: Floats
    """(S,): variance of the grade minus the mean grade of the tested stones; the shared level drops out."""


def grade_stones(design: Design, sites: Sites, hyper: Hyper, anchors: Anchors, block: Block) -> StoneGrades:
    """Grades per stone and per stone and steel, given the posterior of (m, beta)."""
    K, S = design.n_steels, design.n_stones
    a = anchors.reference
    grade, var = np.empty(S), np.empty(S)
    cell, cell_var = np.empty((S, K)), np.empty((S, K))
    cov_eta = np.empty(design.n_trials)
    cov, m = block.cov, block.mean[:K]
    kk = np.arange(K)
    counts = (design.trials_of_stone > 0).astype(np.float64)
    counts /= max(counts.sum(), 1.0)
    mean_row, own_share = np.zeros(block.mean.size), 0.0
    rows = []
    for bucket in design.buckets:
        e = eliminate(bucket, K, sites, hyper, anchors)
        back = back_substitute(bucket, K, e, block)
        at = bucket.stones
        cell[at] = back.u + m
        cell_var[at] = np.maximum(back.var_u - 2.0 * back.T_steel[:, kk, kk] + cov.diagonal()[:K], 1e-12)
        grade[at] = cell[at] @ a
        # f̄ = [a, 0] − a'M, split into its steel and tester columns; then f̄ S by the same split.
        f_steel = a - np.einsum("k,skl->sl", a, e.M_steel)
        f_tester = -np.einsum("k,skq->sq", a, e.M_tester)
        columns = K + bucket.testers
        fS_steel = a @ cov[:K, :K] - np.einsum("k,skl->sl", a, back.T_steel)
        fS_tester = (a @ cov[:K])[columns] - np.einsum("k,skq->sq", a, back.T_tester)
        aU = np.einsum("k,skl->sl", a, e.U)
        share = counts[at]
        mean_row[:K] += share @ f_steel
        mean_row += _sums(columns.ravel(), (share[:, None] * f_tester).ravel(), mean_row.size)
        own_share += float((share**2) @ (aU @ a))
        rows.append((at, columns, f_steel, f_tester, share * (aU @ a)))
        var[at] = np.maximum(aU @ a + (fS_steel * f_steel).sum(-1) + (fS_tester * f_tester).sum(-1), 1e-12)
        own = (
            aU
            - np.einsum("sl,skl->sk", fS_steel, e.M_steel)
            - np.einsum("sq,skq->sk", fS_tester, e.M_tester)
            + fS_steel
        )
        stone = bucket.cell // K
        cov_eta[bucket.trials] = own.ravel()[bucket.cell] - fS_tester[stone, bucket.slot]
    with_mean = np.empty(S)
    mean_cov = cov @ mean_row
    for at, columns, f_steel, f_tester, own in rows:
        with_mean[at] = f_steel @ mean_cov[:K] + (f_tester * mean_cov[columns]).sum(1) + own
    relative = np.maximum(var - 2.0 * with_mean + mean_row @ mean_cov + own_share, 1e-12)
    return StoneGrades(grade, var, cell, cell_var, cov_eta, relative)
