"""The control chart against its published example and known run lengths; drift against known moves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from whetpanel.core.drift import drift_by_tester, drift_of_pooled, ewma_chart, severity_drift
from whetpanel.core.pooling import Anchor, GradeScale, TrialGrade, pool_grades
from whetpanel.errors import Invalid


def test_the_handbook_example_comes_out_to_its_printed_digits() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.4: lambda 0.3, target 50, s 2.0539; all EWMAs and both limits."""
    data = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5]
    data += [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    printed = [50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33]
    printed += [50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99]

    chart = ewma_chart(data, 2.0539, target=50.0, weight=0.3, width=3.0, steady=True)

    assert [round(z, 2) for z in chart.z.tolist()] == printed
    # Printed 52.5884 and 47.4115, the second cut off rather than rounded.
    assert chart.high[0] == pytest.approx(52.5884, abs=1e-4)
    assert chart.low[0] == pytest.approx(47.4115, abs=1e-4)
    assert not chart.outside.any()


@given(weight=st.floats(0.05, 1.0), n=st.integers(1, 40))
def test_opening_limits_follow_the_textbook_formula(weight: float, n: int) -> None:
    """Algebra: with one sd the variance is sd²·λ/(2 − λ)·(1 − (1 − λ)^(2t))."""
    chart = ewma_chart(np.zeros(n), 1.7, weight=weight, width=3.0)
    t = np.arange(1, n + 1)

    expected = 3.0 * 1.7 * np.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * t)))
    np.testing.assert_allclose(chart.high, expected, rtol=1e-12)
    np.testing.assert_allclose(chart.low, -expected, rtol=1e-12)


def test_uneven_sds_give_limits_that_hold() -> None:
    """Simulation: with sds that differ, 0.27 % of each point falls outside three of its deviations."""
    rng = np.random.default_rng(7)
    sd = rng.uniform(0.3, 1.5, 25)
    chart = ewma_chart(rng.normal(0, sd, (40_000, 25)), sd)

    share = chart.outside.mean(axis=0)
    np.testing.assert_allclose(share, 0.0027, atol=0.0012)


def first_outside(weight: float, width: float, shift: float, runs: int, longest: int, seed: int) -> float:
    rng = np.random.default_rng(seed)
    chart = ewma_chart(rng.normal(shift, 1.0, (runs, longest)), 1.0, weight=weight, width=width, steady=True)
    assert chart.outside.any(axis=1).all()
    return float((chart.outside.argmax(axis=1) + 1).mean())


@pytest.mark.parametrize(
    ("weight", "width", "shift", "published"),
    [
        # Average run lengths of Lucas and Saccucci, Technometrics 32:1–12 (1990); from memory.
        (0.2, 2.962, 1.0, 10.5),
        (0.1, 2.814, 1.0, 10.3),
        (0.25, 2.998, 2.0, 3.6),
        (0.2, 2.962, 0.5, 41.8),
    ],
)
def test_a_shift_is_found_as_fast_as_published(
    weight: float, width: float, shift: float, published: float
) -> None:
    found = first_outside(weight, width, shift, runs=4000, longest=600, seed=3)

    assert found == pytest.approx(published, rel=0.06)


def test_an_impossible_chart_is_refused() -> None:
    with pytest.raises(Invalid, match="above zero"):
        ewma_chart([1.0], 0.0)
    with pytest.raises(Invalid, match="finite"):
        ewma_chart([np.nan], 1.0)
    with pytest.raises(Invalid, match="weight"):
        ewma_chart([1.0], 1.0, weight=0.0)


def test_a_tester_who_turns_severe_is_found_with_place_and_size() -> None:
    """Simulation from known parameters: from trial 30 on every grade is 0.8 lower; sigma 0.4."""
    rng = np.random.default_rng(12)
    x = rng.normal(0, 0.4, 50)
    x[30:] -= 0.8
    drift = severity_drift(x, 0.4)

    assert drift.state == "moved"
    assert drift.since is not None
    assert drift.moved_by is not None
    assert drift.moved_by_se is not None
    assert abs(drift.since - 30) <= 2
    assert drift.moved_by == pytest.approx(-0.8, abs=3 * drift.moved_by_se)
    assert "more severe" in drift.note


def test_a_constant_lean_is_not_drift() -> None:
    """Severity itself is the engine's business; the chart asks only whether it stays."""
    x = np.random.default_rng(4).normal(-1.5, 0.4, 60)

    assert severity_drift(x, 0.4).state == "steady"


def test_one_slip_of_the_finger_is_not_drift() -> None:
    x = np.random.default_rng(8).normal(0, 0.4, 30)
    assert severity_drift(x, 0.4).state == "steady"

    x[-1] = -3.5
    assert severity_drift(x, 0.4).state == "steady"


@pytest.mark.parametrize("n", [40, 150])
def test_steady_testers_are_rarely_flagged(n: int) -> None:
    """False alarms among 1,500 steady testers at any one time: about 2 %."""
    rng = np.random.default_rng(9)
    flagged = sum(severity_drift(rng.normal(0, 0.5, n), 0.5).state == "moved" for _ in range(1500))

    assert flagged <= 45


