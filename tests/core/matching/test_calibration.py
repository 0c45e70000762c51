"""Are stated probabilities right? Simulated panels whose truth is known, from trials to the stated figure.

Brier's score and reliability by bins: Brier 1950, Monthly Weather Review 78:1-3; Murphy 1973, Journal of Applied
Meteorology 12:595-600.
"""

import numpy as np
import pytest
from tests.core.matching.laws import UNNOTED, a_wish, blade
from tests.simulation import ClubPlan, draw_plan, simulate_club

from whetpanel.core.matching import StoneFacts, StoneLaws, match
from whetpanel.core.pooling import PooledArrays
from whetpanel.core.pooling.posterior import stone_posteriors
from whetpanel.core.steels import SteelMap

PLAN = ClubPlan(n_stones=40, trials_per_stone=(2, 3, 5), tau_steel=0.5)
STEELS = ("steel_0", "steel_1", "steel_2")


def laws_of(arrays: PooledArrays) -> StoneLaws:
    post = stone_posteriors(arrays)
    stones = tuple(f"stone-{i}" for i in range(post.mean.shape[0]))
    return StoneLaws(
        "fineness", "Fineness", 1.0, 5.0, 0.5, STEELS, stones, post.mean, post.cov, post.new_steel_var
    )


def stated_and_true(
    n_clubs: int, rng: np.random.Generator, *, as_if_certain: bool = False
) -> tuple[np.ndarray, np.ndarray]:
    """(stones,) stated probability that two blades both get a clean edge, and whether they truly would.

    ``as_if_certain``: the wrong way, which takes the estimates for the truth with a tenth of their spread.
    """
    stated, true = [], []
    for _ in range(n_clubs):
        club = simulate_club(draw_plan(PLAN, rng), rng)
        law = laws_of(club.pool())
        if as_if_certain:
            law = StoneLaws(**{**law.__dict__, "cov": 0.01 * law.cov})
        facts = [StoneFacts(stone, 200.0, 70.0, None, None, "", UNNOTED) for stone in law.stones]
        maps = [SteelMap("same", (steel,), None) for steel in STEELS[:2]]
        wish = a_wish(blade("steel_0"), blade("steel_1"), waived=frozenset({"skill", "hardness"}))
        found = match(wish, maps, {"fineness": law}, facts, limit=len(facts))
        p = np.empty(len(facts))
        p[found.order] = found.probability
        stated.append(p)
        fine = club.cell_truth[:, :2]
        true.append(((fine > 2.75) & (fine < 4.25)).all(1))
    return np.concatenate(stated), np.concatenate(true)


def unreliability(p: np.ndarray, y: np.ndarray) -> float:
    """Murphy's reliability term over ten bins: mean squared gap between what is said and what comes true."""
    bins = np.minimum((10 * p).astype(int), 9)
    return float(
        sum((bins == b).mean() * (p[bins == b].mean() - y[bins == b].mean()) ** 2 for b in set(bins))
    )


@pytest.fixture(scope="module")
def told() -> tuple[np.ndarray, np.ndarray]:
    return stated_and_true(40, np.random.default_rng(17))


def test_of_stones_said_to_serve_eight_times_in_ten_eight_in_ten_do(
    told: tuple[np.ndarray, np.ndarray],
) -> None:
    """In every fifth of the scale from nought to one, what is said is what comes true, within six in a hundred."""
    p, y = told
    for low in (0.0, 0.2, 0.4, 0.6, 0.8):
        here = (p >= low) & (p < low + 0.2)
        assert here.sum() > 60, low
        assert y[here].mean() == pytest.approx(p[here].mean(), abs=0.07), low


def test_the_score_is_that_of_honest_figures(told: tuple[np.ndarray, np.ndarray]) -> None:
    """Brier's score is what such probabilities would score if they were exactly right, mean p(1-p), and well below that
    of saying the share of serving stones for each."""
    p, y = told
    brier = float(np.mean((p - y) ** 2))

    assert float(np.mean(p * (1 - p))) == pytest.approx(brier, rel=0.12)
    assert brier < 0.7 * float(y.mean() * (1 - y.mean()))
    assert unreliability(p, y) < 0.003


def test_overconfident_figures_are_seen_to_fail() -> None:
    """Estimates taken for the truth say "nearly certain" far too often; the same measure catches it."""
    p, y = stated_and_true(12, np.random.default_rng(18), as_if_certain=True)

    assert unreliability(p, y) > 0.01
