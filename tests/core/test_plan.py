"""Which trial next: worth, limits, and the exactness of the one-trial update."""

import itertools
from dataclasses import replace

import numpy as np
import pytest
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.plan import grade_information, plan_trials
from whetpanel.core.pooling import Anchor, PoolResult, PoolSettings, pool_grades
from whetpanel.core.pooling.design import build_design
from whetpanel.core.pooling.gaussian import Sites, grade_stones, solve
from whetpanel.errors import Invalid

QUICK = PoolSettings(widen=False)


@pytest.fixture(scope="module")
def result() -> PoolResult:
    """A thinly tried club with one check stone."""
    club = simulate_club(
        ClubPlan(n_stones=20, n_testers=5, trials_per_stone=(1, 2, 3)), np.random.default_rng(3)
    )
    return pool_grades(
        club.trials(), scale=HARDNESS, settings=QUICK, anchors=[Anchor("stone-00004", 3.0, 0.3)]
    )


def test_the_expected_half_width_is_what_one_more_site_of_that_precision_gives(result):
    """Truth from the engine's own full solve with the planned site added to the stone's evidence."""
    planned = plan_trials(result, n=1, target_half_width=0.2)[0]
    a = result.arrays
    problem, fit = a.problem, a.fit
    d = problem.design
    i, r, k = (
        result.stone_names.index(planned.stone), result.tester_names.index(planned.tester),
        result.steel_names.index(planned.steel),
    )  # fmt: skip
    bigger = build_design(
        np.append(d.stone_of[d.stone], i), np.append(d.tester, r), np.append(d.steel, k), np.append(d.category, 0),
        n_stones=d.n_stones, n_testers=d.n_testers, n_steels=d.n_steels,
    )  # fmt: skip
    w = expected_precision(result, i, r, k)
    sites = Sites(
        np.append(fit.state.sites.w, w)[bigger.order], np.append(fit.state.sites.n, 0.0)[bigger.order]
    )
    back = d.stone_of[np.arange(d.n_stones)]
    anchors = problem.anchors
    precision = np.empty(d.n_stones)
    precision[bigger.position[back]] = anchors.precision
    value = np.empty(d.n_stones)
    value[bigger.position[back]] = anchors.value
    own = replace(anchors, precision=precision, value=value)
    post = solve(bigger, sites, fit.state.hyper, own, problem.settings, fit.state.tail)
    var = grade_stones(bigger, sites, fit.state.hyper, own, post.block).var[bigger.position[i]]

    assert 1.6448536 * np.sqrt(var) == pytest.approx(planned.half_width_after, rel=1e-6)
    assert 1.6448536 * a.sd[i] == pytest.approx(planned.half_width_before, rel=1e-6)


def expected_precision(result: PoolResult, i: int, r: int, k: int) -> float:
    """Fisher information of one grade at the predicted mean, a quarter of the predictive variance added."""
    a = result.arrays
    d, fit, state = a.problem.design, a.fit, a.fit.state
    scale = a.scale
    lower, upper = scale.cuts(np.arange(9))
    cuts = np.append(lower, upper[-1])
    mean = scale.to_units(a.cell_estimate[i, k]) - a.severity[r]
    # Var(eta) of a trial that is not there yet: add one of no weight.
    e = build_design(
        np.append(d.stone_of[d.stone], i), np.append(d.tester, r), np.append(d.steel, k), np.append(d.category, 0),
        n_stones=d.n_stones, n_testers=d.n_testers, n_steels=d.n_steels,
    )  # fmt: skip
    sites = Sites(np.append(state.sites.w, 0.0)[e.order], np.append(state.sites.n, 0.0)[e.order])
    anchors = a.problem.anchors
    precision, value = np.empty(d.n_stones), np.empty(d.n_stones)
    precision[e.position[d.stone_of]] = anchors.precision
    value[e.position[d.stone_of]] = anchors.value
    post = solve(
        e, sites, state.hyper, replace(anchors, precision=precision, value=value), a.settings, state.tail
    )
    v = post.var[np.flatnonzero(e.order == d.n_trials)[0]]
    info = 0.0
    for j, lapse in enumerate(a.settings.lapse):
        if state.testers.weight[r, j] >= 1e-3:
            s2 = np.exp(2 * state.testers.mean[r, j]) + 0.25 * v
            info += state.testers.weight[r, j] * float(
                grade_information(np.array(mean), np.array(s2), cuts, lapse)
            )
    assert fit.converged
    return info


