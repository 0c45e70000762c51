"""What a finished fit hands to the next one, so that one more trial does not mean starting over."""

from dataclasses import dataclass, replace

import numpy as np

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.core.pooling.fit import Fit, Problem, State, cold_state
from whetpanel.core.pooling.gaussian import Sites
from whetpanel.core.pooling.model import PoolSettings
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.sites import Precisions


@dataclass(frozen=True)
class WarmState:
    """Sites by (stone, tester, steel, category) code and testers by code. Opaque to callers;
    names are optional.
    """

    scale: GradeScale
    settings: PoolSettings
    fit: Fit
    stone: Ints
    tester: Ints
    steel: Ints
    category: Ints
    offset: Floats
    """(S,): prior shift of each stone, units; sites are kept relative to it."""
    names: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]] | None = None


def keep_warm(problem: Problem, fit: Fit, scale: GradeScale, offset: Floats) -> WarmState:
    """Pack a finished fit."""
    d = problem.design
    return WarmState(scale, problem.settings, fit, d.stone_of[d.stone], d.tester, d.steel, d.category, offset)


def recode(warm: WarmState, names: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]) -> WarmState:
    """The same state in the codes of another naming; what is gone gets code −1."""
    if warm.names is None or warm.names == names:
        return replace(warm, names=names)
    maps = []
    for old, new in zip(warm.names, names, strict=True):
        at = {name: j for j, name in enumerate(new)}
        maps.append(np.array([at.get(name, -1) for name in old], dtype=np.int64))
    offset = np.zeros(len(names[0]))
    known = maps[0] >= 0
    offset[maps[0][known]] = warm.offset[known]
    J = len(warm.settings.lapse)
    testers = Precisions.at_prior(len(names[1]), warm.fit.state.hyper, warm.settings)
    known = maps[1] >= 0
    old_testers = warm.fit.state.testers
    for mine, theirs in (
        (testers.mean, old_testers.mean), (testers.var, old_testers.var),
        (testers.weight, old_testers.weight), (testers.active, old_testers.active),
    ):  # fmt: skip
        mine[maps[1][known]] = theirs[known]
    assert testers.mean.shape[1] == J
    tail = np.ones(len(names[1]))
    tail[maps[1][known]] = warm.fit.state.tail[known]
    state = replace(warm.fit.state, testers=testers, tail=tail)
    return replace(
        warm,
        fit=replace(warm.fit, state=state),
        stone=maps[0][warm.stone],
        tester=maps[1][warm.tester],
        steel=maps[2][warm.steel],
        offset=offset,
        names=names,
    )


def resume(problem: Problem, warm: WarmState, offset: Floats) -> State | None:
    """A starting state for ``problem`` from an earlier fit, or None where it is of no use.

    A trial seen before keeps its site; equal trials share one, since they have the same evidence. A new
    trial gets the site of a typical first guess; the loop settles it.
    """
    d = problem.design
    old = warm.fit.state
    R = old.testers.mean.shape[0]
    if len(warm.settings.lapse) != len(problem.settings.lapse) or d.n_trials == 0:
        return None
    n_steels = max(d.n_steels, int(warm.steel.max(initial=-1)) + 1)
    n_testers = max(d.n_testers, R)
    C = problem.likelihood.n_categories

    def key(stone: Ints, tester: Ints, steel: Ints, category: Ints) -> Ints:
        out: Ints = ((stone * n_steels + steel) * n_testers + tester) * C + category
        return out

    theirs = key(warm.stone, warm.tester, warm.steel, warm.category)
    usable = (warm.stone >= 0) & (warm.tester >= 0) & (warm.steel >= 0)
    theirs = np.where(usable, theirs, -1)
    order = np.argsort(theirs, kind="stable")
    mine = key(d.stone_of[d.stone], d.tester, d.steel, d.category)
    at = np.searchsorted(theirs[order], mine)
    at = order[np.minimum(at, order.size - 1)] if order.size else np.zeros(mine.size, dtype=np.int64)
    known = theirs[at] == mine if order.size else np.zeros(mine.size, dtype=np.bool_)
    fresh = cold_state(problem)
    sites = Sites(fresh.sites.w, fresh.sites.n)
    sites.w[known] = old.sites.w[at[known]]
    sites.n[known] = old.sites.n[at[known]]
    shift = np.zeros(d.n_stones)
    m = min(warm.offset.size, d.n_stones)
    shift[:m] = offset[:m] - warm.offset[:m]
    sites.n[known] -= (sites.w * shift[d.stone_of[d.stone]])[known]
    testers = Precisions.at_prior(d.n_testers, old.hyper, problem.settings)
    r = min(R, d.n_testers)
    for mine_, theirs_ in (
        (testers.mean, old.testers.mean), (testers.var, old.testers.var),
        (testers.weight, old.testers.weight), (testers.active, old.testers.active),
    ):  # fmt: skip
        mine_[:r] = theirs_[:r]
    tail = np.ones(d.n_testers)
    tail[:r] = old.tail[:r]
    return State(sites, testers, old.hyper, tail)
