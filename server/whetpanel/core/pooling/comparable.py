"""Which stones can be compared at all, and the fewest trials that would make the rest comparable.

Take stones, testers and steels all as unknown constants. Eliminating the stones leaves

    L = Z'Z − Σ_i c_i c_i'/n_i          over steel and tester columns,  c_i = Σ of the stone's rows z

and the difference of two stones can be estimated if and only if their mean rows c_i/n_i agree on the null
space of L. A picture of shared testers alone misses splits such as a block of stones tested with one steel
only. The intervals do not show a split either, since the prior on severity bridges it; therefore the groups
are named.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix, csr_matrix

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.design import Design

UNTESTED = 0
_SETTLED = 1e-10
"""A direction shorter than this (squared) is settled already."""
MAX_LINKS = 50
"""Proposals stop here; a club split into more groups has to start somewhere anyway."""


@dataclass(frozen=True)
class Link:
    """One proposed trial, in sorted-stone codes."""

    tester: int
    stone: int
    steel: int


@dataclass(frozen=True)
class Comparability:
    """group: (S,) numbered from 1 in order of input code;
    0 for a stone with neither trial nor check grade.
    """

    group: Ints
    n_groups: int
    links: tuple[Link, ...]


def compare(design: Design, anchored: Bools, *, propose: bool = True) -> Comparability:
    """Groups of mutually comparable stones. ``anchored`` marks check stones (sorted order);
    they count as known.
    """
    rows = _mean_rows(design)
    free = ~anchored
    null = _null_space(design, rows, free)
    tested = design.trials_of_stone > 0
    counts = tested | anchored
    coordinates = _coordinates(rows, null, anchored)
    group = _number(coordinates, counts, design.stone_of)
    n_groups = int(group.max(initial=0))
    links: tuple[Link, ...] = ()
    if propose and n_groups > 1 and tested.any():
        links = _fewest_links(design, coordinates, null, counts)
    return Comparability(group, n_groups, links)


@dataclass(frozen=True)
class LinkLimits:
    """What a linking trial may use, in the design's codes and sorted stones.

    testers  (R,) who can be sent
    stones   (S,) which stones can be tried
    may      whether this tester can try this stone with this steel
    """

    testers: Bools
    stones: Bools
    may: Callable[[int, int, int], bool]


@dataclass(frozen=True)
class _Undetermined:
    """What the trials leave open: ``null`` (p, d) as below, and each stone's ``coordinates`` (S, d) along it."""

    null: Floats
    coordinates: Floats
    counts: Bools

    def settled_by(self, trial: tuple[int, int, int], n_steels: int) -> "_Undetermined | None":
        """What one more (tester, sorted stone, steel) would still leave open; None if it settles nothing."""
        tester, stone, steel = trial
        # The first trial of a stone that nobody has tried links nothing: its level is free.
        if not self.counts[stone] or self.null.shape[1] == 0:
            return None
        direction = self.null[steel] - self.null[n_steels + tester] - self.coordinates[stone]
        if float(direction @ direction) < _SETTLED:
            return None
        rotation = _without(direction)
        return _Undetermined(self.null @ rotation, self.coordinates @ rotation, self.counts)


def _undetermined(design: Design, anchored: Bools) -> _Undetermined:
    rows = _mean_rows(design)
    null = _null_space(design, rows, ~anchored)
    counts = (design.trials_of_stone > 0) | anchored
    return _Undetermined(null, _coordinates(rows, null, anchored), counts)


def links_within(
    design: Design, anchored: Bools, limits: LinkLimits, *, underway: Sequence[tuple[int, int, int]] = ()
) -> tuple[Link, ...]:
    """The fewest linking trials found that keep to the limits; fewer than needed when the limits allow no more.

    ``underway``: (tester, sorted stone, steel) of trials that are asked for already and count as done.
    """
    left = _undetermined(design, anchored)
    for trial in underway:
        left = left.settled_by(trial, design.n_steels) or left
    if int(_number(left.coordinates, left.counts, design.stone_of).max(initial=0)) <= 1:
        return ()
    return _fewest_links(design, left.coordinates, left.null, left.counts, limits)


def which_link(design: Design, anchored: Bools, trials: Sequence[tuple[int, int, int]]) -> tuple[bool, ...]:
    """Whether each (tester, sorted stone, steel) helps to link groups, those before it counted as done."""
    left, out = _undetermined(design, anchored), []
    for trial in trials:
        after = left.settled_by(trial, design.n_steels)
        out.append(after is not None)
        left = after or left
    return tuple(out)


def _mean_rows(design: Design) -> csr_matrix:
    """(S, K+R) sparse: mean design row of each stone,
    +share in steel columns and −share in tester columns.
    """
    K = design.n_steels
    n = np.maximum(design.trials_of_stone, 1)[design.stone]
    i = np.concatenate([design.stone, design.stone])
    j = np.concatenate([design.steel, K + design.tester])
    v = np.concatenate([1.0 / n, -1.0 / n])
    return coo_matrix((v, (i, j)), shape=(design.n_stones, K + design.n_testers)).tocsr()


