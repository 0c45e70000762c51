"""How a grade came about: each earlier estimate agrees with fitting without the later trials, and each weight with
what moving that trial does.
"""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from tests.core.pooling.test_gaussian import HYPER, SETTINGS, random_problem
from tests.simulation import HARDNESS, ClubPlan, draw_plan, simulate_club

from whetpanel.core.pooling import (
    PoolSettings,
    TrialGrade,
    account_for,
    pool_arrays,
    pool_grades,
    steel_leans,
)
from whetpanel.core.pooling.account import weights
from whetpanel.core.pooling.design import build_design
from whetpanel.core.pooling.fit import Fit, Problem, State
from whetpanel.core.pooling.gaussian import Anchors, Sites, grade_stones, solve
from whetpanel.core.pooling.history import estimates_over_time
from whetpanel.core.pooling.model import Hyper
from whetpanel.core.pooling.sites import Likelihood, Precisions, make_grid


def settled(design, sites, anchors, tail, hyper=HYPER, settings=SETTINGS):
    """A fit whose sites are given: what is left of the model is Gaussian."""
    n, R = design.n_trials, design.n_testers
    cut = np.zeros(n)
    problem = Problem(design, Likelihood(cut - 0.25, cut + 0.25, design.tester, 9), anchors, settings)
    testers = Precisions.at_prior(R, hyper, settings)
    grid = make_grid(testers, hyper, settings, 7, np.zeros(R, dtype=bool))
    post = solve(design, sites, hyper, anchors, settings, tail)
    return problem, Fit(State(sites, testers, hyper, tail), post, grid, 1, True, 0)


def mixed_model(design, sites, anchors, tail):
    """The rows of Henderson's mixed model equations as weighted least squares: each prior is an observation too.

    Returns (X, y, weight, row of each trial, row of each agreed grade, the grades' rows).
    Henderson, Biometrics 31:423–447, 1975.
    """
    S, R, K = design.n_stones, design.n_testers, design.n_steels
    at_alpha, at_mu, at_s, at_beta = S, S + S * K, S + S * K + 1, S + S * K + 1 + K
    size = at_beta + R
    prior = np.concatenate(
        [
            np.full(S, 1 / HYPER.tau2), np.full(S * K, 1 / HYPER.nu2), [SETTINGS.level_sd**-2],
            np.full(K, SETTINGS.steel_sd**-2), tail / HYPER.tb2,
        ]
    )  # fmt: skip
    Z = np.zeros((design.n_trials, size))
    t = np.arange(design.n_trials)
    Z[t, design.stone] = Z[t, at_alpha + design.stone * K + design.steel] = 1.0
    Z[t, at_mu] = Z[t, at_s + design.steel] = 1.0
    Z[t, at_beta + design.tester] = -1.0
    G = np.zeros((S, size))
    for i in range(S):
        G[i, i] = G[i, at_mu] = 1.0
        G[i, at_alpha + i * K : at_alpha + (i + 1) * K] = anchors.reference
        G[i, at_s : at_s + K] = anchors.reference
    agreed = np.flatnonzero(anchors.precision)
    X = np.concatenate([np.eye(size), Z, G[agreed]])
    y = np.concatenate([np.zeros(size), sites.n / sites.w, anchors.value[agreed]])
    weight = np.concatenate([prior, sites.w, anchors.precision[agreed]])
    return X, y, weight, size, G


@pytest.mark.parametrize("seed", range(3))
def test_each_earlier_estimate_is_the_least_squares_answer_without_the_later_trials(seed):
    """statsmodels' WLS on the mixed model equations, the stone's later rows left out; check stones included."""
    rng = np.random.default_rng(seed)
    design, sites, anchors, tail = random_problem(rng)
    when = rng.permutation(design.n_trials).astype(float)
    problem, fit = settled(design, sites, anchors, tail)
    X, y, weight, first, G = mixed_model(design, sites, anchors, tail)

    history = estimates_over_time(problem, fit, when, read_anew=0)

    for i in range(design.n_stones):
        rows = np.flatnonzero(design.stone == i)
        rows = rows[np.argsort(when[rows])]
        for j in range(rows.size + 1):
            keep = np.ones(y.size, dtype=bool)
            keep[first + rows[j:]] = False
            answer = sm.WLS(y[keep], X[keep], weights=weight[keep]).fit()
            mean = history.before[i] if j == 0 else history.after[rows[j - 1]]
            var = history.before_var[i] if j == 0 else history.after_var[rows[j - 1]]
            assert G[i] @ answer.params == pytest.approx(mean, abs=1e-9)
            assert G[i] @ answer.normalized_cov_params @ G[i] == pytest.approx(var, abs=1e-9)


