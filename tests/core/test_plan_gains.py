"""What a planned trial is said to bring: against refits, by counting, and across groups that no tester links."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.stats import norm
from tests.core.test_plan import QUICK, expected_precision
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.plan import NO_HAND_OVER, linking_trials, plan_trials, which_of_them_link
from whetpanel.core.plan_board import Aim, missing_counts, wide_stones
from whetpanel.core.pooling import PoolResult, TrialGrade, pool_grades
from whetpanel.core.pooling.design import build_design
from whetpanel.core.pooling.gaussian import Sites, grade_stones, solve
from whetpanel.errors import Invalid

Z90 = norm.ppf(0.95)


@cache
def thin_club() -> tuple[list[TrialGrade], PoolResult]:
    """Twenty thinly tried stones."""
    club = simulate_club(
        ClubPlan(n_stones=20, n_testers=5, trials_per_stone=(1, 2, 3)), np.random.default_rng(11)
    )
    trials = club.trials()
    return trials, pool_grades(trials, scale=HARDNESS, settings=QUICK)


@cache
def split_club() -> tuple[list[TrialGrade], PoolResult]:
    """Three blocks of stones and testers that never meet."""
    plan = ClubPlan(n_stones=18, n_testers=6, trials_per_stone=(3,), n_blocks=3)
    trials = simulate_club(plan, np.random.default_rng(5)).trials()
    return trials, pool_grades(trials, scale=HARDNESS, settings=QUICK)


def variances_with(result: PoolResult, tester: str, stone: str, steel: str, w: float) -> np.ndarray:
    """(S,): variance of every stone's grade, by a full solve with one more site of precision ``w``; grades²."""
    a = result.arrays
    problem, fit, d = a.problem, a.fit, a.problem.design
    r, i, k = (
        result.tester_names.index(tester), result.stone_names.index(stone), result.steel_names.index(steel),
    )  # fmt: skip
    more = build_design(
        np.append(d.stone_of[d.stone], i), np.append(d.tester, r), np.append(d.steel, k), np.append(d.category, 0),
        n_stones=d.n_stones, n_testers=d.n_testers, n_steels=d.n_steels,
    )  # fmt: skip
    state = fit.state
    sites = Sites(np.append(state.sites.w, w)[more.order], np.append(state.sites.n, 0.0)[more.order])
    anchors = problem.anchors
    precision, value = np.empty(d.n_stones), np.empty(d.n_stones)
    precision[more.position[d.stone_of]] = anchors.precision
    value[more.position[d.stone_of]] = anchors.value
    own = replace(anchors, precision=precision, value=value)
    post = solve(more, sites, state.hyper, own, problem.settings, state.tail)
    var = grade_stones(more, sites, state.hyper, own, post.block).var[more.position]
    return np.asarray(var) * a.scale.unit**2


def test_the_gain_is_the_fall_of_every_stones_variance():
    """Truth from the engine's full solve with one more site, summed over all stones; a stone left out is missed."""
    _, result = thin_club()
    target = 0.05  # so low that no stone can reach it: nothing of the fall goes beyond what is needed
    candidates = [
        (tester, stone, steel)
        for tester in result.tester_names[:3]
        for stone in result.stone_names[::6]
        for steel in result.steel_names
    ]
    for who in candidates:
        planned = plan_trials(result, n=1, target_half_width=target, settled=[who])[0]
        tester, stone, steel = who
        w = expected_precision(
            result,
            result.stone_names.index(stone),
            result.tester_names.index(tester),
            result.steel_names.index(steel),
        )
        falls = result.arrays.sd**2 - variances_with(result, *who, w)

        assert float(falls.sum()) == pytest.approx(planned.narrowing, rel=1e-5)
        assert planned.narrowing == planned.expected_gain
        # Other stones gain as well, through what the trial tells of tester and steel: the stone alone is too little.
        assert float(falls[result.stone_names.index(stone)]) < 0.999 * planned.narrowing