def _null_space(design: Design, rows: csr_matrix, free: Bools) -> Floats:
    """(p, d): orthonormal basis of what the trials cannot tell about steels and testers."""
    K, R = design.n_steels, design.n_testers
    Z = np.zeros((K + R, K + R))
    k, r = np.arange(K), np.arange(K, K + R)
    Z[k, k] = np.bincount(design.steel, minlength=K)
    Z[r, r] = np.bincount(design.tester, minlength=R)
    cross = np.bincount(design.steel * R + design.tester, minlength=K * R).reshape(K, R)
    Z[:K, K:] = -cross
    Z[K:, :K] = -cross.T
    weight = design.trials_of_stone * free
    L = Z - (rows.T @ rows.multiply(weight[:, None])).toarray()
    values, vectors = np.linalg.eigh(0.5 * (L + L.T))
    return vectors[:, values < 1e-8 * max(1.0, float(values[-1]) if values.size else 1.0)]


def _coordinates(rows: csr_matrix, null: Floats, anchored: Bools) -> Floats:
    """Where each stone's level sits along the undetermined directions; an anchored stone sits at zero."""
    out = np.asarray(rows @ null)
    out[anchored] = 0.0
    return out


def _number(coordinates: Floats, counts: Bools, stone_of: Ints) -> Ints:
    """Equal coordinates, equal group; numbered in order of the stones' input codes."""
    group = np.zeros(counts.size, dtype=np.int64)
    if not counts.any():
        return group
    if coordinates.shape[1] == 0:
        group[counts] = 1
        return group
    _, label = np.unique(np.round(coordinates, 6) + 0.0, axis=0, return_inverse=True)
    label = label.ravel()
    by_code = np.empty(counts.size, dtype=np.int64)
    by_code[stone_of] = np.arange(counts.size)
    seen: dict[int, int] = {}
    for at in by_code[np.flatnonzero(counts[by_code])].tolist():
        group[at] = seen.setdefault(int(label[at]), len(seen) + 1)
    return group


def _fewest_links(
    design: Design, coordinates: Floats, null: Floats, counts: Bools, limits: LinkLimits | None = None
) -> tuple[Link, ...]:
    """Greedy: each proposed trial settles one undetermined direction, so none is wasted.

    A trial of stone j by tester r with steel k settles the direction of z_rk − (mean row of j) in the null
    space. Among trials that join groups, prefer one that leaves the fewest groups, then the busiest tester,
    then the stone with the most trials: those are the surest bridges.
    """
    links: list[Link] = []
    K = design.n_steels
    trials_of_tester = np.bincount(design.tester, minlength=design.n_testers)
    trials_of_steel = np.bincount(design.steel, minlength=K)
    testers = np.argsort(-trials_of_tester, kind="stable")
    if limits is not None:
        testers = testers[limits.testers[testers]]
    steels = np.argsort(-trials_of_steel, kind="stable")
    steels = steels[trials_of_steel[steels] > 0][:6]
    while len(links) < MAX_LINKS:
        group = _number(coordinates, counts, design.stone_of)
        n_groups = int(group.max(initial=0))
        if n_groups <= 1 or null.shape[1] == 0:
            break
        size = np.bincount(group, minlength=n_groups + 1)
        home = int(np.argmax(size[1:])) + 1
        best: tuple[tuple[int, int, int, int], Link, Floats] | None = None
        # Representatives suffice: two stones of a group have the same coordinates, so they link alike.
        can_be_tried = np.ones(group.size, dtype=np.bool_) if limits is None else limits.stones
        at = [_representative((group == g) & can_be_tried, design) for g in range(1, n_groups + 1)]
        of_groups = coordinates[[int(np.argmax(group == g)) for g in range(1, n_groups + 1)]]
        others = [s for g, s in enumerate(at, start=1) if g != home][:8]
        for stone in [at[home - 1], *others]:
            if stone is None:
                continue
            for r in _bridge_testers(testers, design, group):
                for k in steels.tolist():
                    if limits is not None and not limits.may(r, stone, k):
                        continue
                    direction = null[k] - null[K + r] - coordinates[stone]
                    if float(direction @ direction) < _SETTLED:
                        continue
                    rotated = _without(direction)
                    left = np.unique(np.round(of_groups @ rotated, 6) + 0.0, axis=0).shape[0]
                    # The candidate must join something now or at least settle a direction on the way.
                    key = (left, -int(trials_of_tester[r]), -int(design.trials_of_stone[stone]), stone)
                    if best is None or key < best[0]:
                        best = (key, Link(int(r), stone, int(k)), rotated)
        if best is None:
            break
        links.append(best[1])
        null = null @ best[2]
        coordinates = coordinates @ best[2]
    return tuple(links)


def _bridge_testers(testers: Ints, design: Design, group: Ints) -> list[int]:
    """The busiest of those who can be sent, and the busiest of every group, so that each group can send one."""
    out: list[int] = testers[:12].tolist()
    can = np.zeros(design.n_testers, dtype=np.bool_)
    can[testers] = True
    pairs = np.unique(np.stack([group[design.stone], design.tester], axis=1), axis=0)
    pairs = pairs[can[pairs[:, 1]]]
    for g in np.unique(pairs[:, 0])[:9].tolist():
        out.append(int(pairs[pairs[:, 0] == g][0, 1]))
    return list(dict.fromkeys(out))


def _representative(members: Bools, design: Design) -> int | None:
    """The stone with the most trials; None without a member."""
    at = np.flatnonzero(members)
    return int(at[np.argmax(design.trials_of_stone[at])]) if at.size else None


def _without(direction: Floats) -> Floats:
    """(d, d−1): orthonormal basis of what is left of the null space once ``direction`` is settled."""
    q, _ = np.linalg.qr(np.column_stack([direction, np.eye(direction.size)]))
    return q[:, 1 : direction.size]
