"""What must hold for any panel: order, labels, duplicates, shift, agreement, carelessness."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.simulation import HARDNESS, Club, ClubPlan, simulate_club

from whetpanel.core.pooling import Anchor, GradeScale, PoolSettings, TrialGrade, pool_grades
from whetpanel.errors import Invalid

QUICK = PoolSettings(widen=False)
TIGHT = PoolSettings(widen=False, tolerance=1e-7)


def small_club(seed: int, **shape: object) -> Club:
    """A club small enough to pool in milliseconds."""
    plan = replace(ClubPlan(n_stones=12, n_testers=5, trials_per_stone=(1, 2, 4)), **shape)
    return simulate_club(plan, np.random.default_rng(seed))


@st.composite
def panels(draw: st.DrawFn) -> list[TrialGrade]:
    """Any few trials, sensible or not."""
    n = draw(st.integers(0, 25))
    pick = {
        "stone": st.integers(0, 5), "tester": st.integers(0, 3), "steel": st.integers(0, 2), "grade": st.integers(0, 8),
    }  # fmt: skip
    rows = [{k: draw(v) for k, v in pick.items()} for _ in range(n)]
    return [
        TrialGrade(f"t{j}", f"s{r['stone']}", f"p{r['tester']}", f"k{r['steel']}", 1 + 0.5 * r["grade"])
        for j, r in enumerate(rows)
    ]


@settings(max_examples=20, deadline=None, derandomize=True, database=None)
@given(panels(), st.randoms(use_true_random=False))
def test_any_input_gives_finite_grades_and_the_order_of_rows_does_not_change_a_byte(rows, random):
    """Numbers everywhere, intervals around the grade and inside the ends; shuffled rows give the same bytes."""
    mixed = list(rows)
    random.shuffle(mixed)

    one = pool_grades(rows, scale=HARDNESS, stones=["never tried"], settings=QUICK)
    two = pool_grades(mixed, scale=HARDNESS, stones=["never tried"], settings=QUICK)

    a, b = one.arrays, two.arrays
    for name in (
        "grade",
        "sd",
        "low90",
        "high90",
        "severity",
        "sigma",
        "weight",
        "residual",
        "pull",
        "cell_grade",
    ):
        assert np.isfinite(getattr(a, name)).all(), name
        assert getattr(a, name).tobytes() == getattr(b, name).tobytes(), name
    assert one.inputs_digest == two.inputs_digest
    assert (a.low90 <= a.high90).all()
    assert (a.low90 >= 1.0).all()
    assert (a.high90 <= 5.0).all()
    assert ((a.grade >= 1.0) & (a.grade <= 5.0)).all()
    assert (a.sd > 0).all()
    assert one.converged
    assert one.stones == two.stones
    assert one.testers == two.testers


def test_new_labels_only_relabel_the_answers():
    """Names carry no meaning: reversing every alphabet gives the same grades under the new names."""
    club = small_club(1)
    trials = club.trials()
    names = sorted({t.stone for t in trials})
    testers = sorted({t.tester for t in trials})
    other = dict(zip(names, reversed([f"x{j:03d}" for j in range(len(names))]), strict=True))
    others = dict(zip(testers, reversed([f"y{j:03d}" for j in range(len(testers))]), strict=True))
    renamed = [replace(t, stone=other[t.stone], tester=others[t.tester]) for t in trials]

    before = {s.stone: s for s in pool_grades(trials, scale=HARDNESS, settings=TIGHT).stones}
    after = {s.stone: s for s in pool_grades(renamed, scale=HARDNESS, settings=TIGHT).stones}

    for name, grade in before.items():
        assert grade.grade == pytest.approx(after[other[name]].grade, abs=1e-6)
        assert grade.sd == pytest.approx(after[other[name]].sd, abs=1e-6)


def test_a_trial_sent_twice_counts_once():
    """The same id with the same content is the same trial."""
    trials = small_club(2).trials()

    once = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    twice = pool_grades([*trials, *trials[:7]], scale=HARDNESS, settings=QUICK)

    assert once.arrays.grade.tobytes() == twice.arrays.grade.tobytes()
    assert once.inputs_digest == twice.inputs_digest


def test_one_id_with_two_contents_is_refused_with_both():
    """Nobody can know which of the two was meant, so both are named."""
    trials = small_club(2).trials()

    with pytest.raises(Invalid) as refusal:
        pool_grades([*trials, replace(trials[0], stone="another")], scale=HARDNESS)

    assert f"trials.{trials[0].trial_id}" == refusal.value.errors[0].field
    assert "another" in refusal.value.errors[0].message


def test_a_step_more_on_every_grade_moves_every_pooled_grade_by_a_step():
    """Away from the ends, and with a level about which little is known beforehand, a shift passes straight through."""
    club = small_club(3, tau=0.35, sigma=0.25, tau_beta=0.15)
    trials = [replace(t, grade=min(max(t.grade, 2.0), 3.5)) for t in club.trials()]
    loose = PoolSettings(widen=False, tolerance=1e-6, level_sd=30.0)

    low = pool_grades(trials, scale=HARDNESS, settings=loose)
    high = pool_grades([replace(t, grade=t.grade + 0.5) for t in trials], scale=HARDNESS, settings=loose)

    assert np.allclose(low.arrays.estimate + 0.5, high.arrays.estimate, atol=2e-3)
    assert np.allclose(low.arrays.sd, high.arrays.sd, atol=1e-3)


def test_the_same_panel_on_another_scale_gives_the_same_grades_there():
    """0 to 8 by whole steps is 1 to 5 by halves in other words."""
    trials = small_club(4).trials()
    wide = GradeScale("wide", 0.0, 8.0, 1.0)

    halves = pool_grades(trials, scale=HARDNESS, settings=TIGHT)
    wholes = pool_grades([replace(t, grade=2 * (t.grade - 1)) for t in trials], scale=wide, settings=TIGHT)

    assert np.allclose(2 * (halves.arrays.grade - 1), wholes.arrays.grade, atol=1e-9)
    assert np.allclose(2 * halves.arrays.sigma, wholes.arrays.sigma, atol=1e-9)


def test_testers_who_agree_narrow_the_interval():
    """Three more testers of the same opinion leave less in doubt."""
    trials = small_club(5).trials()
    stone = trials[0].stone
    grade = trials[0].grade
    more = [TrialGrade(f"more-{j}", stone, t.tester, "steel-0", grade) for j, t in enumerate(trials[:40:9])]

    before = {s.stone: s.sd for s in pool_grades(trials, scale=HARDNESS, settings=QUICK).stones}
    after = {s.stone: s.sd for s in pool_grades([*trials, *more], scale=HARDNESS, settings=QUICK).stones}

    assert after[stone] < 0.9 * before[stone]


def test_a_careless_testers_weight_falls_towards_zero():
    """A tester who rolls dice counts for next to nothing, and the more so the longer the dice are watched."""
    weights = []
    for n in (6, 60):
        club = small_club(6, n_stones=n, trials_per_stone=(4,), n_careless=1, careless_share=1.0)
        pooled = club.pool(settings=QUICK)
        weights.append(float(pooled.weight[club.careless][0]))

    assert weights[1] < weights[0]
    assert weights[1] < 0.12


def test_check_stones_fix_the_level():
    """With an agreed grade the club's level is no longer a matter of its testers' average severity."""
    club = small_club(7, n_stones=24, trials_per_stone=(4,), n_biased=5, bias=0.6)
    trials = club.trials()
    anchors = [Anchor(f"stone-{i:05d}", float(np.clip(club.truth[i], 1, 5)), 0.1) for i in range(0, 24, 3)]

    free = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    held = pool_grades(trials, scale=HARDNESS, anchors=anchors, settings=QUICK)

    truth = np.clip(club.truth, 1, 5)
    assert abs((held.arrays.grade - truth).mean()) < 0.15 < abs((free.arrays.grade - truth).mean())
    assert held.level_sd < 0.9 * free.level_sd
    assert held.arrays.sd.mean() < free.arrays.sd.mean()
    assert "check stone" in held.absolute_level_note
    assert "No check stone" in free.absolute_level_note


def test_the_printed_grade_averages_over_the_reference_steels_only():
    """A reference steel nobody tried enters by its prior; another steel's trials still count as evidence."""
    trials = small_club(8).trials()

    one = pool_grades(trials, scale=HARDNESS, reference_steels=["steel-1"], settings=QUICK)
    new = pool_grades(trials, scale=HARDNESS, reference_steels=["steel-1", "untried"], settings=QUICK)

    for stone in one.stones:
        of = {s.steel: s for s in stone.by_steel}
        assert of["steel-1"].grade == pytest.approx(stone.grade, abs=1e-9)
    assert (new.arrays.sd > one.arrays.sd).all()
    assert 0 == new.stones[0].by_steel[new.steel_names.index("untried")].n_trials