def test_a_real_refit_narrows_by_as_much_on_average():
    """Each grade the trial could bring is pooled in earnest, weighted by how likely it is."""
    trials, result = thin_club()
    planned = plan_trials(result, n=1, target_half_width=0.2)[0]
    stone = result.stone_names.index(planned.stone)
    a = result.arrays
    k, r = result.steel_names.index(planned.steel), result.tester_names.index(planned.tester)
    w = expected_precision(result, stone, r, k)
    v_eta = a.cell_sd[stone, k] ** 2 + a.severity_sd[r] ** 2
    mean = a.cell_estimate[stone, k] - a.severity[r]
    grades = np.arange(1.0, 5.5, 0.5)
    edges = np.concatenate([[-np.inf], (grades[:-1] + grades[1:]) / 2, [np.inf]])
    likely = np.diff(norm.cdf(edges, mean, np.sqrt(v_eta + a.sigma[r] ** 2)))
    after = []
    for grade in grades:
        added = TrialGrade("trial-999999", planned.stone, planned.tester, planned.steel, float(grade))
        refit = pool_grades([*trials, added], scale=HARDNESS, settings=QUICK, warm=result.warm)
        after.append(refit.arrays.sd[stone] ** 2)
    expected = Z90 * np.sqrt(np.dot(likely, after) / likely.sum())

    assert w > 0
    assert expected == pytest.approx(planned.half_width_after, rel=0.08)
    # The check has teeth: what the stone's interval was before is not within that tolerance.
    assert planned.half_width_before != pytest.approx(expected, rel=0.08)


def test_a_narrow_stone_that_lacks_a_tester_or_a_steel_is_planned_for():
    """Nothing is too wide here: only what is missing brings trials, and exactly as many as are missing."""
    _, result = thin_club()
    easy = {"target_half_width": 3.0, "n": 200}
    steels = {s.stone: s.n_steels for s in result.stones}
    testers = {s.stone: s.n_testers for s in result.stones}

    nothing = plan_trials(result, **easy)
    lacking = plan_trials(result, **easy, min_testers=2, min_steels=2)

    assert () == nothing
    limit = (3.0 / Z90) ** 2
    for name in result.stone_names:
        own = [p for p in lacking if p.stone == name]
        assert max(2 - testers[name], 0) == sum(p.brings_tester for p in own)
        assert max(2 - steels[name], 0) == sum(p.brings_steel for p in own)
        assert max(2 - testers[name], 2 - steels[name], 0) == len(own)
        for p in own:
            worth = limit * (p.brings_tester + p.brings_steel)
            assert worth == pytest.approx(p.expected_gain, rel=1e-9)
    # A trial that brings both is worth twice as much, so it comes before all that bring one.
    both = [p.brings_tester + p.brings_steel for p in lacking]
    assert sorted(both, reverse=True) == both
    assert 2 in both


def test_the_first_trial_is_the_best_of_all_that_could_be_done():
    """Every candidate is weighed by itself; a plan that looks at narrowing alone goes another way."""
    _, result = thin_club()
    rules = {"target_half_width": 0.6, "min_testers": 3, "min_steels": 2}
    tried = {(t.tester, t.stone, t.steel) for t in thin_club()[0]}
    every = {
        (tester, stone, steel): plan_trials(result, n=1, settled=[(tester, stone, steel)], **rules)[0]
        for tester in result.tester_names
        for stone in result.stone_names
        for steel in result.steel_names
        if (tester, stone, steel) not in tried
    }
    best = max(every.values(), key=lambda p: p.expected_gain)

    first = plan_trials(result, n=1, **rules)[0]

    assert best.expected_gain == pytest.approx(first.expected_gain, rel=1e-9)
    assert (best.tester, best.stone, best.steel) == (first.tester, first.stone, first.steel)
    with_counts = [(p.tester, p.stone, p.steel) for p in plan_trials(result, n=10, **rules)]
    without = [(p.tester, p.stone, p.steel) for p in plan_trials(result, n=10, target_half_width=0.6)]
    assert without != with_counts


