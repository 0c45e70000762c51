"""Signs help where they should, stay out where they should, and contradict where they should."""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from whetpanel.core.missing import complete
from whetpanel.core.signs import SIGNS, Sign, average_signs, learn_from_signs
from whetpanel.errors import Invalid

NAMES = [s.name for s in SIGNS]


@dataclass
class Club:
    signs: NDArray[np.float64]
    truth: NDArray[np.float64]
    grade: NDArray[np.float64]  # pooled under N(3, 0.8²), as an engine would
    sd: NDArray[np.float64]
    trials_alone: NDArray[np.float64]
    prior_mean: float = 3.0
    prior_sd: float = 0.8


def club(seed: int, n: int = 120, effect: float = 0.6, gaps: float = 0.2) -> Club:
    """Stones whose hardness rises with density and falls as mud comes sooner; truth known."""
    rng = np.random.default_rng(seed)
    hard = rng.normal(0, 1, n)
    noise = rng.normal(0, 0.6, (n, 5))
    signs = np.column_stack(
        [
            np.exp(3 + 0.8 * (hard + noise[:, 0])),
            2.5 + 0.1 * (hard + noise[:, 1]),
            3 + 0.7 * (hard + noise[:, 2]),
            3 + 0.7 * rng.normal(0, 1, n),  # says nothing
            np.exp(2 + 0.5 * (hard + noise[:, 4])),
        ]
    )
    signs[rng.random(signs.shape) < gaps] = np.nan
    truth = 3.0 + effect * hard + rng.normal(0, np.sqrt(max(0.64 - effect**2, 0.01)), n)
    v = rng.uniform(0.2, 0.5, n) ** 2
    y = truth + rng.normal(0, np.sqrt(v))
    precision = 1 / v + 1 / 0.64
    return Club(signs, truth, (y / v + 3.0 / 0.64) / precision, precision**-0.5, y)


def ask(c: Club, seed: int = 1):  # type: ignore[no-untyped-def]
    return learn_from_signs(
        c.signs,
        c.grade,
        c.sd,
        rng=np.random.default_rng(seed),
        prior_mean=c.prior_mean,
        prior_sd=c.prior_sd,
    )


def test_signs_that_foretell_are_used_and_cut_the_error_against_the_truth() -> None:
    """Simulation from known parameters: the foretold grade is nearer the truth than the club's mean is."""
    for seed in range(5):
        c = club(seed)
        a = ask(c)
        assert a.used, a.reason
        assert a.prior_mean is not None
        with_signs = np.sqrt(((a.prior_mean - c.truth) ** 2).mean())
        without = np.sqrt(((3.0 - c.truth) ** 2).mean())
        assert with_signs < 0.85 * without


def test_signs_that_say_nothing_are_left_out_and_said_so() -> None:
    """Of 20 clubs whose signs are pure noise, at most 2 may be fooled (2.3 % each by the two-se rule)."""
    fooled = 0
    for seed in range(20):
        a = ask(club(seed, n=60, effect=0.0))
        fooled += a.used
        if not a.used:
            assert "proves no help" in a.reason
            assert a.prior_mean is None
            assert a.checks == ()
    assert fooled <= 2


def test_too_few_stones_are_not_tried() -> None:
    c = club(1, n=25)
    a = ask(c)

    assert not a.used
    assert "25 graded stones" in a.reason or "graded stones have signs" in a.reason
    assert a.held_out is None


def test_the_slope_is_not_shrunk_by_the_pooling_prior() -> None:
    """Second method: weighted least squares on the grades that the trials alone give, one complete sign."""
    c = club(3, n=400, gaps=0.0)
    only = [Sign("bulk_density_g_cm3")]
    a = learn_from_signs(
        c.signs[:, 1:2],
        c.grade,
        c.sd,
        rng=np.random.default_rng(1),
        kinds=only,
        prior_mean=3.0,
        prior_sd=0.8,
    )
    z = (c.signs[:, 1] - c.signs[:, 1].mean()) / c.signs[:, 1].std(ddof=1)
    slope = np.polyfit(z, c.trials_alone, 1)[0]
    drawn_in = np.polyfit(z, c.grade, 1)[0]

    assert a.effects[0].per_sd == pytest.approx(slope, abs=0.03)
    assert drawn_in < 0.9 * slope


def test_the_ninety_percent_limits_of_the_foretold_grade_hold() -> None:
    """Simulation: foretold ± 1.645 sd holds the true grade of about 90 % of stones, gaps or not."""
    inside, total = 0, 0
    for seed in range(12):
        c = club(100 + seed, n=150, gaps=0.3)
        a = ask(c)
        assert a.prior_mean is not None
        assert a.prior_sd is not None
        inside += int((np.abs(c.truth - a.prior_mean) <= 1.645 * a.prior_sd).sum())
        total += c.truth.size
    assert inside / total == pytest.approx(0.90, abs=0.03)