def test_a_trials_weight_is_its_row_of_the_least_squares_answer():
    """The grade is linear in the trials' readings; the weight is the coefficient, by statsmodels' pseudo-inverse."""
    rng = np.random.default_rng(5)
    design, sites, anchors, tail = random_problem(rng)
    _, fit = settled(design, sites, anchors, tail)
    X, y, weight, first, G = mixed_model(design, sites, anchors, tail)
    model = sm.WLS(y, X, weights=weight)
    model.fit()
    # params = pinv(sqrt(W) X) sqrt(W) y
    slope = G @ model.pinv_wexog * np.sqrt(weight)
    grades = grade_stones(design, sites, HYPER, anchors, fit.posterior.block)

    told = grades.covariance_with_eta * sites.w

    t = np.arange(design.n_trials)
    assert slope[design.stone, first + t] == pytest.approx(told, abs=1e-10)


def test_with_testers_and_steels_known_the_estimate_is_the_textbook_one():
    """Conjugate normal: precision 1/tau² + Σw, mean Σwy over it (Gelman et al., Bayesian Data Analysis, 3rd ed.
    2013, section 2.5), worked by hand: tau² = 1, w = 4, y = 0.5 and 1.0 → 0.4 of 1/5, then 6/9 of 1/9.
    """
    nobody = np.zeros(2, dtype=np.int64)
    design = build_design(nobody, nobody, nobody, np.array([4, 5]), n_stones=1, n_testers=1, n_steels=1)
    sites = Sites(np.array([4.0, 4.0]), np.array([2.0, 4.0]))
    known = replace(SETTINGS, level_sd=1e-6, steel_sd=1e-6)
    anchors = Anchors(np.zeros(1), np.zeros(1), np.ones(1))
    hyper = Hyper(1.0 - 1e-9, 1e-9, 1e-12, -1.0, 0.2)
    problem, fit = settled(design, sites, anchors, np.ones(1), hyper, known)

    history = estimates_over_time(problem, fit, np.array([0.0, 1.0]), read_anew=0)

    assert (0.0, 1.0) == pytest.approx((history.before[0], history.before_var[0]), abs=1e-6)
    assert [2 / 5, 6 / 9] == pytest.approx(history.after.tolist(), abs=1e-6)
    assert [1 / 5, 1 / 9] == pytest.approx(history.after_var.tolist(), abs=1e-6)


def course_against_refits(plan, seed, n_stones, read_anew=30):
    """Largest distance in grades and largest ratio of sd, over cold fits that leave out a stone's later trials."""
    rng = np.random.default_rng(seed)
    club = simulate_club(draw_plan(plan, rng), rng)
    n, S = club.stone.size, plan.n_stones
    when = rng.permutation(n).astype(float)
    result = club.pool()
    design = result.problem.design
    history = estimates_over_time(
        result.problem, result.fit, when[design.order], result.torn[design.stone_of], read_anew=read_anew
    )
    sorted_row = np.empty(n, dtype=np.int64)
    sorted_row[design.order] = np.arange(n)
    away, ratio = [], []
    for i in rng.choice(S, n_stones, replace=False):
        rows = np.flatnonzero(club.stone == i)
        rows = rows[np.argsort(when[rows])]
        for j in range(rows.size):
            keep = np.ones(n, dtype=bool)
            keep[rows[j:]] = False
            refit = pool_arrays(
                club.stone[keep], club.tester[keep], club.steel[keep], club.grade[keep], scale=HARDNESS,
                n_stones=S, n_testers=plan.n_testers, n_steels=plan.n_steels,
                settings=PoolSettings(widen=False),
            )  # fmt: skip
            at = refit.problem.design.position[i]
            if j == 0:
                mean, var = history.before[design.position[i]], history.before_var[design.position[i]]
            else:
                mean, var = history.after[sorted_row[rows[j - 1]]], history.after_var[sorted_row[rows[j - 1]]]
            away.append(abs(mean - refit.stone_grades.grade[at]))
            ratio.append(np.sqrt(var / refit.stone_grades.var[at]))
    return np.max(away), np.abs(np.log(ratio)).max()


