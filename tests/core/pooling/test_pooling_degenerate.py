"""Too little, too alike, or too odd: wide and honest, or said in words; never NaN."""

import numpy as np
import pytest
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.pooling import PoolResult, TrialGrade, pool_grades


def rows(*cells: tuple[str, str, str, float]) -> list[TrialGrade]:
    """(stone, tester, steel, grade) as trials."""
    return [TrialGrade(f"t{j}", *cell) for j, cell in enumerate(cells)]


def pool(trials: list[TrialGrade], **options: object) -> PoolResult:
    """Pooled, and everywhere a number."""
    result = pool_grades(trials, scale=HARDNESS, **options)
    for stone in result.stones:
        assert np.isfinite([stone.grade, stone.low90, stone.high90, stone.sd]).all()
    for tester in result.testers:
        assert np.isfinite([tester.severity, tester.sigma, tester.sigma_high90, tester.weight]).all()
    return result


def test_nothing_at_all():
    """No trial, no stone: an empty answer."""
    result = pool([])

    assert () == result.stones
    assert () == result.testers
    assert () == result.groups
    assert result.converged


def test_an_untested_stone_gets_the_prior_and_says_so():
    """What the club's stones are like is all there is to say; it spans most of the scale."""
    club = simulate_club(ClubPlan(n_stones=30), np.random.default_rng(0))
    result = pool(club.trials(), stones=["new"])
    new = next(s for s in result.stones if s.stone == "new")

    assert 0 == new.n_trials
    assert 0 == new.group
    assert "not tested" in new.note
    assert new.high90 - new.low90 > 1.5
    assert new.grade == pytest.approx(result.level, abs=0.1)


def test_a_single_trial_is_wide():
    """In a club of ordinary testers one trial leaves an sd of about 0.42."""
    club = simulate_club(ClubPlan(trials_per_stone=(1, 6, 7, 8)), np.random.default_rng(1))
    singles = [s for s in pool(club.trials()).stones if s.n_trials == 1]

    assert all("a single trial" in s.note for s in singles)
    assert 0.3 < float(np.median([s.sd for s in singles])) < 0.55


def test_one_trial_in_all_the_world():
    """Everything is then the prior's: very wide, and the reason given."""
    result = pool(rows(("a", "r", "k", 3.5)))

    assert result.stones[0].sd > 0.5
    assert "one tester in all" in result.stones[0].note
    assert "only tester" in result.testers[0].note


def test_one_tester_cannot_be_told_from_the_stones():
    """Severity stays as wide as before, and the stones carry that doubt."""
    grades = [2.0, 3.0, 4.0, 2.5, 3.5, 3.0]
    result = pool(rows(*((f"s{i}", "only", "k", g) for i, g in enumerate(grades))))

    assert result.testers[0].severity_sd > 0.2
    assert all(s.sd > 0.4 for s in result.stones)
    assert all("severity" in s.note for s in result.stones)


def test_all_grades_equal_is_narrow_but_not_certain():
    """Exact agreement narrows; rounding alone leaves something open."""
    result = pool(rows(*((f"s{i % 4}", f"r{i % 3}", "k", 3.0) for i in range(24))))

    assert all(s.grade == pytest.approx(3.0, abs=1e-6) for s in result.stones)
    assert all(0.02 < s.sd < 0.25 for s in result.stones)


@pytest.mark.parametrize(
    ("grade", "end", "words"), [(5.0, "high", "4.75 or above"), (1.0, "low", "1.25 or below")]
)
def test_all_grades_at_an_end_give_a_bound_and_not_the_end_itself(grade, end, words):
    """How far beyond the end the stone lies is unknown; the interval reaches back at least a half step's half."""
    result = pool(rows(*((f"s{i % 4}", f"r{i % 3}", "k", grade) for i in range(12))))

    for s in result.stones:
        assert end == s.at_end
        assert words in s.note
        assert 1.0 < s.grade < 5.0
        assert s.high90 - s.low90 >= 0.25


def test_two_trials_in_flat_contradiction_are_wide():
    """One says 1, the other, just as steady, says 5: nobody knows, and the interval says so."""
    club = simulate_club(ClubPlan(n_stones=30, omega=0.02, tau_beta=0.1), np.random.default_rng(2))
    torn = [
        TrialGrade("x", "torn", "tester-000", "steel-0", 1.0),
        TrialGrade("y", "torn", "tester-001", "steel-0", 5.0),
    ]
    result = pool([*club.trials(), *torn])
    both = next(s for s in result.stones if s.stone == "torn")
    others = [s.sd for s in result.stones if s.n_trials == 5]

    assert both.sd > 2 * float(np.median(others))
    assert "contradict" in both.note
    assert both.low90 < 2.5
    assert both.high90 > 3.5
    said = {t.trial_id: t.standardised for t in result.trials if t.trial_id in "xy"}
    assert said["x"] < -1.5
    assert said["y"] > 1.5


def with_odd_tester(grade_of, seed: int = 3) -> PoolResult:
    """A club of eight and a ninth whose grade is a function of the stone's true grade."""
    rng = np.random.default_rng(seed)
    club = simulate_club(ClubPlan(n_stones=40), rng)
    odd = [
        TrialGrade(f"odd-{i}", f"stone-{i:05d}", "odd", f"steel-{i % 3}", float(grade_of(club.truth[i], rng)))
        for i in range(30)
    ]
    return pool([*club.trials(), *odd])


def test_a_random_tester_is_found_out():
    """Dice: sigma near the spread of the dice, weight next to nothing, and a note."""
    result = with_odd_tester(lambda truth, rng: 1 + 0.5 * rng.integers(0, 9), seed=5)
    odd = next(t for t in result.testers if t.tester == "odd")

    assert odd.sigma > 0.9
    assert odd.weight < 0.2
    assert "hardly follow" in odd.note


def test_a_reversed_scale_is_recognised():
    """Grades that run against everybody else's ask for the direction of the scale to be checked."""
    result = with_odd_tester(lambda truth, rng: np.clip(np.round(2 * (6 - truth)) / 2, 1, 5))
    odd = next(t for t in result.testers if t.tester == "odd")

    assert "check the direction of the scale" in odd.note
    assert odd.weight < 0.3


def test_a_tester_who_always_says_the_same_is_named():
    """Sigma alone would not show it: always 3 is never far off."""
    result = with_odd_tester(lambda truth, rng: 3.0)
    odd = next(t for t in result.testers if t.tester == "odd")

    assert "nearly the same grade" in odd.note


def test_a_tester_with_one_trial_is_wide():
    """The panel's precision is assumed, and the severity hardly known."""
    club = simulate_club(ClubPlan(n_stones=30), np.random.default_rng(4))
    result = pool([*club.trials(), TrialGrade("z", "stone-00000", "guest", "steel-0", 3.0)])
    guest = next(t for t in result.testers if t.tester == "guest")

    assert "single trial" in guest.note
    assert guest.severity_high90 - guest.severity_low90 > 0.5
    assert guest.sigma_high90 > 1.5 * guest.sigma_low90