def test_trials_that_are_asked_count_as_done():
    """What follows an asked trial is what would follow it in a plan; it is never asked again."""
    _, result = thin_club()
    rules = {"target_half_width": 0.4, "min_testers": 2, "min_steels": 2}
    plan = plan_trials(result, n=8, **rules)
    asked = [(p.tester, p.stone, p.steel) for p in plan[:3]]

    rest = plan_trials(result, n=5, underway=asked, **rules)

    assert [(p.tester, p.stone, p.steel) for p in plan[3:]] == [(p.tester, p.stone, p.steel) for p in rest]
    assert plan[3].expected_gain == pytest.approx(rest[0].expected_gain, rel=1e-9)
    assert not {(p.tester, p.stone, p.steel) for p in rest} & set(asked)
    unasked = plan_trials(result, n=5, **rules)
    assert {(p.tester, p.stone, p.steel) for p in unasked} & set(asked)


def test_an_asked_trial_of_any_steel_counts_its_tester():
    """A stone lacks one tester; one is asked without a steel being named: nobody else is sent."""
    _, result = thin_club()
    stone = next(s for s in result.stones if s.n_testers == 1)
    other = next(
        t
        for t in result.tester_names
        if t not in {x.tester for x in thin_club()[0] if x.stone == stone.stone}
    )
    rules = {"n": 5, "target_half_width": 3.0, "min_testers": 2, "stones": [stone.stone]}

    assert 1 == len(plan_trials(result, **rules))
    assert () == plan_trials(result, underway=[(other, stone.stone, None)], **rules)


def test_what_the_dealer_settled_comes_first_with_its_figures():
    """Against limits too, in the dealer's order; the rest is planned around it."""
    _, result = thin_club()
    names, stones = result.tester_names, result.stone_names
    mine = [(names[4], stones[7], result.steel_names[0]), ("newcomer", stones[2], result.steel_names[1])]

    plan = plan_trials(result, n=6, target_half_width=0.3, settled=mine, load=dict.fromkeys(names, 1))

    assert mine == [(p.tester, p.stone, p.steel) for p in plan[:2]]
    assert [True, True, False, False, False, False] == [p.settled for p in plan]
    assert all(p.half_width_after < p.half_width_before for p in plan)
    assert not any(p.tester == names[4] for p in plan[2:])
    with pytest.raises(Invalid, match="no reference steel"):
        plan_trials(result, n=1, settled=[(names[0], stones[0], "unheard-of")])


def test_a_stone_at_hand_is_preferred_and_not_forced():
    """The holder of a stone gets it where another would teach less than a quarter more."""
    _, result = thin_club()
    rules = {"n": 1, "target_half_width": 0.3}
    free = plan_trials(result, **rules)[0]
    by_tester = {
        tester: max(
            (
                plan_trials(result, settled=[(tester, free.stone, steel)], **rules)[0].expected_gain
                for steel in result.steel_names
            ),
        )
        for tester in result.tester_names
    }
    others = sorted((gain, name) for name, gain in by_tester.items() if name != free.tester)
    near, far = others[-1], others[0]

    assert near[0] * NO_HAND_OVER > free.expected_gain
    held = plan_trials(result, in_hands={free.stone: near[1]}, **rules)[0]
    assert (near[1], True) == (held.tester, held.in_hands)
    if far[0] * NO_HAND_OVER < free.expected_gain:
        assert far[1] != plan_trials(result, in_hands={free.stone: far[1]}, **rules)[0].tester


def test_linking_trials_come_first_and_do_link():
    """Pooled with the linking trials in, the club is one group; with one of them missing, it is not."""
    trials, result = split_club()
    assert 3 == result.arrays.n_groups
    everybody = dict.fromkeys(result.tester_names, result.steel_names)
    links = linking_trials(result, stones=result.stone_names, blades_by_tester=everybody)

    plan = plan_trials(result, n=len(links) + 2, target_half_width=0.3, links=links)

    assert list(links) == [(p.tester, p.stone, p.steel) for p in plan if p.links]
    assert [True] * len(links) + [False, False] == [p.links for p in plan]

    def groups_with(more: tuple[tuple[str, str, str], ...]) -> int:
        added = [
            TrialGrade(f"x{n}", stone, tester, steel, 3.0) for n, (tester, stone, steel) in enumerate(more)
        ]
        return pool_grades([*trials, *added], scale=HARDNESS, settings=QUICK).arrays.n_groups

    assert 1 == groups_with(links)
    assert 1 < groups_with(links[:-1])