@pytest.mark.parametrize(
    "plan",
    [ClubPlan(), ClubPlan(n_careless=2), ClubPlan(mu=4.3)],
    ids=["ordinary", "two careless testers", "grades at the end of the scale"],
)
def test_the_course_is_close_to_fitting_without_the_later_trials(plan):
    """Over twelve stones of each of three clubs the largest distance was 0.019 grade, the sd within 5 %."""
    away, ratio = course_against_refits(plan, 5, 6)

    assert away < 0.03
    assert ratio < 0.06


def test_without_reading_anew_the_course_would_go_wrong_at_an_end():
    """The shortcut that keeps every reading as it is today is seen to fail: by more than a tenth of a grade."""
    away, _ = course_against_refits(ClubPlan(mu=4.3), 5, 6, read_anew=0)

    assert away > 0.1


def test_the_account_ends_at_the_pooled_grade_and_sums_to_one():
    """For every stone, torn ones included; nothing in it depends on the order of input."""
    rng = np.random.default_rng(11)
    trials = simulate_club(ClubPlan(n_stones=20), rng).trials()
    trials += [
        TrialGrade(f"torn-{n}", "torn", f"tester-{n:03d}", "steel-0", grade)
        for n, grade in enumerate((1.0, 5.0))
    ]
    when = {trial.trial_id: float(n % 7) for n, trial in enumerate(trials)}
    result = pool_grades(trials, scale=HARDNESS, stones=["untried"])

    told = account_for(result, when)

    assert any("contradict" in stone.note for stone in result.stones)
    severity = {tester.tester: tester.severity for tester in result.testers}
    leans = steel_leans(result)
    by_id = {trial.trial_id: trial for trial in trials}
    for stone, grade in zip(told, result.stones, strict=True):
        assert grade.n_trials == len(stone.trials)
        last = stone.trials[-1].after if stone.trials else stone.before
        assert (grade.grade, grade.low90, grade.high90) == pytest.approx(
            (last.grade, last.low90, last.high90), abs=1e-9
        )
        assert 1.0 == pytest.approx(stone.borrowed + sum(trial.weight for trial in stone.trials))
        assert sorted(stone.trials, key=lambda t: (when[t.trial_id], t.trial_id)) == list(stone.trials)
        for trial in stone.trials:
            given = by_id[trial.trial_id]
            assert given.grade + severity[given.tester] - leans[given.steel] == pytest.approx(trial.corrected)
            assert given.grade - trial.expected == pytest.approx(trial.residual)
    again = account_for(pool_grades(trials[::-1], scale=HARDNESS, stones=["untried"]), when)
    assert told == again


def test_moving_one_reading_moves_the_grade_by_its_weight():
    """Second method for the weight: shift one site by a grade and solve again."""
    club = simulate_club(ClubPlan(n_stones=15), np.random.default_rng(2))
    result = club.pool()
    fit, problem, design = result.fit, result.problem, result.problem.design
    told = weights(result)[design.order]
    for t in range(0, design.n_trials, 17):
        sites = replace(fit.state.sites, n=fit.state.sites.n.copy())
        sites.n[t] += sites.w[t]
        moved = solve(design, sites, fit.state.hyper, problem.anchors, problem.settings, fit.state.tail)
        after = grade_stones(design, sites, fit.state.hyper, problem.anchors, moved.block)
        i = design.stone[t]

        assert after.grade[i] - result.stone_grades.grade[i] == pytest.approx(told[t], abs=1e-8)