def test_a_stones_own_grade_does_not_support_itself() -> None:
    """Second method: refit without the stone gives nearly the same foretold grade."""
    c = club(5, n=80)
    a = ask(c)
    assert a.prior_mean is not None
    grade = c.grade.copy()
    grade[7] = np.nan
    b = learn_from_signs(
        c.signs, grade, c.sd, rng=np.random.default_rng(1), prior_mean=c.prior_mean, prior_sd=c.prior_sd
    )
    assert b.prior_mean is not None

    assert a.prior_mean[7] == pytest.approx(b.prior_mean[7], abs=0.03)


def test_a_stone_whose_trials_and_signs_disagree_is_flagged() -> None:
    c = club(6)
    grade, sd = c.grade.copy(), c.sd.copy()
    softest = int(np.nanargmin(np.nansum((c.signs[:, [1, 2]] - [2.5, 3]) / [0.1, 0.7], axis=1)))
    grade[softest], sd[softest] = 4.9, 0.15
    a = learn_from_signs(
        c.signs, grade, sd, rng=np.random.default_rng(1), prior_mean=c.prior_mean, prior_sd=c.prior_sd
    )
    flagged = [check for check in a.checks if check.contradicts]

    assert softest in [check.stone for check in flagged]
    mine = next(check for check in flagged if check.stone == softest)
    assert mine.gap > 1.0
    assert mine.leading in {"water_uptake_s", "bulk_density_g_cm3", "mud_shade", "strokes_to_mud"}
    assert len(flagged) <= 4


def test_an_untested_stone_is_foretold_from_its_signs_alone() -> None:
    c = club(7)
    grade, sd = c.grade.copy(), c.sd.copy()
    grade[:20], sd[:20] = np.nan, np.nan
    a = learn_from_signs(
        c.signs, grade, sd, rng=np.random.default_rng(1), prior_mean=c.prior_mean, prior_sd=c.prior_sd
    )

    assert a.prior_mean is not None
    assert np.isfinite(a.prior_mean).all()
    assert np.corrcoef(a.prior_mean[:20], c.truth[:20])[0, 1] > 0.4
    assert {check.stone for check in a.checks}.isdisjoint(range(20))


def test_a_sign_hardly_ever_noted_is_left_out_by_name() -> None:
    c = club(8)
    c.signs[9:, 3] = np.nan
    a = ask(c)

    assert a.left_out == ("metal_share",)


def test_the_same_input_gives_the_same_answer_and_labels_do_not_matter() -> None:
    c = club(9, n=60)
    a, b = ask(c), ask(c)
    assert a.held_out == b.held_out
    assert a.effects == b.effects

    order = np.random.default_rng(3).permutation(60)
    other = learn_from_signs(
        c.signs[order],
        c.grade[order],
        c.sd[order],
        rng=np.random.default_rng(1),
        prior_mean=3.0,
        prior_sd=0.8,
    )
    assert [e.per_sd for e in other.effects] == pytest.approx([e.per_sd for e in a.effects], abs=1e-2)


def test_a_log_of_nothing_is_refused() -> None:
    c = club(1, n=40)
    c.signs[0, 0] = 0.0
    with pytest.raises(Invalid, match="water_uptake_s must be above zero"):
        ask(c)


def test_notes_of_a_sign_are_averaged_by_stone() -> None:
    """Algebra: the geometric mean of 10 and 40 is 20."""
    means = average_signs([0, 0, 2], [10.0, 40.0, 5.0], 3, logged=True)
    assert means[0] == pytest.approx(20.0)
    assert np.isnan(means[1])
    assert average_signs([0, 0], [1.0, 2.0], 1, logged=False)[0] == 1.5


class TestComplete:
    def test_nothing_missing_is_only_standardised(self) -> None:
        x = np.random.default_rng(1).normal(5, 2, (30, 3))
        z, blur = complete(x)

        np.testing.assert_allclose(z, (x - x.mean(0)) / x.std(0, ddof=1))
        assert not blur.any()

    def test_a_gap_is_filled_from_a_correlated_column_with_the_right_doubt(self) -> None:
        """Algebra: with correlation ρ the conditional mean is ρ·z and its variance 1 − ρ²."""
        rng = np.random.default_rng(2)
        x = rng.multivariate_normal([0, 0], [[1, 0.8], [0.8, 1]], 4000)
        hidden = x[:1000, 1].copy()
        x[:1000, 1] = np.nan
        z, blur = complete(x)

        assert np.polyfit(z[:1000, 0], z[:1000, 1], 1)[0] == pytest.approx(0.8, abs=0.03)
        assert blur[0, 1, 1] == pytest.approx(0.36, abs=0.03)
        assert np.var(hidden - z[:1000, 1]) == pytest.approx(0.36, abs=0.04)
        assert not blur[1000:].any()
