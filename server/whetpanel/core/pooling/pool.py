"""The engine's two doors: pool_grades for named trials, pool_arrays for codes."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from operator import attrgetter

import numpy as np

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.core.pooling.comparable import compare
from whetpanel.core.pooling.conflict import face_conflicts
from whetpanel.core.pooling.correction import Widening, no_widening, widen
from whetpanel.core.pooling.design import Design, build_design
from whetpanel.core.pooling.evidence import METHOD_VERSION, Anchor, Evidence, TrialGrade, once_each
from whetpanel.core.pooling.explain import clipped_mean
from whetpanel.core.pooling.fit import Fit, Problem, run
from whetpanel.core.pooling.gaussian import Anchors, grade_stones
from whetpanel.core.pooling.model import PoolSettings
from whetpanel.core.pooling.result import AT_HIGH, AT_LOW, INSIDE, Z90, PooledArrays, PoolResult
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.sites import Likelihood
from whetpanel.core.pooling.warm import WarmState, keep_warm, recode, resume
from whetpanel.errors import FieldError, Invalid


def pool_arrays(
    stone: Ints,
    tester: Ints,
    steel: Ints,
    grade: Floats,
    *,
    scale: GradeScale,
    n_stones: int,
    n_testers: int,
    n_steels: int,
    reference: Ints | None = None,
    anchors: tuple[Ints, Floats, Floats] | None = None,
    settings: PoolSettings | None = None,
    warm: WarmState | None = None,
    prior_mean: Floats | None = None,
    propose_links: bool = True,
) -> PooledArrays:
    """Pool one scale's grades given as codes: what a reader may believe of every stone, tester and trial.

    Parameters
    ----------
    stone, tester, steel  (n,) int codes from 0; n may be 0
    grade                 (n,) on the scale
    reference             steel codes that the printed grade averages over; None: every steel
    anchors               (stone codes, agreed grades, their sd) of check stones
    warm                  an earlier result's ``warm``, in the same codes
    prior_mean            (S,) shift of each stone's prior mean, in grades of the scale

    Raises Invalid for codes out of range, grades off the scale or unusable check stones.

    Notes: model and formulas in model.py; trials are taken as independent given stone, steel and tester.
    """
    settings = settings or PoolSettings()
    stone, tester, steel = (np.ascontiguousarray(v, dtype=np.int64) for v in (stone, tester, steel))
    category = scale.categories(grade)
    _check_codes(stone=(stone, n_stones), tester=(tester, n_testers), steel=(steel, n_steels))
    if not stone.size == tester.size == steel.size == category.size:
        raise ValueError("stone, tester, steel and grade have one entry per trial")
    K = max(n_steels, 1)
    weights = np.zeros(K)
    weights[np.arange(K) if reference is None or len(reference) == 0 else np.unique(reference)] = 1.0
    weights /= weights.sum()
    design = build_design(stone, tester, steel, category, n_stones=n_stones, n_testers=n_testers, n_steels=K)
    offset = (
        np.zeros(n_stones) if prior_mean is None else np.asarray(prior_mean, dtype=np.float64) / scale.unit
    )
    if not np.isfinite(offset).all():
        raise Invalid("Prior shifts of stones are finite numbers.")
    lower, upper = scale.cuts(design.category)
    own = offset[design.stone_of]
    lik = Likelihood(lower - own[design.stone], upper - own[design.stone], design.tester, scale.n_categories)
    problem = Problem(design, lik, _anchors(anchors, design, scale, own, weights), settings)
    fit = run(problem, resume(problem, warm, offset) if warm is not None and warm.scale == scale else None)
    widening = _widening(problem, fit)
    return _arrays(problem, fit, widening, scale, offset, propose_links)


def _check_codes(**codes: tuple[Ints, int]) -> None:
    for name, (code, n) in codes.items():
        if code.size and (code.min() < 0 or code.max() >= n):
            raise ValueError(f"{name} codes run from 0 to {n - 1}")


def _anchors(
    anchors: tuple[Ints, Floats, Floats] | None,
    design: Design,
    scale: GradeScale,
    own: Floats,
    weights: Floats,
) -> Anchors:
    precision, value = np.zeros(design.n_stones), np.zeros(design.n_stones)
    if anchors is not None:
        codes, grades, sds = (np.asarray(v) for v in anchors)
        for j, (g, sd) in enumerate(zip(grades.tolist(), sds.tolist(), strict=True)):
            if not (math.isfinite(sd) and sd > 0 and math.isfinite(g) and scale.low <= g <= scale.high):
                raise Invalid(
                    f"A check stone needs a grade from {scale.low:g} to {scale.high:g} and an sd above zero.",
                    [FieldError(f"anchors[{j}]", f"grade {g:g}, sd {sd:g} cannot be used")],
                )
        at = design.position[codes]
        if np.unique(at).size != at.size:
            raise Invalid("A stone has one check grade per scale; withdraw all but the one that stands.")
        # An sd below a hundredth of a step claims more than any panel can know, and it would swamp the solve.
        sd_units = np.maximum(sds / scale.unit, 0.01 * scale.step / scale.unit)
        precision[at] = 1.0 / sd_units**2
        value[at] = scale.to_units(np.asarray(grades, dtype=np.float64)) - own[at]
    return Anchors(precision, value, weights)


def _widening(problem: Problem, fit: Fit) -> Widening:
    s, d = problem.settings, problem.design
    wanted = s.widen if s.widen is not None else d.n_trials <= s.widen_up_to_trials
    if wanted and d.n_trials:
        return widen(problem, fit)
    return no_widening(d.n_stones, d.n_steels, d.n_testers)


def held_inside(estimate: Floats, sd: Floats, scale: GradeScale) -> tuple[Floats, Floats, Floats]:
    """Grade to print and its 90 % interval, held inside the ends.

    An interval never claims more than an end category can say: the half step next to an end stays inside it.
    """
    half = 0.5 * scale.step
    grade = clipped_mean(estimate, sd, scale.low, scale.high)
    low = np.minimum(np.clip(estimate - Z90 * sd, scale.low, scale.high), scale.high - half)
    high = np.maximum(np.clip(estimate + Z90 * sd, scale.low, scale.high), scale.low + half)
    return grade, low, high


def _arrays(
    problem: Problem,
    fit: Fit,
    widening: Widening,
    scale: GradeScale,
    offset: Floats,
    propose: bool,
) -> PooledArrays:
    d, anchors, block = problem.design, problem.anchors, fit.posterior.block
    S, K, R = d.n_stones, d.n_steels, d.n_testers
    unit, at = scale.unit, d.position
    g = grade_stones(d, fit.state.sites, fit.state.hyper, anchors, block)
    g, torn = face_conflicts(problem, fit, g)
    estimate = scale.from_units(g.grade[at] + offset)
    sd = unit * np.sqrt(g.var * widening.factor + widening.added)[at]
    grade, low90, high90 = held_inside(estimate, sd, scale)
    cell_estimate = scale.from_units(g.cell[at] + offset[:, None])
    cell_sd = unit * np.sqrt(g.cell_var * widening.factor[:, None] + widening.cell_added)[at]
    cell_grade, cell_low, cell_high = held_inside(cell_estimate, cell_sd, scale)

    cells = np.bincount(d.stone * K + d.steel, minlength=S * K).reshape(S, K)[at]
    first = np.bincount(d.stone, d.category == 0, S)[at]
    last = np.bincount(d.stone, d.category == scale.n_categories - 1, S)[at]
    n_trials = d.trials_of_stone[at]
    at_end = np.where((n_trials > 0) & (last == n_trials), AT_HIGH, np.where((n_trials > 0) & (first ==
    n_trials),
                      AT_LOW, INSIDE))  # fmt: skip

    groups = compare(d, anchors.precision > 0, propose=propose)
    sigma, sigma_low, sigma_high = _sigmas(fit, problem.settings, scale)
    tester_trials = np.bincount(d.tester, minlength=R)
    mean_w = float(fit.state.sites.w.mean()) if d.n_trials else 1.0
    weight = np.bincount(d.tester, fit.state.sites.w, R) / np.maximum(tester_trials, 1) / max(mean_w, 1e-12)
    a = anchors.reference
    return PooledArrays(
        scale=scale,
        settings=problem.settings,
        converged=fit.converged,
        n_rounds=fit.n_rounds,
        unsettled=fit.unsettled,
        level=float(scale.middle + unit * (a @ block.mean[:K])),
        level_sd=float(unit * np.sqrt(a @ block.cov[:K, :K] @ a)),
        reference=a,
        estimate=estimate,
        grade=grade,
        sd=sd,
        relative_sd=unit * np.sqrt(g.relative_var * widening.factor + widening.relative_added)[at],
        low90=low90,
        high90=high90,
        n_trials=n_trials,
        n_testers=np.where(n_trials > 0, d.testers_of_stone[at], 0),
        n_steels=(cells > 0).sum(1),
        group=groups.group[at],
        at_end=at_end,
        torn=torn[at],
        cell_estimate=cell_estimate,
        cell_grade=cell_grade,
        cell_sd=cell_sd,
        cell_low90=cell_low,
        cell_high90=cell_high,
        cell_trials=cells,
        severity=unit * block.mean[K:-1],
        severity_sd=unit
        * np.sqrt(block.cov.diagonal()[K:-1] * widening.severity_factor + widening.severity_added),
        sigma=sigma,
        sigma_low90=sigma_low,
        sigma_high90=sigma_high,
        weight=weight,
        tester_trials=tester_trials,
        n_groups=groups.n_groups,
        links=tuple((x.tester, int(d.stone_of[x.stone]), x.steel) for x in groups.links),
        anchored=d.stone_of[np.flatnonzero(anchors.precision > 0)],
        problem=problem,
        fit=fit,
        stone_grades=g,
        offset=offset,
        warm=keep_warm(problem, fit, scale, offset),
    )


def _sigmas(fit: Fit, settings: PoolSettings, scale: GradeScale) -> tuple[Floats, Floats, Floats]:
    """Each tester's sd of a single grade:
    the normal part and whatever random grades beyond the usual slip add.
    """
    t = fit.state.testers
    base = settings.lapse[0]
    random = (np.array(settings.lapse) - base) / (1.0 - base)
    uniform_var = float(np.var(scale.to_units(scale.grades())))

    def total(log_sigma: Floats) -> Floats:
        out: Floats = np.sqrt((1.0 - random) * np.exp(2.0 * log_sigma) + random * uniform_var)
        return out

    spread = Z90 * np.sqrt(t.var)
    mid, low, high = total(t.mean), total(t.mean - spread), total(t.mean + spread)
    # Shares that hold less than a twentieth of the belief lie outside any 90 % interval.
    held = t.weight > 0.05
    return (
        scale.unit * (t.weight * mid).sum(1),
        scale.unit * np.where(held, low, np.inf).min(1, initial=np.inf),
        scale.unit * np.where(held, high, -np.inf).max(1, initial=-np.inf),
    )


def pool_grades(
    trials: Sequence[TrialGrade],
    *,
    scale: GradeScale,
    reference_steels: Sequence[str] | None = None,
    anchors: Sequence[Anchor] = (),
    stones: Sequence[str] | None = None,
    settings: PoolSettings | None = None,
    warm: WarmState | None = None,
    prior_mean: Mapping[str, float] | None = None,
    exclude: Collection[str] = (),
) -> PoolResult:
    """Pool one scale's grades: calibrated grades per stone, per stone and steel, and what each tester and
    trial did.

    Parameters
    ----------
    trials            in any order; the same trial_id twice with the same content counts once
    reference_steels  the steels the printed grade averages over; None: every steel tried. One that nobody
    tried
                      enters by its prior; trials with other steels still count as evidence
    anchors           check stones
    stones            further stones to report, tried or not
    warm              ``warm`` of an earlier result, to start from; the answer agrees with a cold fit within
                      the settings' tolerance
    prior_mean        shift of a stone's prior mean, in grades of the scale
    exclude           trial ids to leave out, for a what-if

    Raises Invalid, naming the trials, for grades off the scale and for one trial_id with two contents.
    """
    settings = settings or PoolSettings()
    rows = once_each(trials, set(exclude))
    rows.sort(key=attrgetter("trial_id"))
    prior_mean = prior_mean or {}
    stone_names = tuple(sorted({t.stone for t in rows} | {a.stone for a in anchors} | set(stones or ())))
    tester_names = tuple(sorted({t.tester for t in rows}))
    steel_names = tuple(sorted({t.steel for t in rows} | set(reference_steels or ())))
    names = (stone_names, tester_names, steel_names)
    stone_at, tester_at, steel_at = ({name: j for j, name in enumerate(group)} for group in names)
    anchor_rows = sorted(anchors, key=lambda a: a.stone)
    shift = np.array([float(prior_mean.get(name, 0.0)) for name in stone_names])
    result = pool_arrays(
        np.array([stone_at[t.stone] for t in rows], dtype=np.int64),
        np.array([tester_at[t.tester] for t in rows], dtype=np.int64),
        np.array([steel_at[t.steel] for t in rows], dtype=np.int64),
        np.array([t.grade for t in rows], dtype=np.float64),
        scale=scale,
        n_stones=len(stone_names),
        n_testers=len(tester_names),
        n_steels=len(steel_names),
        reference=np.array([steel_at[k] for k in reference_steels], dtype=np.int64)
        if reference_steels
        else None,
        anchors=(
            np.array([stone_at[a.stone] for a in anchor_rows], dtype=np.int64),
            np.array([a.grade for a in anchor_rows], dtype=np.float64),
            np.array([a.sd for a in anchor_rows], dtype=np.float64),
        )
        if anchor_rows
        else None,
        settings=settings,
        warm=recode(warm, names) if warm is not None else None,
        prior_mean=shift if prior_mean else None,
    )
    return PoolResult(
        arrays=result,
        method_version=METHOD_VERSION,
        stone_names=stone_names,
        tester_names=tester_names,
        steel_names=steel_names,
        trial_ids=tuple(t.trial_id for t in rows),
        evidence=Evidence(
            tuple(rows),
            scale,
            settings,
            tuple(sorted(set(reference_steels))) if reference_steels else None,
            tuple(anchor_rows),
            stone_names,
            tuple(shift.tolist()),
        ),
        warm=replace(result.warm, names=names),
    )
