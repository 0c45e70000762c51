"""Trials in canonical order, and stones in buckets of equal shape.

Rows are sorted before anything is added up, so any order of input gives the same bytes. Stones with about as
many distinct testers share a bucket, whose arrays are then dense; stones are numbered so that each bucket is
a slice.
"""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Floats, Ints

_SIZES = np.array(
    [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 24, 28, 32, 40, 48, 64, 96, 128, 192, 256]
)
_CHUNK = 400_000
"""Numbers in a bucket's largest array; small enough to stay in a processor's cache."""


@dataclass(frozen=True)
class Bucket:
    """A run of stones with at most ``q`` distinct testers each.
    Indices of the lists below are local to the run.
    """

    stones: slice
    trials: slice
    q: int
    testers: Ints
    """(n, q): codes of the stone's testers, filled up with n_testers."""
    cell: Ints
    """(t,): stone·K + steel of each trial."""
    slot: Ints
    """(t,): column of the trial's tester in ``testers``."""
    pair: Ints
    """(n·q(q+1)/2,): where each upper-triangle tester pair lands in a flat (R+1)² table."""
    upper: tuple[Ints, Ints]

    @property
    def n(self) -> int:
        """Stones in the bucket."""
        return int(self.testers.shape[0])


@dataclass(frozen=True)
class Design:
    """Sorted trials. ``order`` maps sorted rows to input rows, ``stone_of`` sorted stones to input codes."""

    n_stones: int
    n_testers: int
    n_steels: int
    order: Ints
    stone_of: Ints
    position: Ints
    """(S,): where an input stone code stands among the sorted stones."""
    stone: Ints
    tester: Ints
    steel: Ints
    category: Ints
    trials_of_stone: Ints
    testers_of_stone: Ints
    buckets: tuple[Bucket, ...]

    @property
    def n_trials(self) -> int:
        """Rows."""
        return self.stone.size

    def ranges(self, stones: Ints) -> Ints:
        """Rows of the given sorted stones, rising."""
        end = np.cumsum(self.trials_of_stone)
        n = self.trials_of_stone[stones]
        start = end[stones] - n
        shift = np.repeat(start - np.concatenate([[0], np.cumsum(n)[:-1]]), n)
        rows: Ints = np.arange(n.sum()) + shift
        return rows


def build_design(
    stone: Ints, tester: Ints, steel: Ints, category: Ints, *, n_stones: int, n_testers: int, n_steels: int
) -> Design:
    """Sort the trials (codes from 0, any order) and cut the stones into buckets."""
    S, R, K = n_stones, n_testers, n_steels
    # Sorting integers is several times faster than looking for distinct ones by hashing.
    pair_key = np.sort(stone * max(R, 1) + tester)
    is_new = np.diff(pair_key, prepend=-1) > 0
    q_of = np.bincount(pair_key[is_new] // max(R, 1), minlength=S)
    size = _padded(q_of)
    stone_of = np.lexsort((np.arange(S), size))
    position = np.empty(S, dtype=np.int64)
    position[stone_of] = np.arange(S)
    at = position[stone]
    n_categories = int(category.max()) + 1 if category.size else 1
    key = ((at * K + steel) * max(R, 1) + tester) * n_categories + category
    order = np.argsort(key, kind="stable")
    at, tester, steel, category = at[order], tester[order], steel[order], category[order]
    trials_of = np.bincount(at, minlength=S)
    return Design(
        S, R, K, order, stone_of, position, at, tester, steel, category, trials_of, q_of[stone_of],
        _buckets(at, tester, steel, size[stone_of], trials_of, S, R, K),
    )  # fmt: skip


def _padded(q: Ints) -> Ints:
    """Column count of the bucket a stone with q testers goes to."""
    large = np.maximum(q, 1)
    at = np.searchsorted(_SIZES, large)
    rounded = _SIZES[np.minimum(at, _SIZES.size - 1)]
    beyond = 256 * -(-large // 256)
    return np.where(at < _SIZES.size, rounded, beyond).astype(np.int64)


def _buckets(
    stone: Ints, tester: Ints, steel: Ints, size: Ints, trials_of: Ints, S: int, R: int, K: int
) -> tuple[Bucket, ...]:
    """Slice the sorted stones; ``size`` rises along them."""
    key = stone * max(R, 1) + tester
    order = np.argsort(key, kind="stable")
    is_new = np.diff(key[order], prepend=-1) > 0
    pairs = key[order][is_new]
    inverse = np.empty(key.size, dtype=np.int64)
    inverse[order] = np.cumsum(is_new) - 1
    pair_stone, pair_tester = pairs // max(R, 1), pairs % max(R, 1)
    q_of = np.bincount(pair_stone, minlength=S)
    first_pair = np.concatenate([[0], np.cumsum(q_of)])
    first_trial = np.concatenate([[0], np.cumsum(trials_of)])
    pair_slot = np.arange(pairs.size) - first_pair[pair_stone]
    slot = pair_slot[inverse]
    out = []
    starts = np.flatnonzero(np.diff(size, prepend=-1))
    ends = np.append(starts, S)[1:]
    for s0, s_end in zip(starts, ends, strict=True):
        q = int(size[s0])
        step = max(1, _CHUNK // (K + q) ** 2)
        for a in range(int(s0), int(s_end), step):
            b = min(a + step, int(s_end))
            t = slice(int(first_trial[a]), int(first_trial[b]))
            p = slice(int(first_pair[a]), int(first_pair[b]))
            testers = np.full((b - a, q), R, dtype=np.int64)
            testers[pair_stone[p] - a, pair_slot[p]] = pair_tester[p]
            i, j = np.triu_indices(q)
            pair = (testers[:, i] * (R + 1) + testers[:, j]).ravel()
            out.append(
                Bucket(slice(a, b), t, q, testers, (stone[t] - a) * K + steel[t], slot[t], pair, (i, j))
            )
    return tuple(out)


def part_of(design: Design, stones: Ints) -> tuple[Design, Ints]:
    """The given sorted stones (rising) as a design of their own, and the rows they occupy in ``design``.

    Sorted order is kept, so row j of the part is row ``rows[j]`` of the whole.
    """
    rows = design.ranges(stones)
    local = np.repeat(np.arange(stones.size), design.trials_of_stone[stones])
    size = _padded(design.testers_of_stone[stones])
    trials_of = design.trials_of_stone[stones]
    tester, steel = design.tester[rows], design.steel[rows]
    every = np.arange(stones.size)
    part = Design(
        stones.size, design.n_testers, design.n_steels, np.arange(rows.size), every, every,
        local, tester, steel, design.category[rows], trials_of, design.testers_of_stone[stones],
        _buckets(local, tester, steel, size, trials_of, stones.size, design.n_testers, design.n_steels),
    )  # fmt: skip
    return part, rows


def by_input(values: Floats, design: Design) -> Floats:
    """Per-stone values in sorted order put back into the order of the input codes."""
    return values[design.position]
