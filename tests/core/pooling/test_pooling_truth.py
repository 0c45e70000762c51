"""Against known truth and other methods: simulation, a Gaussian mixed model, and a published wine panel."""

import csv
import warnings
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from tests.simulation import HARDNESS, Club, ClubPlan, Floats, simulate_club

from whetpanel.core.pooling import GradeScale, PooledArrays, TrialGrade, pool_grades

DATA = Path(__file__).parents[2] / "data"
Z90 = 1.6448536269514722


def held(truth: Floats) -> Floats:
    """The truth as the scale can say it."""
    return np.clip(truth, 1.0, 5.0)


def rmse(errors: list[Floats]) -> float:
    """Root mean square over all clubs' stones."""
    return float(np.sqrt(np.mean(np.concatenate(errors) ** 2)))


def coverage(clubs: list[Club], grades: list[Floats], sds: list[Floats]) -> float:
    """Share of true grades inside grade ± 1.645 sd, held inside the ends as printed."""
    inside = []
    for club, grade, sd in zip(clubs, grades, sds, strict=True):
        low = np.minimum(np.clip(grade - Z90 * sd, 1.0, 5.0), 4.75)
        high = np.maximum(np.clip(grade + Z90 * sd, 1.0, 5.0), 1.25)
        inside.append((held(club.truth) >= low) & (held(club.truth) <= high))
    return float(np.concatenate(inside).mean())


@pytest.fixture(scope="module")
def clubs() -> list[Club]:
    """Twenty ordinary clubs with 1, 2, 4 and 8 trials a stone."""
    plan = ClubPlan(n_stones=40, trials_per_stone=(1, 2, 4, 8))
    return [simulate_club(plan, np.random.default_rng([2042, c])) for c in range(20)]


@pytest.fixture(scope="module")
def pooled(clubs: list[Club]) -> list[PooledArrays]:
    """The engine's answers."""
    return [club.pool() for club in clubs]


def test_intervals_hold_the_truth_nine_times_in_ten(clubs, pooled):
    """800 stones: a share of 0.90 has a sampling sd of about 0.02 here, since the stones of a club share a level."""
    share = coverage(clubs, [p.estimate for p in pooled], [p.sd for p in pooled])

    assert 0.86 <= share <= 0.94


def test_an_overconfident_method_is_seen_to_fail(clubs, pooled):
    """The same harness with every sd halved must not pass: it would mean that the harness tests nothing."""
    share = coverage(clubs, [p.estimate for p in pooled], [0.5 * p.sd for p in pooled])

    assert share < 0.75


def test_pooling_beats_mean_median_and_a_gaussian_mixed_model(clubs, pooled):
    """Error against the truth; statsmodels' MixedLM with crossed stone, tester and stone-by-steel effects."""
    ours = [p.grade - held(c.truth) for c, p in zip(clubs, pooled, strict=True)]
    mean = [by_stone(c, np.mean) - held(c.truth) for c in clubs]
    median = [by_stone(c, np.median) - held(c.truth) for c in clubs]
    some = range(0, 20, 4)
    mixed = [mixed_model(clubs[c]) - held(clubs[c].truth) for c in some]

    assert rmse(ours) < 0.85 * rmse(mean)
    assert rmse(ours) < 0.85 * rmse(median)
    assert rmse([ours[c] for c in some]) < rmse(mixed)


def by_stone(club: Club, how) -> Floats:
    """Mean or median of each stone's grades."""
    return np.array([how(club.grade[club.stone == i]) for i in range(club.plan.n_stones)])


def mixed_model(club: Club) -> Floats:
    """Best linear predictions of the stones' grades over the steels by restricted maximum likelihood."""
    S, K = club.plan.n_stones, club.plan.n_steels
    data = pd.DataFrame(
        {"y": club.grade, "stone": club.stone, "tester": club.tester, "steel": club.steel, "all": 1}
    )
    data["cell"] = data["stone"] * K + data["steel"]
    parts = {"stone": "0 + C(stone)", "tester": "0 + C(tester)", "cell": "0 + C(cell)"}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        fit = smf.mixedlm("y ~ C(steel)", data, groups="all", vc_formula=parts, re_formula="0").fit(
            method="lbfgs"
        )
    effects = fit.random_effects[1]
    level = fit.fe_params.iloc[0] + fit.fe_params.iloc[1:].sum() / K
    out = np.full(S, level)
    for i in range(S):
        out[i] += effects[f"stone[C(stone)[{i}]]"]
        out[i] += sum(effects.get(f"cell[C(cell)[{i * K + k}]]", 0.0) for k in range(K)) / K
    return held(out)


