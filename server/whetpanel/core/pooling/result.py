"""Results as values: arrays by code for large data, and named records made from them when asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.comparable import UNTESTED
from whetpanel.core.pooling.evidence import Evidence
from whetpanel.core.pooling.explain import TesterLook, TrialStory, look_at_testers, tell_trials
from whetpanel.core.pooling.fit import Fit, Problem
from whetpanel.core.pooling.gaussian import StoneGrades
from whetpanel.core.pooling.model import PoolSettings
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.warm import WarmState

AT_LOW, INSIDE, AT_HIGH = -1, 0, 1


@dataclass(frozen=True)
class SteelGrade:
    """A stone's grade with one steel, in grades of the scale. ``n_trials`` may be 0:
    then the prior speaks.
    """

    steel: str
    grade: float
    low90: float
    high90: float
    sd: float
    n_trials: int


@dataclass(frozen=True)
class StoneGrade:
    """A stone's pooled grade: mean of the grade held inside the ends, and a 90 % interval.

    ``group`` numbers stones that can be compared with each other, from 1; 0 means no trial yet.
    ``at_end`` is "low" or "high" when every grade given is that end of the scale: then only a bound is known.
    """

    stone: str
    grade: float
    low90: float
    high90: float
    sd: float
    n_trials: int
    n_testers: int
    n_steels: int
    group: int
    at_end: str | None
    note: str
    by_steel: tuple[SteelGrade, ...]


@dataclass(frozen=True)
class TesterCalibration:
    """A tester's lean and steadiness.

    severity   how far below the panel's mean tester the grades lie; positive is severe
    sigma      sd of a single grade about the tester's own mean, random grades included
    weight     what a trial of this tester counts, against the average trial of this fit (1)
    """

    tester: str
    severity: float
    severity_low90: float
    severity_high90: float
    severity_sd: float
    sigma: float
    sigma_low90: float
    sigma_high90: float
    weight: float
    n_trials: int
    note: str


@dataclass(frozen=True)
class TrialReading:
    """What a trial did. ``pull`` is how far it moved its stone's grade; ``flag`` is "", "high" or "low"."""

    trial_id: str
    residual: float
    standardised: float
    pull: float
    flag: str


@dataclass(frozen=True)
class ProposedLink:
    """A trial that would help to make separate groups of stones comparable."""

    tester: str
    stone: str
    steel: str


@dataclass(frozen=True)
class ComparableGroup:
    """Stones that can be compared with each other but not with those of other groups."""

    group: int
    stones: tuple[str, ...]


@dataclass(frozen=True)
class PooledArrays:
    """A pooled scale by code. Grades and lengths in grades of the scale. Axes: S stones, K steels, R
    testers, n rows in input order."""

    scale: GradeScale
    settings: PoolSettings
    converged: bool
    n_rounds: int
    unsettled: int
    level: float
    """Grade of the average stone of this club, over the reference steels."""
    level_sd: float
    reference: Floats
    """(K,): weight of each steel in the printed grade."""
    estimate: Floats
    """(S,): posterior mean before it is held inside the ends."""
    grade: Floats
    sd: Floats
    relative_sd: Floats
    """(S,): sd of a stone's grade about the tested stones' mean grade, free of the club's shared level."""
    low90: Floats
    high90: Floats
    n_trials: Ints
    n_testers: Ints
    n_steels: Ints
    group: Ints
    at_end: Ints
    """(S,): AT_LOW, INSIDE or AT_HIGH."""
    torn: Bools
    """(S,): trials that contradict each other, so that either may be the slip."""
    cell_estimate: Floats
    cell_grade: Floats
    """(S, K)"""
    cell_sd: Floats
    cell_low90: Floats
    cell_high90: Floats
    cell_trials: Ints
    severity: Floats
    """(R,)"""
    severity_sd: Floats
    sigma: Floats
    sigma_low90: Floats
    sigma_high90: Floats
    weight: Floats
    tester_trials: Ints
    n_groups: int
    links: tuple[tuple[int, int, int], ...]
    """(tester, stone, steel) codes."""
    anchored: Ints
    problem: Problem = field(repr=False)
    fit: Fit = field(repr=False)
    stone_grades: StoneGrades = field(repr=False)
    offset: Floats = field(repr=False)
    """(S,): prior shift of each stone, in units."""
    warm: WarmState = field(repr=False)

    @cached_property
    def _story(self) -> TrialStory:
        return tell_trials(self.problem, self.fit, self.stone_grades, self.scale, self.offset)

    @cached_property
    def look(self) -> TesterLook:
        """How each tester's grades compare with what the panel expected, from outside the model."""
        return look_at_testers(self.problem.design, self._story.reported, self._story.predicted)

    def _in_input_order(self, values: Floats) -> Floats:
        out = np.empty_like(values)
        out[self.problem.design.order] = values
        return out

    @cached_property
    def residual(self) -> Floats:
        """(n,): reported grade minus what was expected without it."""
        return self.scale.unit * self._in_input_order(self._story.residual)

    @cached_property
    def standardised(self) -> Floats:
        """(n,): the residual as a normal score."""
        return self._in_input_order(self._story.standardised)

    @cached_property
    def pull(self) -> Floats:
        """(n,): how far each trial moved its stone's grade."""
        return self.scale.unit * self._in_input_order(self._story.pull)

    @property
    def flag(self) -> Ints:
        """(n,): 1 where a grade sticks out upwards, −1 downwards, else 0."""
        z = self.standardised
        at = self.settings.flag_at
        return np.where(z >= at, 1, np.where(z <= -at, -1, 0))


