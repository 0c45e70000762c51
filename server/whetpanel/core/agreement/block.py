"""The largest complete part of an incomplete table: some raters who all rated some units once."""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.agreement.ratings import FloatArray, Ratings

MOST_RATERS = 12
"""Sets of raters are tried out in full, so only the busiest take part."""


@dataclass(frozen=True)
class CompleteBlock:
    """``table`` is (n_units, n_raters); rows and columns in the order of ``units`` and ``raters``."""

    table: FloatArray
    units: tuple[str, ...]
    raters: tuple[str, ...]


def complete_block(ratings: Ratings) -> CompleteBlock | None:
    """The block with the most degrees of freedom, (units − 1)·(raters − 1); None without two of each.

    What a rater rated twice is left out for that rater, since no one of the repeats is *the* rating. Of blocks with
    as many degrees of freedom the one with more raters is taken, then the one whose raters come first by name.

    Notes
    -----
    The units are those that all these raters happened to rate, not a sample: figures of such a block speak for it.
    """
    n_raters = len(ratings.raters)
    cell, first, count = np.unique(
        ratings.unit * n_raters + ratings.rater, return_index=True, return_counts=True
    )
    once = count == 1
    unit, rater, value = cell[once] // n_raters, cell[once] % n_raters, ratings.value[first[once]]
    busiest = np.sort(np.argsort(-np.bincount(rater, minlength=n_raters), kind="stable")[:MOST_RATERS])
    has = np.zeros((len(ratings.units), n_raters), dtype=np.bool_)
    has[unit, rater] = True
    bit = np.zeros(n_raters, dtype=np.int64)
    bit[busiest] = 1 << np.arange(busiest.size)
    mask = has @ bit
    n_having = np.bincount(mask, minlength=1 << busiest.size)
    # n_having[m]: units rated by all of set m, by adding up the units of every larger set, one rater at a time.
    sets = np.arange(n_having.size)
    for b in range(busiest.size):
        without = sets[(sets >> b) & 1 == 0]
        n_having[without] += n_having[without | (1 << b)]
    n_in = np.array([int(m).bit_count() for m in sets])
    freedom = np.where((n_in >= 2) & (n_having >= 2), (n_having - 1) * (n_in - 1), 0)
    if not freedom.any():
        return None
    best = int(np.lexsort((sets, -n_in, -freedom))[0])
    columns = busiest[(best >> np.arange(busiest.size)) & 1 == 1]
    rows = np.flatnonzero((mask & best) == best)
    table = np.full((len(ratings.units), n_raters), np.nan)
    table[unit, rater] = value
    return CompleteBlock(
        table[np.ix_(rows, columns)],
        tuple(ratings.units[i] for i in rows),
        tuple(ratings.raters[r] for r in columns.tolist()),
    )