def test_a_prior_shift_moves_thin_stones_more_than_well_tried_ones():
    """What the signs say is worth most where few have tried the stone."""
    club = small_club(9, trials_per_stone=(1, 8))
    trials = club.trials()
    shift = {f"stone-{i:05d}": 0.5 for i in range(4)}

    plain = pool_grades(trials, scale=HARDNESS, settings=QUICK).arrays.estimate
    moved = pool_grades(trials, scale=HARDNESS, settings=QUICK, prior_mean=shift).arrays.estimate

    change = moved - plain
    # The club's level gives way a little, since what is expected of the whole rises; so compare, and do not count.
    assert change[0] > change[1]
    assert change[2] > change[3]
    assert min(change[0], change[2]) > 0.05 > np.abs(change[4:]).max()


def test_excluding_trials_is_the_same_as_not_having_them():
    """A what-if stores nothing and changes nothing else."""
    trials = small_club(10).trials()

    without = pool_grades(trials[5:], scale=HARDNESS, settings=QUICK)
    what_if = pool_grades(trials, scale=HARDNESS, settings=QUICK, exclude={t.trial_id for t in trials[:5]},
                          stones=without.stone_names)  # fmt: skip

    shared = [what_if.stone_names.index(name) for name in without.stone_names]
    assert np.allclose(without.arrays.grade, what_if.arrays.grade[shared], atol=1e-9)


def test_the_digest_follows_every_input():
    """One grade, one setting, one check stone more: another digest."""
    trials = small_club(11).trials()
    base = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    digests = {
        base.inputs_digest,
        pool_grades(trials[1:], scale=HARDNESS, settings=QUICK).inputs_digest,
        pool_grades(trials, scale=HARDNESS, settings=TIGHT).inputs_digest,
        pool_grades(
            trials, scale=HARDNESS, settings=QUICK, anchors=[Anchor("stone-00001", 3.0, 0.2)]
        ).inputs_digest,
        pool_grades(trials, scale=HARDNESS, settings=QUICK, reference_steels=["steel-0"]).inputs_digest,
    }

    assert 5 == len(digests)
    assert 64 == len(base.inputs_digest)


@pytest.mark.parametrize(
    "anchor", [Anchor("s", 3.0, 0.0), Anchor("s", 9.0, 0.1), Anchor("s", float("nan"), 0.1)]
)
def test_an_unusable_check_stone_is_refused(anchor):
    """Off the scale, or with no uncertainty at all."""
    with pytest.raises(Invalid, match="check stone"):
        pool_grades([], scale=HARDNESS, anchors=[anchor])