@dataclass(frozen=True)
class PoolResult:
    """A pooled scale by name. The tuples are made from ``arrays`` when first asked for."""

    arrays: PooledArrays
    method_version: str
    stone_names: tuple[str, ...]
    tester_names: tuple[str, ...]
    steel_names: tuple[str, ...]
    trial_ids: tuple[str, ...]
    evidence: Evidence = field(repr=False)
    warm: WarmState = field(repr=False)

    @cached_property
    def inputs_digest(self) -> str:
        """SHA-256, hexadecimal, of scale, settings and evidence in canonical order."""
        return self.evidence.digest()

    @property
    def scale(self) -> GradeScale:
        """The graded scale."""
        return self.arrays.scale

    @property
    def settings(self) -> PoolSettings:
        """What was fixed before any grade was seen."""
        return self.arrays.settings

    @property
    def converged(self) -> bool:
        """Whether the fit settled; if not, treat the grades as doubtful."""
        return self.arrays.converged

    @property
    def n_rounds(self) -> int:
        """Rounds the fit took."""
        return self.arrays.n_rounds

    @property
    def level(self) -> float:
        """Grade of this club's average stone, over the reference steels."""
        return self.arrays.level

    @property
    def level_sd(self) -> float:
        """How uncertain that level is."""
        return self.arrays.level_sd

    @cached_property
    def stones(self) -> tuple[StoneGrade, ...]:
        """Every stone, by name."""
        a = self.arrays
        names = self.steel_names
        rows = zip(
            a.cell_grade.tolist(), a.cell_low90.tolist(), a.cell_high90.tolist(), a.cell_sd.tolist(),
            a.cell_trials.tolist(), strict=True,
        )  # fmt: skip
        by_steel = [tuple(SteelGrade(k, *v) for k, *v in zip(names, *row, strict=False)) for row in rows]
        return tuple(
            StoneGrade(
                name, grade, low, high, sd, n, testers, steels, group, {-1: "low", 0: None, 1: "high"}[end],
                self._stone_note(n, testers, group, end, torn), cells,
            )
            for name, grade, low, high, sd, n, testers, steels, group, end, torn, cells in zip(
                self.stone_names, a.grade.tolist(), a.low90.tolist(), a.high90.tolist(), a.sd.tolist(),
                a.n_trials.tolist(), a.n_testers.tolist(), a.n_steels.tolist(), a.group.tolist(),
                a.at_end.tolist(), a.torn.tolist(), by_steel, strict=True,
            )
        )  # fmt: skip

    @cached_property
    def testers(self) -> tuple[TesterCalibration, ...]:
        """Every tester, by name."""
        a = self.arrays
        z = Z90
        return tuple(
            TesterCalibration(
                name,
                float(a.severity[r]),
                float(a.severity[r] - z * a.severity_sd[r]),
                float(a.severity[r] + z * a.severity_sd[r]),
                float(a.severity_sd[r]),
                float(a.sigma[r]),
                float(a.sigma_low90[r]),
                float(a.sigma_high90[r]),
                float(a.weight[r]),
                int(a.tester_trials[r]),
                self._tester_note(r),
            )
            for r, name in enumerate(self.tester_names)
        )

    @cached_property
    def trials(self) -> tuple[TrialReading, ...]:
        """Every trial, in the order of its id."""
        a = self.arrays
        words = {-1: "low", 0: "", 1: "high"}
        return tuple(
            TrialReading(trial_id, residual, z, pull, words[flag])
            for trial_id, residual, z, pull, flag in zip(
                self.trial_ids, a.residual.tolist(), a.standardised.tolist(), a.pull.tolist(),
                a.flag.tolist(), strict=True,
            )
        )  # fmt: skip

    @cached_property
    def groups(self) -> tuple[ComparableGroup, ...]:
        """Groups of comparable stones; one group means that every tested stone can be compared."""
        members: Mapping[int, list[str]] = {g: [] for g in range(1, self.arrays.n_groups + 1)}
        for name, g in zip(self.stone_names, self.arrays.group.tolist(), strict=True):
            if g != UNTESTED:
                members[g].append(name)
        return tuple(ComparableGroup(g, tuple(names)) for g, names in members.items())

    @cached_property
    def proposed_links(self) -> tuple[ProposedLink, ...]:
        """The fewest further trials found that would make all groups comparable."""
        return tuple(
            ProposedLink(self.tester_names[r], self.stone_names[i], self.steel_names[k])
            for r, i, k in self.arrays.links
        )

    @property
    def absolute_level_note(self) -> str:
        """What the grades' absolute height rests on."""
        a = self.arrays
        if a.anchored.size:
            n = a.anchored.size
            return (
                f"The level is held by {n} check {'stone' if n == 1 else 'stones'}; the average stone stands at "
                f"{a.level:.2f} ± {Z90 * a.level_sd:.2f}."
            )
        testers = len(self.tester_names)
        return (
            "No check stone: differences between stones are measured, but the whole club's level "
            f"rests on {'its only tester' if testers == 1 else f'the average of its {testers} testers'} "
            f"and could be off by {Z90 * a.level_sd:.2f}."
        )

    def _stone_note(self, n: int, testers: int, group: int, end: int, torn: bool) -> str:
        a, notes = self.arrays, []
        if n == 0:
            notes.append("not tested by anyone: this is what the club's stones are like" if group == UNTESTED
                         else "no trial; the check grade alone")  # fmt: skip
        elif testers == 1 and len(self.tester_names) == 1:
            notes.append("one tester in all: own severity cannot be told from the stones")
        elif n == 1:
            notes.append("a single trial")
        elif testers == 1:
            notes.append("a single tester")
        if torn:
            notes.append("trials contradict each other: ask for another")
        if end == AT_HIGH:
            notes.append(f"every grade is the highest: {a.scale.high - 0.5 * a.scale.step:g} or above")
        elif end == AT_LOW:
            notes.append(f"every grade is the lowest: {a.scale.low + 0.5 * a.scale.step:g} or below")
        if a.n_groups > 1 and group != UNTESTED:
            notes.append(f"comparable only within group {group} of {a.n_groups}")
        return "; ".join(notes)

    def _tester_note(self, r: int) -> str:
        a, unit = self.arrays, self.arrays.scale.unit
        n = int(a.tester_trials[r])
        notes = []
        if len(self.tester_names) == 1:
            notes.append("the only tester: severity cannot be told from the stones")
        if n == 1:
            notes.append("a single trial: the panel's precision is assumed")
        if n >= 6 and a.look.correlation[r] < -0.3 and a.sigma[r] > unit:
            notes.append("grades run against the panel's: check the direction of the scale")
        elif n >= 6 and a.look.own_spread[r] < 0.25 * a.look.panel_spread[r]:
            notes.append("gives nearly the same grade to every stone")
        elif n >= 6 and a.look.correlation[r] < 0.25 and a.sigma[r] > unit:
            notes.append("grades hardly follow the panel's: they count for little")
        return "; ".join(notes)


Z90 = 1.6448536269514722
"""Normal quantile of a 90 % interval."""
