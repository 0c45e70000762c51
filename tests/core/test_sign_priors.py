"""Signs and trials together, through the engine, against known truth."""

import numpy as np
import pytest

from whetpanel.core.pooling import GradeScale, TrialGrade, pool_grades
from whetpanel.core.sign_priors import learn_from_pooled

HARDNESS = GradeScale("hardness")


def club(seed: int, n: int = 150, effect: float = 0.65):  # type: ignore[no-untyped-def]
    """(trials, signs, truth): 2 trials a stone by 6 testers; the signs share what they say with the grade."""
    rng = np.random.default_rng(seed)
    hard = rng.normal(0, 1, n)
    truth = 3 + effect * hard + rng.normal(0, np.sqrt(0.64 - effect**2), n)
    lean, sigma = rng.normal(0, 0.3, 6), np.exp(rng.normal(np.log(0.4), 0.3, 6))
    trials, signs = [], {}
    for i in range(n):
        for r in rng.permutation(6)[:2]:
            grade = np.clip(np.round(2 * (truth[i] - lean[r] + rng.normal(0, sigma[r]))) / 2, 1, 5)
            trials.append(TrialGrade(f"t{len(trials)}", f"S{i:03}", f"T{r}", "white", float(grade)))
        noted = {
            "water_uptake_s": float(np.exp(3 + 0.8 * (hard[i] + rng.normal(0, 0.5)))),
            "bulk_density_g_cm3": 2.5 + 0.1 * (hard[i] + rng.normal(0, 0.5)),
            "mud_shade": 3 + 0.7 * (hard[i] + rng.normal(0, 0.7)),
        }
        signs[f"S{i:03}"] = {k: v for k, v in noted.items() if rng.random() > 0.15}
    return trials, signs, truth


def test_pooling_with_signs_comes_nearer_the_truth_and_its_intervals_hold() -> None:
    """Simulation from known parameters, 4 clubs; the level is judged apart, since no check stone holds it."""
    without, with_signs, inside, total = 0.0, 0.0, 0, 0
    for seed in range(4):
        trials, signs, truth = club(seed)
        plain = pool_grades(trials, scale=HARDNESS)
        learned = learn_from_pooled(plain, signs, rng=np.random.default_rng(1))
        assert learned.answer.used, learned.answer.reason
        helped = pool_grades(trials, scale=HARDNESS, prior_mean=learned.shift)
        for result, add in ((plain, "plain"), (helped, "helped")):
            error = result.arrays.estimate - truth
            error = error - error.mean()
            if add == "plain":
                without += float((error**2).mean())
            else:
                with_signs += float((error**2).mean())
                inside += int((np.abs(error) <= 1.645 * result.arrays.sd).sum())
                total += truth.size
        assert helped.arrays.sd.mean() < plain.arrays.sd.mean()

    assert np.sqrt(with_signs / without) < 0.95
    assert 0.86 <= inside / total <= 0.96


def test_a_stone_nobody_tried_starts_where_its_signs_point() -> None:
    trials, signs, truth = club(3)
    untried = {f"S{i:03}" for i in range(10)}
    kept = [t for t in trials if t.stone not in untried]
    plain = pool_grades(kept, scale=HARDNESS, stones=sorted(untried))
    learned = learn_from_pooled(plain, signs, rng=np.random.default_rng(1))
    helped = pool_grades(kept, scale=HARDNESS, stones=sorted(untried), prior_mean=learned.shift)
    foretold = [s.grade for s in helped.stones if s.stone in untried]

    assert untried.isdisjoint(learned.checks)
    assert np.corrcoef(foretold, truth[:10])[0, 1] > 0.5
    assert all(s.grade == pytest.approx(plain.level, abs=0.1) for s in plain.stones if s.stone in untried)


def test_signs_that_say_nothing_shift_nothing() -> None:
    trials, signs, _ = club(4)
    rng = np.random.default_rng(0)
    names = list(signs)
    shuffled = {name: signs[names[j]] for name, j in zip(names, rng.permutation(len(names)), strict=True)}
    learned = learn_from_pooled(pool_grades(trials, scale=HARDNESS), shuffled, rng=rng)

    assert not learned.answer.used
    assert learned.shift == {}
    assert learned.checks == {}


def test_a_contradiction_is_told_by_the_stones_name() -> None:
    trials, signs, truth = club(5)
    hardest = int(np.argmax(truth))
    name = f"S{hardest:03}"
    odd = [TrialGrade(t.trial_id, t.stone, t.tester, t.steel, 1.0) if t.stone == name else t for t in trials]
    learned = learn_from_pooled(pool_grades(odd, scale=HARDNESS), signs, rng=np.random.default_rng(1))

    assert learned.checks[name].contradicts
    assert learned.checks[name].gap < -1
    assert name in list(learned.checks)[:3]
