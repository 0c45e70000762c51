"""Which stones can be compared at all, and the fewest trials that would make the rest comparable.

Take stones, testers and steels all as unknown constants. Eliminating the stones leaves

    L = Z'Z − Σ_i c_i c_i'/n_i          over steel and tester columns,  c_i = Σ of the stone's rows z

and the difference of two stones can be estimated if and only if their mean rows c_i/n_i agree on the null
space of L. A picture of shared testers alone misses splits such as a block of stones tested with one steel
only. The intervals do not show a split either, since the prior on severity bridges it; therefore the groups
are named.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix, csr_matrix

from whetpanel.core.pooling.arrays import Bools, Floats, Ints
from whetpanel.core.pooling.design import Design

UNTESTED = 0
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
        links = _fewest_links(design, rows, null, anchored, counts)
    return Comparability(group, n_groups, links)


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
    design: Design, rows: csr_matrix, null: Floats, anchored: Bools, counts: Bools
) -> tuple[Link, ...]:
    """Greedy: each proposed trial settles one undetermined direction, so none is wasted.

    A trial of stone j by tester r with steel k settles the direction of z_rk − (mean row of j) in the null
    space. Among trials that join groups, prefer one that leaves the fewest groups, then the busiest tester,
    then the stone with the most trials: those are the surest bridges.
    """
    links: list[Link] = []
    coordinates = _coordinates(rows, null, anchored)
    K = design.n_steels
    trials_of_tester = np.bincount(design.tester, minlength=design.n_testers)
    trials_of_steel = np.bincount(design.steel, minlength=K)
    testers = np.argsort(-trials_of_tester, kind="stable")[:12]
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
        keep = [int(_representative(group, g, design)) for g in range(1, n_groups + 1)]
        others = [s for g, s in enumerate(keep, start=1) if g != home][:8]
        for stone in [keep[home - 1], *others]:
            for r in _bridge_testers(testers, design, group, home):
                for k in steels.tolist():
                    z = null[k] - null[K + r]
                    direction = z - coordinates[stone]
                    length = float(direction @ direction)
                    if length < 1e-10:
                        continue
                    rotated = _without(direction)
                    left = np.unique(np.round(coordinates[keep] @ rotated, 6) + 0.0, axis=0).shape[0]
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


def _bridge_testers(testers: Ints, design: Design, group: Ints, home: int) -> list[int]:
    """The busiest testers, and the busiest of every group, so that each group can send one."""
    out = testers.tolist()
    pairs = np.unique(np.stack([group[design.stone], design.tester], axis=1), axis=0)
    for g in np.unique(pairs[:, 0])[:9].tolist():
        out.append(int(pairs[pairs[:, 0] == g][0, 1]))
    return list(dict.fromkeys(out))


def _representative(group: Ints, g: int, design: Design) -> int:
    members = np.flatnonzero(group == g)
    return int(members[np.argmax(design.trials_of_stone[members])])


def _without(direction: Floats) -> Floats:
    """(d, d−1): orthonormal basis of what is left of the null space once ``direction`` is settled."""
    q, _ = np.linalg.qr(np.column_stack([direction, np.eye(direction.size)]))
    return q[:, 1 : direction.size]
