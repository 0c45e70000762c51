"""What is known of a stone with a steel nobody tried: from the pooled model, against the pooled model."""

import numpy as np
import pytest
from tests.core.matching.laws import same, some_laws
from tests.simulation import HARDNESS, Club, ClubPlan, draw_plan, simulate_club

from whetpanel.core.matching import blade_laws
from whetpanel.core.matching.laws import StoneLaws
from whetpanel.core.pooling import PooledArrays, PoolSettings, pool_arrays
from whetpanel.core.pooling.posterior import stone_posteriors
from whetpanel.core.steels import SteelMap

PLAIN = PoolSettings(widen=False, tolerance=1e-6)


def pooled(club: Club, n_steels: int, settings: PoolSettings) -> PooledArrays:
    """The engine's answer when it is told of further steels that nobody tried."""
    return pool_arrays(
        club.stone, club.tester, club.steel, club.grade, scale=HARDNESS, n_stones=club.plan.n_stones,
        n_testers=club.plan.n_testers, n_steels=n_steels, reference=np.arange(club.plan.n_steels), settings=settings,
    )  # fmt: skip


def laws_of(arrays: PooledArrays) -> StoneLaws:
    laws = stone_posteriors(arrays)
    steels = tuple(f"steel_{k}" for k in range(arrays.cell_estimate.shape[1]))
    stones = tuple(f"stone-{i}" for i in range(laws.mean.shape[0]))
    return StoneLaws(
        "hardness", "Hardness", 1.0, 5.0, 0.5, steels, stones, laws.mean, laws.cov, laws.new_steel_var
    )


NEW = SteelMap("any", (), None)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_new_steel_is_what_the_engine_says_of_a_steel_nobody_tried(seed: int) -> None:
    """The engine itself, asked to report one steel more, gives the same mean and sd. That path shares no line with
    ours: it carries the untried steel through the whole fit."""
    club = simulate_club(ClubPlan(n_stones=40, trials_per_stone=(1, 2, 5)), np.random.default_rng(seed))

    law = blade_laws(laws_of(pooled(club, 3, PLAIN)), [NEW], class_share=0.0)
    engine = pooled(club, 4, PLAIN)

    assert engine.cell_estimate[:, 3] == pytest.approx(law.mean[:, 0], abs=1e-6)
    assert engine.cell_sd[:, 3] == pytest.approx(np.sqrt(law.cov[:, 0, 0]), rel=1e-6)


def test_two_new_steels_lean_together_as_the_engine_has_them() -> None:
    """Their covariance is the variance of what both share, the stone's grade with the average steel: half of the
    difference between the variance of their mean (the engine's, averaging over both) and a single one's."""
    club = simulate_club(ClubPlan(n_stones=30, trials_per_stone=(3,)), np.random.default_rng(5))
    law = blade_laws(laws_of(pooled(club, 3, PLAIN)), [NEW, NEW], class_share=0.0)

    both = pool_arrays(
        club.stone, club.tester, club.steel, club.grade, scale=HARDNESS, n_stones=30, n_testers=8, n_steels=5,
        reference=np.array([3, 4]), settings=PLAIN,
    )  # fmt: skip

    mean_var = (law.cov[:, 0, 0] + law.cov[:, 1, 1] + 2 * law.cov[:, 0, 1]) / 4
    assert both.sd**2 == pytest.approx(mean_var, rel=1e-5)


def test_small_clubs_keep_their_printed_sd() -> None:
    """Means and sds of tried steels are those that are printed, widening for small clubs included."""
    club = simulate_club(
        ClubPlan(n_stones=12, n_testers=4, trials_per_stone=(1, 2, 4)), np.random.default_rng(3)
    )
    arrays = pooled(club, 3, PoolSettings())
    law = blade_laws(laws_of(arrays), [same(0), same(1), same(2)])

    assert arrays.cell_estimate == pytest.approx(law.mean, abs=1e-9)
    assert arrays.cell_sd == pytest.approx(np.sqrt(np.diagonal(law.cov, axis1=1, axis2=2)), rel=1e-9)
    assert np.linalg.eigvalsh(law.cov).min() > 0


