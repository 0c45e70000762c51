"""The control chart against its published example and known run lengths; drift against known moves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from whetpanel.core.drift import drift_by_tester, ewma_chart, severity_drift
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


def test_steady_testers_are_rarely_flagged() -> None:
    """False alarms among 2,000 steady testers of 40 trials: at any one time under 1 %."""
    rng = np.random.default_rng(9)
    flagged = sum(severity_drift(rng.normal(0, 0.5, 40), 0.5).state == "moved" for _ in range(2000))

    assert flagged <= 20


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