def test_the_plan_goes_to_the_wide_stones_first_and_worth_falls(result):
    """The first trials go where the interval is widest, and each is worth less than the ones before."""
    plan = plan_trials(result, n=12, target_half_width=0.3)
    widest = sorted(result.stones, key=lambda s: -s.sd)[:8]

    assert plan[0].stone in {s.stone for s in widest}
    gains = [p.expected_gain for p in plan]
    assert all(b <= a * 1.05 for a, b in itertools.pairwise(gains))
    assert all(p.half_width_after < p.half_width_before for p in plan)
    assert len(plan) == len({(p.tester, p.stone, p.steel) for p in plan})


def test_the_plan_is_the_same_every_time(result):
    """No chance in it."""
    assert plan_trials(result, n=10) == plan_trials(result, n=10)


def test_limits_are_kept(result):
    """Holders, blades, load, and pairs that shall not meet."""
    names = result.tester_names
    plan = plan_trials(
        result, n=30, target_half_width=0.2,
        holders={s: [names[0], names[1]] for s in result.stone_names},
        blades_by_tester={names[0]: ["steel-0"], names[1]: ["steel-1", "steel-2"]},
        load={names[1]: 2},
        excluded=[(names[0], s) for s in result.stone_names[:10]],
    )  # fmt: skip

    assert {p.tester for p in plan} <= {names[0], names[1]}
    assert all(p.steel == "steel-0" for p in plan if p.tester == names[0])
    assert all(p.steel != "steel-0" for p in plan if p.tester == names[1])
    assert sum(p.tester == names[1] for p in plan) <= 2
    assert all(p.stone not in result.stone_names[:10] for p in plan if p.tester == names[0])


def test_nothing_to_do_gives_an_empty_plan(result):
    """Every stone narrow enough, or nobody free."""
    assert () == plan_trials(result, n=5, target_half_width=3.0)
    assert () == plan_trials(result, n=5, target_half_width=0.2, load=dict.fromkeys(result.tester_names, 0))
    assert () == plan_trials(pool_grades([], scale=HARDNESS), n=5)


def test_a_newcomer_can_be_planned_for(result):
    """A tester the panel does not know counts with its typical severity and precision."""
    plan = plan_trials(result, n=4, target_half_width=0.2, blades_by_tester={"newcomer": ["steel-0"]},
                       load=dict.fromkeys(result.tester_names, 0))  # fmt: skip

    assert {"newcomer"} == {p.tester for p in plan}
    assert 4 == len(plan)


def test_wrong_questions_are_refused(result):
    """A target of nothing, a stone nobody knows."""
    with pytest.raises(Invalid, match="above zero"):
        plan_trials(result, n=5, target_half_width=0.0)
    with pytest.raises(Invalid, match="unheard-of"):
        plan_trials(result, n=5, stones=["unheard-of"])


def test_information_is_highest_for_a_steady_tester_inside_the_scale():
    """Fisher information of a rounded normal nears 1/(sigma² + step²/12) inside, and falls beyond the ends."""
    lower, upper = HARDNESS.cuts(np.arange(9))
    cuts = np.append(lower, upper[-1])

    inside = grade_information(np.array(0.0), np.array(0.25), cuts, 0.0)
    beyond = grade_information(np.array(3.5), np.array(0.25), cuts, 0.0)

    assert 1 / (0.25 + 0.25 / 12) == pytest.approx(float(inside), rel=0.02)
    assert float(beyond) < 0.05 * float(inside)