def test_an_untried_steel_is_never_known_better_than_a_tried_one_is() -> None:
    """The sd rises from the steel itself over its class to none of it, whatever share the class has."""
    laws = laws_of(simulate_club(ClubPlan(n_stones=25), np.random.default_rng(8)).pool())
    of_class = SteelMap("class", ("steel_0",), "plain_carbon")

    def sd(one: SteelMap, share: float) -> np.ndarray:
        return np.sqrt(blade_laws(laws, [one], class_share=share).cov[:, 0, 0])

    for share in (0.2, 0.5, 0.8):
        assert (sd(same(0), share) < sd(of_class, share)).all()
        assert (sd(of_class, share) < sd(NEW, share)).all()
    assert sd(of_class, 0.0) == pytest.approx(sd(NEW, 0.0))
    assert sd(of_class, 1.0) == pytest.approx(sd(same(0), 1.0))


def test_the_class_share_is_the_correlation_it_says_it_is() -> None:
    """By simulation from the structured model: steels of a class share r of the variance between steels. Given the
    grades with two tried steels of it and with the average steel, the best linear forecast of a third is ours."""
    rng, r, s = np.random.default_rng(0), 0.5, 0.6
    n = 200_000
    b = rng.standard_normal(n)
    shared = np.sqrt(r) * rng.standard_normal(n)
    d = s * (shared[:, None] + np.sqrt(1 - r) * rng.standard_normal((n, 3)))
    g = b[:, None] + d
    design = np.column_stack([g[:, 0] - b, g[:, 1] - b])
    w, *_ = np.linalg.lstsq(design, d[:, 2], rcond=None)
    left = np.var(d[:, 2] - design @ w)

    exact = some_laws(1, rng, n_steels=2)
    certain = StoneLaws(**{**exact.__dict__, "cov": 1e-12 * np.eye(3)[None], "new_steel_var": s**2})
    law = blade_laws(certain, [SteelMap("class", ("steel_0", "steel_1"), "stainless")], class_share=r)
    ours = r / (1 + r)

    assert w == pytest.approx([ours, ours], abs=0.01)
    assert left == pytest.approx(law.cov[0, 0, 0], rel=0.02)
    expected = certain.mean[0, 2] + ours * (certain.mean[0, :2] - certain.mean[0, 2]).sum()
    assert expected == pytest.approx(law.mean[0, 0])


def coverage(plan: ClubPlan, n_clubs: int, rng: np.random.Generator, *, tried_only: bool) -> float:
    """How often a 90 % interval holds the true grade with a steel nobody tried. ``tried_only``: the wrong way, which
    takes the stone's overall grade for the new steel's."""
    inside, n = 0, 0
    for _ in range(n_clubs):
        club = simulate_club(draw_plan(plan, rng), rng)
        arrays = club.pool()
        law = blade_laws(laws_of(arrays), [NEW], class_share=0.0)
        p = club.plan
        # The club's steels sum to nothing in the simulation; a steel of the same making stands off them by as much as
        # they would stand off their own mean, and the stone takes to it in its own way.
        theta = club.cell_truth.mean(1)
        shift = p.tau_steel * np.sqrt(1 + 1 / p.n_steels) * rng.standard_normal()
        truth = theta + p.nu * np.sqrt(1 + 1 / p.n_steels) * rng.standard_normal(theta.size) + shift
        sd = arrays.sd if tried_only else np.sqrt(law.cov[:, 0, 0])
        mean = arrays.estimate if tried_only else law.mean[:, 0]
        inside += int((np.abs(truth - mean) < 1.6449 * sd).sum())
        n += truth.size
    return inside / n


def test_intervals_for_a_new_steel_hold_the_truth_nine_times_in_ten() -> None:
    """Simulated clubs whose steels differ as the model's prior has it; the overall grade's own interval must fail."""
    plan = ClubPlan(n_stones=30, tau_steel=0.5, trials_per_stone=(2, 4, 6))

    right = coverage(plan, 80, np.random.default_rng(21), tried_only=False)
    wrong = coverage(plan, 12, np.random.default_rng(21), tried_only=True)

    # A club's shift is one draw for all its stones, so 80 clubs are about 80 draws: two standard errors are .07.
    assert 0.83 < right < 0.97
    assert wrong < 0.75
