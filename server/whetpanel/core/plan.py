"""Which trial next: the trials that most reduce what stands between the stones and publication.

What stands in the way of a stone is counted in one currency, the variance of its grade: what its variance exceeds the
allowed one by, and for each missing tester or steel as much again as the whole allowed variance, since an interval
from one tester or one steel cannot say how far another would lie. The plan is greedy: the best trial first, each
next one with those before it counted as done. The mathematics is in plan_board.py.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from whetpanel.core.plan_board import Aim, PlanBoard, Worth, grade_information
from whetpanel.core.pooling.arrays import Bools, Ints
from whetpanel.core.pooling.comparable import LinkLimits, links_within, which_link
from whetpanel.core.pooling.result import Z90, PoolResult
from whetpanel.errors import Invalid

__all__ = [
    "NO_HAND_OVER",
    "Aim",
    "PlannedTrial",
    "Who",
    "grade_information",
    "linking_trials",
    "plan_trials",
    "which_of_them_link",
]

NO_HAND_OVER = 1.25
"""A trial of a stone that the tester has at hand weighs this much more: it saves a hand-over. Our own choice; the
stone still goes to whoever teaches a quarter more."""

Who = tuple[str, str, str]
"""Tester, stone, steel."""


@dataclass(frozen=True)
class PlannedTrial:
    """One trial worth doing, in order of worth.

    expected_gain      what it is expected to take away of what stands in the way, over all stones (grades²):
                       ``narrowing`` and the missing testers and steels it brings
    narrowing          expected fall, over all stones, of the variance above what the target allows (grades²)
    half_width_before  half width of this stone's 90 % interval when the trial's turn comes
    half_width_after   the same once it is in
    brings_tester      a tester that the stone lacks; it is then its ``n_testers``-th
    brings_steel       a steel that the stone lacks; it is then its ``n_steels``-th
    settled            named by the dealer, not proposed
    links              makes groups of stones comparable
    in_hands           the tester has the stone
    """

    tester: str
    stone: str
    steel: str
    expected_gain: float
    half_width_before: float
    half_width_after: float
    narrowing: float = 0.0
    brings_tester: bool = False
    brings_steel: bool = False
    n_testers: int = 0
    n_steels: int = 0
    settled: bool = False
    links: bool = False
    in_hands: bool = False


def plan_trials(
    result: PoolResult,
    *,
    n: int,
    target_half_width: float = 0.5,
    min_testers: int = 0,
    min_steels: int = 0,
    tried_by: Mapping[str, Collection[str]] | None = None,
    tried_with: Mapping[str, Collection[str]] | None = None,
    stones: Collection[str] | None = None,
    holders: Mapping[str, Collection[str]] | None = None,
    in_hands: Mapping[str, str] | None = None,
    blades_by_tester: Mapping[str, Collection[str]] | None = None,
    load: Mapping[str, int] | None = None,
    excluded: Collection[tuple[str, str]] = (),
    repeats: bool = False,
    underway: Sequence[tuple[str, str, str | None]] = (),
    settled: Sequence[Who] = (),
    links: Sequence[Who] = (),
) -> tuple[PlannedTrial, ...]:
    """Up to ``n`` trials: the settled ones, the linking ones, then the best first.

    Fewer when every stone has what it needs or nobody is free; more only if more are settled.

    Parameters
    ----------
    target_half_width  half width of the 90 % interval at which a stone may be published, in grades of the scale
    min_testers, min_steels  how many a stone needs besides
    tried_by, tried_with  stone → testers and steels that count, where not all that the result has do
    stones             the stones that matter; None: all that the result knows
    holders            testers who can try a stone now; a stone that is not listed can go to anyone
    in_hands           stone → the tester who has it: preferred, see NO_HAND_OVER
    blades_by_tester   steels a tester has; a tester who is not listed has every steel. A listed tester whom the
                       panel does not know yet is planned for with the panel's typical severity and precision
    load               most trials a tester takes on in this plan; a tester who is not listed has no limit
    excluded           (tester, stone) pairs that shall not meet
    repeats            whether a tester may be sent the same stone and steel again. Off, since a remembered grade
                       is not a second opinion
    underway           (tester, stone, steel or None for any) asked already: counted as done, and not asked again
    settled            trials that the dealer has chosen; they come first and keep to no limit
    links              linking trials, see ``linking_trials``; they keep to the load. A settled one is marked as such

    Raises Invalid for a target that is not above zero, an unknown stone, or a settled steel the result has not met.
    """
    if not target_half_width > 0:
        raise Invalid("The target half width of an interval is above zero.")
    chosen = [*settled, *links]
    unknown = (set(stones or ()) | {stone for _, stone, _ in chosen}) - set(result.stone_names)
    if unknown:
        raise Invalid(f"The pooled result does not know the stone {min(unknown)!r}; pool it first.")
    strange = {steel for _, _, steel in chosen} - set(result.steel_names)
    if strange:
        raise Invalid(
            f"Nobody has tried a stone with {min(strange)!r} and it is no reference steel: choose another."
        )
    if not result.steel_names:
        return ()
    board = _board(
        result, Aim(target_half_width, min_testers, min_steels, tried_by, tried_with), stones=stones,
        blades=blades_by_tester or {}, load=load or {}, chosen=chosen, underway=underway,
    )  # fmt: skip
    if not board.stones.size:
        return ()
    board.forbid(holders or {}, blades_by_tester or {}, set(excluded), repeats)
    plan = _Plan(board, n, load or {}, in_hands or {})
    plan.count_underway(underway)
    for who in settled:
        plan.add(*plan.place(who), settled=True, links=who in links)
    for who in links:
        j, k, r = plan.place(who)
        if len(plan.trials) < n and plan.left[r] > 0 and who not in settled:
            plan.add(j, k, r, links=True)
    while len(plan.trials) < n and plan.add_best():
        pass
    return tuple(plan.trials)


def _board(
    result: PoolResult,
    aim: Aim,
    *,
    stones: Collection[str] | None,
    blades: Mapping[str, Collection[str]],
    load: Mapping[str, int],
    chosen: Sequence[Who],
    underway: Sequence[tuple[str, str, str | None]],
) -> PlanBoard:
    named = {tester for tester, _, _ in chosen} | {tester for tester, _, _ in underway}
    new = sorted((set(blades) | set(load) | named) - set(result.tester_names))
    return PlanBoard(result, aim, stones=stones, always={stone for _, stone, _ in chosen}, newcomers=new)


class _Plan:
    """The trials taken so far, and how many each tester can still take."""

    def __init__(
        self, board: PlanBoard, n: int, load: Mapping[str, int], in_hands: Mapping[str, str]
    ) -> None:
        self.board = board
        self.left: Ints = np.array([load.get(name, n) for name in board.testers], dtype=np.int64)
        s, R = len(board.row), board.R
        self.at_hand: Bools = np.zeros((s, R), dtype=np.bool_)
        for stone, tester in in_hands.items():
            if stone in board.row and tester in board.column:
                self.at_hand[board.row[stone], board.column[tester]] = True
        self.trials: list[PlannedTrial] = []

    def place(self, who: Who) -> tuple[int, int, int]:
        """Where a trial stands on the board."""
        tester, stone, steel = who
        return self.board.row[stone], self.board.steel[steel], self.board.column[tester]

    def count_underway(self, underway: Sequence[tuple[str, str, str | None]]) -> None:
        """Trials that are asked already: as if they were in. A stone that wants nothing is not on the board."""
        for tester, stone, steel in underway:
            if stone not in self.board.row:
                continue
            j, r = self.board.row[stone], self.board.column[tester]
            if steel is None:
                # Of the steels the tester may choose from, the one that teaches most; another is hardly worse.
                self.board.take(j, int(np.argmax(self.board.worth().gain[j, :, r])), r)
            elif steel in self.board.steel:
                self.board.take(j, self.board.steel[steel], r)
            else:
                self.board.meet(j, r, None)

    def add_best(self) -> bool:
        """Take the best candidate; False when nothing is left to gain or to do."""
        open_ = self.board.allowed & (self.left > 0)
        if self.board.is_done() or not open_.any():
            return False
        worth = self.board.worth()
        value = worth.gain * np.where(self.at_hand, NO_HAND_OVER, 1.0)[:, None, :]
        value[~open_] = -np.inf
        j, k, r = np.unravel_index(int(np.argmax(value)), value.shape)
        if not value[j, k, r] > 0:
            return False
        self.add(int(j), int(k), int(r), worth)
        return True

    def add(
        self,
        j: int,
        k: int,
        r: int,
        worth: Worth | None = None,
        *,
        settled: bool = False,
        links: bool = False,
    ) -> None:
        """Take this candidate."""
        b = self.board
        worth = worth or b.worth()
        var = b.var[j] * b.ratio[j]
        before, after = float(np.sqrt(var)), float(np.sqrt(max(var - worth.fall[j, k, r], 0.0)))
        brings_tester = bool(not b.met_tester[j, r] and b.missing_testers[j] > 0)
        brings_steel = bool(not b.met_steel[j, k] and b.missing_steels[j] > 0)
        narrowing = float(worth.narrowing[j, k, r])
        b.take(j, k, r)
        self.left[r] -= 1
        scale = Z90 * b.unit
        self.trials.append(
            PlannedTrial(
                b.testers[r], b.result.stone_names[b.stones[j]], b.result.steel_names[k],
                float(narrowing + worth.counts[j, k, r]) * b.unit**2, scale * before, scale * after,
                narrowing * b.unit**2, brings_tester, brings_steel, int(b.n_testers[j]), int(b.n_steels[j]),
                settled, links, bool(self.at_hand[j, r]),
            )
        )  # fmt: skip


def linking_trials(
    result: PoolResult,
    *,
    stones: Collection[str],
    blades_by_tester: Mapping[str, Collection[str]],
    holders: Mapping[str, Collection[str]] | None = None,
    underway: Sequence[tuple[str, str, str | None]] = (),
) -> tuple[Who, ...]:
    """The fewest trials found that make groups of stones comparable; none when they are, or will be by ``underway``.

    Parameters
    ----------
    stones            stones that can be tried
    blades_by_tester  testers who can be sent, each with the steels at hand
    holders           testers who can try a stone now; a stone that is not listed can go to anyone
    underway          trials asked already; one with any steel counts with the stone's usual one
    """
    a = result.arrays
    if a.n_groups <= 1:
        return ()
    d, name_of = a.problem.design, _sorted_names(result)
    can = np.array([name in blades_by_tester for name in result.tester_names], dtype=np.bool_)
    here = np.array([name in set(stones) for name in name_of], dtype=np.bool_)
    holders = holders or {}

    def may(r: int, i: int, k: int) -> bool:
        name = result.tester_names[r]
        held = holders.get(name_of[i])
        return result.steel_names[k] in blades_by_tester[name] and (held is None or name in held)

    anchored = a.problem.anchors.precision > 0
    links = links_within(d, anchored, LinkLimits(can, here, may), underway=_codes(result, underway))
    return tuple(
        (result.tester_names[link.tester], name_of[link.stone], result.steel_names[link.steel])
        for link in links
    )


def which_of_them_link(
    result: PoolResult, trials: Sequence[Who], underway: Sequence[tuple[str, str, str | None]] = ()
) -> tuple[bool, ...]:
    """Whether each of these trials, in this order and after what is underway, helps to link groups of stones."""
    a = result.arrays
    if a.n_groups <= 1:
        return (False,) * len(trials)
    before = _codes(result, underway)
    coded = [_codes(result, [trial]) for trial in trials]
    found = iter(
        which_link(
            a.problem.design, a.problem.anchors.precision > 0, [*before, *(one[0] for one in coded if one)]
        )[len(before) :]
    )
    return tuple(next(found) if one else False for one in coded)


def _sorted_names(result: PoolResult) -> list[str]:
    return [result.stone_names[i] for i in result.arrays.problem.design.stone_of.tolist()]


def _codes(result: PoolResult, trials: Sequence[tuple[str, str, str | None]]) -> list[tuple[int, int, int]]:
    """(tester, sorted stone, steel); any steel counts as the usual one. What the panel has not met drops out."""
    d = result.arrays.problem.design
    tester = {name: r for r, name in enumerate(result.tester_names)}
    steel = {name: k for k, name in enumerate(result.steel_names[: d.n_steels])}
    stone = {name: int(d.position[i]) for i, name in enumerate(result.stone_names)}
    usual = result.arrays.cell_trials.argmax(1)
    return [
        (tester[who], stone[what], steel[with_] if with_ is not None else int(usual[d.stone_of[stone[what]]]))
        for who, what, with_ in trials
        if who in tester and what in stone and (with_ is None or with_ in steel)
    ]