def test_a_move_of_one_and_a_half_sds_is_found_though_it_blows_up_the_stated_sd() -> None:
    """Simulation: 60 trials, move half way; the sds stated are those of the whole series."""
    rng = np.random.default_rng(10)
    found = 0
    for _ in range(200):
        x = rng.normal(0, 0.4, 60)
        x[30:] -= 0.6
        found += severity_drift(x, float(x.std(ddof=1))).state == "moved"
    assert found >= 180


def test_the_chart_alone_is_slow_where_the_split_is_quick() -> None:
    """A wrong method must be seen to fail: limits from the inflated sd, without a split, miss most."""
    rng = np.random.default_rng(10)
    missed = 0
    for _ in range(200):
        x = rng.normal(0, 0.4, 60)
        x[30:] -= 0.6
        chart = ewma_chart(x - x.mean(), float(x.std(ddof=1)))
        missed += not chart.outside[-10:].any()
    assert missed >= 120


def test_few_trials_are_said_to_be_few() -> None:
    assert severity_drift([0.5, -0.5], [0.4, 0.4]).state == "too_few"
    assert severity_drift([], []).n_trials == 0


def test_both_charts_per_tester_in_time_order_whatever_the_order_given() -> None:
    rng = np.random.default_rng(21)
    n = 120
    testers = ["ash", "birch"] * (n // 2)
    times = np.arange(n, dtype=float)
    x = rng.normal(0, 0.3, n)
    late_ash = (np.array(testers) == "ash") & (times >= 70)
    x[late_ash] += 0.9
    check = [t % 3 == 0 for t in range(n)]
    order = rng.permutation(n)
    here = drift_by_tester(testers, list(times), x, np.full(n, 0.3), check)
    there = drift_by_tester(
        [testers[i] for i in order],
        list(times[order]),
        x[order],
        np.full(n, 0.3),
        [check[i] for i in order],
    )

    assert here["ash"].check_stones.state == "moved"
    assert "more lenient" in here["ash"].note
    assert here["birch"].note == ""
    assert there["ash"].note == here["ash"].note
    assert [int(order[i]) for i in there["ash"].order] == list(here["ash"].order)


def test_a_trial_without_a_residual_is_left_out() -> None:
    found = drift_by_tester(["a", "a"], [1.0, 2.0], [np.nan, 0.1], [0.3, 0.3], [False, False])

    assert found["a"].order == (1,)


def pooled_club(seed: int, move: float):  # type: ignore[no-untyped-def]
    """80 stones, 5 testers, 3 trials a stone in time order; T0's severity moves half way; 12 check stones."""
    rng = np.random.default_rng(seed)
    truth, lean = rng.normal(3, 0.7, 80), rng.normal(0, 0.25, 5)
    trials, times = [], {}
    for n, (i, r) in enumerate([(i, r) for i in range(80) for r in rng.permutation(5)[:3]]):
        shift = move if r == 0 and n >= 120 else 0.0
        grade = np.clip(np.round(2 * (truth[i] - lean[r] + shift + rng.normal(0, 0.35))) / 2, 1, 5)
        trials.append(TrialGrade(f"t{n:03}", f"S{i:02}", f"T{r}", "white", float(grade)))
        times[f"t{n:03}"] = float(n)
    anchors = [Anchor(f"S{i:02}", float(np.clip(truth[i], 1, 5)), 0.1) for i in range(0, 80, 7)]
    return pool_grades(trials, scale=GradeScale("hardness"), anchors=anchors), times


def test_through_the_engine_only_the_tester_who_moved_is_noted() -> None:
    """Simulation from known parameters: one tester turns 0.9 more severe half way through."""
    noted: list[str] = []
    for seed in range(10):
        result, times = pooled_club(seed, -0.9)
        found = drift_of_pooled(result, times)
        mine = found["T0"].all_stones
        assert mine.state == "moved"
        assert mine.moved_by is not None
        assert -1.4 < mine.moved_by < -0.4
        noted += [name for name, drift in found.items() if drift.note and name != "T0"]
    assert len(noted) <= 4  # of 40 steady testers, two charts each


def test_through_the_engine_a_steady_club_is_left_in_peace() -> None:
    noted = 0
    for seed in range(10):
        result, times = pooled_club(50 + seed, 0.0)
        found = drift_of_pooled(result, times)
        noted += sum(bool(drift.note) for drift in found.values())
        own = [t for t in result.trials if t.trial_id in times]
        assert sum(len(drift.order) for drift in found.values()) == len(own)
    assert noted <= 3  # of 50


def test_the_engines_trials_are_told_apart_rightly() -> None:
    """Every point of a chart belongs to a trial of that tester, in time order, check stones apart."""
    result, times = pooled_club(1, 0.0)
    later = {trial_id: -t for trial_id, t in times.items()}
    found = drift_of_pooled(result, later)
    by_id = {f"t{n:03}": n for n in range(240)}
    for drift in found.values():
        ids = [result.trial_ids[j] for j in drift.order]
        assert ids == sorted(ids, reverse=True)
        assert len(drift.check_order) <= len(drift.order)
        assert all(trial_id in by_id for trial_id in ids)
