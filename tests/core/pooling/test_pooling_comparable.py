"""Which stones can be compared, and whether the proposed trials really link them."""

import itertools

import numpy as np
import pytest
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.pooling import Anchor, PoolResult, PoolSettings, TrialGrade, pool_grades

QUICK = PoolSettings(widen=False)


def rows(*cells: tuple[str, str, str]) -> list[TrialGrade]:
    """(stone, tester, steel), all graded 3."""
    return [TrialGrade(f"t{j}", *cell, 3.0) for j, cell in enumerate(cells)]


def groups(trials: list[TrialGrade], **options: object) -> list[set[str]]:
    """The groups as sets of names."""
    return [set(g.stones) for g in pool_grades(trials, scale=HARDNESS, settings=QUICK, **options).groups]


def estimable(trials: list[TrialGrade], a: str, b: str) -> bool:
    """Brute force: is the contrast of two stones in the row space of the fixed-effects design?"""
    stones, testers, steels = (sorted({getattr(t, f) for t in trials}) for f in ("stone", "tester", "steel"))
    X = np.zeros((len(trials), len(stones) + len(testers) + len(steels)))
    for j, t in enumerate(trials):
        X[j, stones.index(t.stone)] = 1
        X[j, len(stones) + testers.index(t.tester)] = -1
        X[j, len(stones) + len(testers) + steels.index(t.steel)] = 1
    c = np.zeros(X.shape[1])
    c[stones.index(a)], c[stones.index(b)] = 1, -1
    return bool(np.linalg.matrix_rank(np.vstack([X, c])) == np.linalg.matrix_rank(X))


@pytest.mark.parametrize("seed", range(12))
def test_groups_are_exactly_the_estimable_contrasts(seed):
    """Truth from linear algebra:
    two stones share a group if and only if their difference can be estimated.
    """
    rng = np.random.default_rng(seed)
    n = int(rng.integers(4, 12))
    trials = rows(*((f"s{rng.integers(5)}", f"r{rng.integers(4)}", f"k{rng.integers(2)}") for _ in range(n)))
    found = {s.stone: s.group for s in pool_grades(trials, scale=HARDNESS, settings=QUICK).stones}

    for a, b in itertools.combinations(found, 2):
        assert estimable(trials, a, b) == (found[a] == found[b]), (a, b)


def test_blocks_that_never_meet_are_named_and_the_fewest_trials_link_them():
    """Three blocks need two linking trials; with those, everything can be compared."""
    club = simulate_club(
        ClubPlan(n_stones=18, n_testers=9, n_blocks=3, trials_per_stone=(3,)), np.random.default_rng(1)
    )
    result = pool_grades(club.trials(), scale=HARDNESS, settings=QUICK)

    assert [6, 6, 6] == [len(g.stones) for g in result.groups]
    assert 2 == len(result.proposed_links)
    assert all("comparable only within" in s.note for s in result.stones)
    assert 1 == len(linked(club.trials(), result).groups)


def linked(trials: list[TrialGrade], result: PoolResult) -> PoolResult:
    """The same club after its proposed trials."""
    more = [
        TrialGrade(f"link-{j}", x.stone, x.tester, x.steel, 3.0) for j, x in enumerate(result.proposed_links)
    ]
    return pool_grades([*trials, *more], scale=HARDNESS, settings=QUICK)


def test_a_block_tried_with_one_steel_only_is_split_although_testers_are_shared():
    """Tester r tried everything, but with white on one shelf and blue on the other:
    the steels may make the difference.
    """
    trials = rows(("a", "r", "white"), ("b", "r", "white"), ("c", "r", "blue"), ("d", "r", "blue"))
    result = pool_grades(trials, scale=HARDNESS, settings=QUICK)

    assert [{"a", "b"}, {"c", "d"}] == [set(g.stones) for g in result.groups]
    assert 1 == len(result.proposed_links)
    assert 1 == len(linked(trials, result).groups)


def test_check_stones_link_what_no_tester_links():
    """Two agreed grades in two blocks put both on one footing."""
    trials = rows(("a", "r", "k"), ("b", "r", "k"), ("c", "q", "k"), ("d", "q", "k"))

    assert 2 == len(groups(trials))
    assert 1 == len(groups(trials, anchors=[Anchor("a", 3.0, 0.2), Anchor("c", 3.5, 0.2)]))


def test_every_stone_by_itself_gets_as_many_links_as_it_takes():
    """Five stones, five testers, no two alike: four trials link them."""
    trials = rows(*((f"s{i}", f"r{i}", "k") for i in range(5)))
    result = pool_grades(trials, scale=HARDNESS, settings=QUICK)

    assert 5 == len(result.groups)
    assert 4 == len(result.proposed_links)
    assert 1 == len(linked(trials, result).groups)


def test_intervals_do_not_reveal_a_split():
    """Why the groups are named: the severity prior bridges the gap, and sd looks as if all were well."""
    plan = ClubPlan(n_stones=18, n_testers=9, trials_per_stone=(3,))
    whole = simulate_club(plan, np.random.default_rng(2)).pool(settings=QUICK)
    split = simulate_club(ClubPlan(**{**plan.__dict__, "n_blocks": 3}), np.random.default_rng(2)).pool(
        settings=QUICK
    )

    assert 1 == whole.n_groups
    assert 3 == split.n_groups
    assert split.sd.mean() < 1.35 * whole.sd.mean()