def test_a_chosen_trial_that_links_is_known_as_such() -> None:
    """Whether it does is told by refitting: the groups are fewer with it, and as many without."""
    trials, result = split_club()
    everybody = dict.fromkeys(result.tester_names, result.steel_names)
    link = linking_trials(result, stones=result.stone_names, blades_by_tester=everybody)[0]
    own = next((t.tester, t.stone, steel) for t in trials for steel in result.steel_names if t.steel != steel)

    assert (False, True, False) == which_of_them_link(result, [own, link, link])
    assert (False,) == which_of_them_link(result, [link], underway=[link])

    def groups_with(tester: str, stone: str, steel: str) -> int:
        added = [*trials, TrialGrade("x", stone, tester, steel, 3.0)]
        return pool_grades(added, scale=HARDNESS, settings=QUICK).arrays.n_groups

    assert 3 == groups_with(*own)
    assert 2 == groups_with(*link)


def test_linking_trials_keep_to_who_and_what_is_there():
    """Testers who have left and stones that cannot be tried take no part, and what is asked counts as done."""
    _, result = split_club()
    everybody = dict.fromkeys(result.tester_names, result.steel_names)
    free = linking_trials(result, stones=result.stone_names, blades_by_tester=everybody)
    gone, aside = free[0][0], free[0][1]
    staying = {tester: steels for tester, steels in everybody.items() if tester != gone}
    here = [name for name in result.stone_names if name != aside]

    limited = linking_trials(result, stones=here, blades_by_tester=staying)

    assert limited
    assert gone not in {tester for tester, _, _ in limited}
    assert aside not in {stone for _, stone, _ in limited}
    assert () == linking_trials(result, stones=here, blades_by_tester={})
    assert () == linking_trials(
        result, stones=result.stone_names, blades_by_tester=everybody, underway=list(free)
    )
    assert free[1:] == linking_trials(
        result, stones=result.stone_names, blades_by_tester=everybody, underway=list(free[:1])
    )
    assert () == linking_trials(thin_club()[1], stones=result.stone_names, blades_by_tester=everybody)


def test_a_stone_at_the_end_of_the_scale_is_as_wide_as_it_is_printed():
    """Its interval is cut off at the end of the scale, and so may be narrow enough to publish."""
    trials = [
        TrialGrade(f"t{n}", stone, f"tester-{n % 3}", f"steel-{n % 2}", grade)
        for stone, grade in (("hard", 5.0), ("middling", 3.0), ("soft", 2.0))
        for n in range(4)
    ]
    trials = [replace(t, trial_id=f"{t.trial_id}-{t.stone}") for t in trials]
    result = pool_grades(trials, scale=HARDNESS, settings=QUICK)
    hard = result.stone_names.index("hard")
    a = result.arrays
    between = (float((a.high90 - a.low90)[hard] / 2) + float(Z90 * a.sd[hard])) / 2

    assert not wide_stones(result, between)[hard]
    assert wide_stones(result, 0.9 * float((a.high90 - a.low90)[hard] / 2))[hard]
    assert "hard" not in {p.stone for p in plan_trials(result, n=20, target_half_width=between)}


def test_counts_of_the_caller_go_before_those_of_the_result():
    """On another scale of the same purpose a stone may have met fewer testers."""
    _, result = thin_club()
    stone = next(s for s in result.stones if s.n_testers >= 2)
    fewer = Aim(0.5, 2, 0, tried_by={stone.stone: [result.tester_names[0]]})
    at = result.stone_names.index(stone.stone)

    assert 0 == missing_counts(result, Aim(0.5, 2, 0))[0][at]
    assert 1 == missing_counts(result, fewer)[0][at]