def test_careless_testers_do_little_harm():
    """With two of eight giving mostly random grades, pooling loses far less than the mean, and still covers."""
    plan = ClubPlan(n_stones=40, n_careless=2, n_biased=1)
    clubs = [simulate_club(plan, np.random.default_rng([2043, c])) for c in range(10)]
    pooled = [c.pool() for c in clubs]

    ours = [p.grade - held(c.truth) for c, p in zip(clubs, pooled, strict=True)]
    mean = [by_stone(c, np.mean) - held(c.truth) for c in clubs]
    assert rmse([e - e.mean() for e in ours]) < 0.65 * rmse([e - e.mean() for e in mean])
    assert 0.84 <= coverage(clubs, [p.estimate for p in pooled], [p.sd for p in pooled]) <= 0.96


def test_testers_severity_and_precision_are_found(clubs, pooled):
    """severities and sigmas of 160 testers: most of the spread is recovered, and the intervals cover."""
    severity = np.concatenate([p.severity - p.severity.mean() for p in pooled])
    true_severity = np.concatenate([c.beta - c.beta.mean() for c in clubs])
    sigma = np.concatenate([p.sigma for p in pooled])
    true_sigma = np.concatenate([c.sigma for c in clubs])
    low = np.concatenate([p.sigma_low90 for p in pooled])
    high = np.concatenate([p.sigma_high90 for p in pooled])

    assert np.corrcoef(severity, true_severity)[0, 1] > 0.9
    assert np.corrcoef(np.log(sigma), np.log(true_sigma))[0, 1] > 0.6
    assert 0.8 < float(((true_sigma >= low) & (true_sigma <= high)).mean()) < 0.99


def test_grades_per_steel_are_covered_too(clubs, pooled):
    """The interval for a stone with one steel holds that truth as often."""
    inside = [
        (np.clip(c.cell_truth, 1, 5) >= p.cell_low90) & (np.clip(c.cell_truth, 1, 5) <= p.cell_high90)
        for c, p in zip(clubs, pooled, strict=True)
    ]

    assert 0.86 <= float(np.mean(inside)) <= 0.95


def test_the_wine_panels_judges_and_treatments_come_out_as_published():
    """Randall, Biometrical Journal 31:781–793, 1989: 9 judges, 8 bottles, bitterness 1 to 5 by whole steps.

    Published (vignettes of R package ordinal, random judge, Laplace): temperature 3.06299 and contact 1.83488 on the
    logit scale, that is in a ratio of 1.67, and the judges' modes below; high mode, high grades. The bottle is the
    stone and the treatment takes the steel's place. Grades are counted in another unit here, so ratio, signs and
    order are compared.
    """
    modes = [1.69618, -0.56578, 0.96881, -0.05955, 0.23051, 0.47704, -1.91097, -0.27294, -0.55468]
    with (DATA / "wine_bitterness.csv").open() as f:
        rows = list(csv.DictReader(f))
    trials = [
        TrialGrade(
            str(j),
            f"bottle-{r['bottle']}",
            f"judge-{r['judge']}",
            f"{r['temp']}/{r['contact']}",
            float(r["rating"]),
        )
        for j, r in enumerate(rows)
    ]

    result = pool_grades(trials, scale=GradeScale("bitterness", 1.0, 5.0, 1.0))

    severity = np.array([t.severity for t in result.testers])
    assert np.corrcoef(-severity, modes)[0, 1] > 0.99
    assert "judge-7" == result.testers[int(np.argmax(severity))].tester
    assert "judge-1" == result.testers[int(np.argmin(severity))].tester
    tried = {"cold/no": (0, 1), "cold/yes": (2, 3), "warm/no": (4, 5), "warm/yes": (6, 7)}
    own = {
        k: result.arrays.cell_estimate[list(i), result.steel_names.index(k)].mean() for k, i in tried.items()
    }
    warm = (own["warm/no"] + own["warm/yes"] - own["cold/no"] - own["cold/yes"]) / 2
    contact = (own["cold/yes"] + own["warm/yes"] - own["cold/no"] - own["warm/no"]) / 2
    assert warm > contact > 0
    assert 3.06299 / 1.83488 == pytest.approx(warm / contact, rel=0.1)


def test_the_harness_and_the_engine_share_one_scale():
    """The simulator's scale is the default one."""
    assert GradeScale("hardness") == HARDNESS
