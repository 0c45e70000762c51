"""Warm starts, pulls and residuals: shortcuts that must agree with the long way."""

import numpy as np
import pytest
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.pooling import PoolSettings, TrialGrade, pool_grades

QUICK = PoolSettings(widen=False)


@pytest.fixture(scope="module")
def trials() -> list[TrialGrade]:
    """An ordinary club's trials."""
    return simulate_club(ClubPlan(), np.random.default_rng(12)).trials()


def test_a_warm_start_agrees_with_a_cold_fit(trials):
    """One trial more, an amended trial, a new stone and a new tester: within a thousandth of a step."""
    base = pool_grades(trials[:-1], scale=HARDNESS, settings=QUICK)
    changes = [
        trials,
        [*trials[:-1], TrialGrade("new", "aaa-new-stone", trials[3].tester, "steel-1", 4.0)],
        [*trials[:-1], TrialGrade("new", trials[3].stone, "aaa-new-tester", "steel-1", 2.0)],
        trials[5:],
    ]
    for changed in changes:
        warm = pool_grades(changed, scale=HARDNESS, settings=QUICK, warm=base.warm)
        cold = pool_grades(changed, scale=HARDNESS, settings=QUICK)

        assert warm.converged
        assert warm.n_rounds < cold.n_rounds
        assert np.abs(warm.arrays.grade - cold.arrays.grade).max() < 1e-3 * HARDNESS.step
        assert np.abs(warm.arrays.sd - cold.arrays.sd).max() < 1e-3 * HARDNESS.step
        assert warm.inputs_digest == cold.inputs_digest


def test_a_shortcut_pull_is_about_what_leaving_the_trial_out_does(trials):
    """The pull holds all other sites and the spreads; a refit without the trial moves the grade about as much."""
    result = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    of = {t.trial_id: t for t in trials}
    pulls = sorted(result.trials, key=lambda t: -abs(t.pull))
    before = dict(zip(result.stone_names, result.arrays.estimate, strict=True))
    told, refitted = [], []
    for reading in [*pulls[:8], *pulls[100:104]]:
        without = pool_grades(
            trials, scale=HARDNESS, settings=QUICK, exclude={reading.trial_id}, warm=result.warm
        )
        stone = of[reading.trial_id].stone
        told.append(reading.pull)
        refitted.append(before[stone] - without.arrays.estimate[without.stone_names.index(stone)])

    assert np.corrcoef(told, refitted)[0, 1] > 0.97
    assert np.abs(np.array(told) - refitted).max() < 0.12


def test_residuals_are_standard_scores_and_a_slip_is_flagged(trials):
    """Mean near 0 and sd near 1 for the model's own data; a 5 on a soft stone sticks out."""
    before = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    stone = min(before.stones, key=lambda s: s.grade).stone
    steady = min(before.testers, key=lambda t: t.sigma).tester
    result = pool_grades([*trials, TrialGrade("slip", stone, steady, "steel-0", 5.0)], scale=HARDNESS)
    z = result.arrays.standardised

    assert abs(float(z.mean())) < 0.15
    assert 0.8 < float(z.std()) < 1.15
    slip = next(t for t in result.trials if t.trial_id == "slip")
    assert "high" == slip.flag
    assert slip.residual > 1.0
    assert float((result.arrays.flag != 0).mean()) < 0.02


def test_a_slip_of_the_finger_hardly_moves_the_grade(trials):
    """One wild grade on a well-tried stone moves it by less than a quarter of a step."""
    stone = max(pool_grades(trials, scale=HARDNESS, settings=QUICK).stones, key=lambda s: s.n_trials)
    far = 5.0 if stone.grade < 3 else 1.0
    slip = TrialGrade("slip", stone.stone, trials[0].tester, "steel-0", far)
    after = pool_grades([*trials, slip], scale=HARDNESS, settings=QUICK)
    moved = next(s for s in after.stones if s.stone == stone.stone).grade - stone.grade

    assert abs(moved) < 0.25 * HARDNESS.step
