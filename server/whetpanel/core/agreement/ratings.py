"""Ratings in long form: who gave which unit which value, repeats and gaps allowed.

Every figure of agreement starts from this one value, so that a table from a file, the trials of a
club and a simulation are counted alike.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from whetpanel.errors import Invalid

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Ratings:
    """One row per rating, sorted by unit, then rater, then value.

    ``unit`` and ``rater`` are (n_ratings,) codes into ``units`` and ``raters``; ``value`` is
    (n_ratings,) float. For nominal labels ``value`` holds codes into ``categories``; for numbers
    ``categories`` is empty.
    """

    unit: IntArray
    rater: IntArray
    value: FloatArray
    units: tuple[str, ...]
    raters: tuple[str, ...]
    categories: tuple[str, ...] = ()

    @property
    def n_ratings(self) -> int:
        return int(self.value.size)

    def table(self) -> FloatArray | None:
        """The (n_units, n_raters) table, or None unless every rater rated every unit exactly once."""
        n_units, n_raters = len(self.units), len(self.raters)
        cell = self.unit * n_raters + self.rater
        if self.n_ratings != n_units * n_raters or np.unique(cell).size != cell.size:
            return None
        table = np.empty(n_units * n_raters)
        table[cell] = self.value
        return table.reshape(n_units, n_raters)

    def n_repeats(self) -> int:
        """How many ratings repeat an earlier one of the same unit by the same rater."""
        return self.n_ratings - int(np.unique(self.unit * len(self.raters) + self.rater).size)


def make_ratings(
    units: Sequence[str], raters: Sequence[str], values: Sequence[float] | Sequence[str] | FloatArray
) -> Ratings:
    """Ratings from three columns of equal length, in any order.

    Values are either all numbers (finite) or all labels. Names are sorted, and so are the rows: the
    same ratings in another order give the same value, and so the same figures to the last digit.

    Raises Invalid when a number is not finite; ValueError when the lengths differ.
    """
    if not len(units) == len(raters) == len(values):
        raise ValueError("units, raters and values must be equally long")
    unit_names, unit = np.unique(np.asarray(units, dtype=np.str_), return_inverse=True)
    rater_names, rater = np.unique(np.asarray(raters, dtype=np.str_), return_inverse=True)
    categories: tuple[str, ...] = ()
    if len(values) and isinstance(values[0], str):
        names, codes = np.unique(np.asarray(values, dtype=np.str_), return_inverse=True)
        categories = tuple(str(name) for name in names)
        value = codes.astype(np.float64)
    else:
        value = np.asarray(values, dtype=np.float64)
        if not np.isfinite(value).all():
            raise Invalid("A rating is not a finite number. Leave a missing rating out instead.")
    order = np.lexsort((value, rater, unit))
    return Ratings(
        unit=unit[order].astype(np.int64),
        rater=rater[order].astype(np.int64),
        value=value[order],
        units=tuple(str(name) for name in unit_names),
        raters=tuple(str(name) for name in rater_names),
        categories=categories,
    )


def ratings_of_trials(
    stones: Sequence[str], testers: Sequence[str], steels: Sequence[str], grades: Sequence[float]
) -> Ratings:
    """Ratings from trials on one scale: a unit is a stone with a steel, a rater a tester.

    A tester who tried the same stone with the same steel twice repeats; with another steel it is
    another unit, since a stone need not grade alike on both.
    """
    units = [f"{stone} with {steel}" for stone, steel in zip(stones, steels, strict=True)]
    return make_ratings(units, testers, [float(g) for g in grades])
