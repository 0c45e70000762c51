"""Grade scales: ends, step, and the cut points between neighbouring grades."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from whetpanel.core.pooling.arrays import Floats, Ints
from whetpanel.errors import FieldError, Invalid

MAX_CATEGORIES = 201
OPEN = 1e3
"""Stands for infinity beyond the ends, in units of a quarter of the scale; finite, so no inf − inf arises."""


@dataclass(frozen=True)
class GradeScale:
    """A graded scale: ``low`` to ``high`` in steps of ``step``, for instance 1 to 5 by halves.

    A reported grade is read as a finer judgement rounded to the nearest step and held inside the ends, so the
    first grade is open downwards and the last one open upwards.

    Raises Invalid if the ends are not finite, not in order, or not a whole number of steps apart.
    """

    id: str
    low: float = 1.0
    high: float = 5.0
    step: float = 0.5

    def __post_init__(self) -> None:
        faults = []
        if not all(math.isfinite(v) for v in (self.low, self.high, self.step)):
            faults.append(FieldError("scale", "Ends and step of a scale are finite numbers."))
        elif self.step <= 0 or self.high <= self.low:
            faults.append(FieldError("scale", "A scale rises: high above low, step above zero."))
        else:
            steps = (self.high - self.low) / self.step
            if abs(steps - round(steps)) > 1e-6:
                faults.append(
                    FieldError("scale.step", "The ends of a scale lie a whole number of steps apart.")
                )
            elif not 1 <= round(steps) < MAX_CATEGORIES:
                faults.append(FieldError("scale.step", f"A scale has 2 to {MAX_CATEGORIES} grades."))
        if faults:
            raise Invalid(f"The scale {self.id!r} cannot be used: {faults[0].message}", faults)

    @property
    def n_categories(self) -> int:
        """How many different grades the scale has."""
        return round((self.high - self.low) / self.step) + 1

    @property
    def middle(self) -> float:
        """Half way between the ends."""
        return 0.5 * (self.low + self.high)

    @property
    def unit(self) -> float:
        """A quarter of the way from end to end: 1 on the scale from 1 to 5.

        The engine counts in this unit from the middle, so that one set of prior scales serves every scale.
        """
        return 0.25 * (self.high - self.low)

    def grades(self) -> Floats:
        """Every grade of the scale, rising; shape (n_categories,)."""
        return self.at(np.arange(self.n_categories))

    def at(self, category: Ints) -> Floats:
        """The grade of each category."""
        out: Floats = np.asarray(self.low + self.step * category, dtype=np.float64)
        return out

    def categories(self, grades: Sequence[float] | Floats) -> Ints:
        """Position of each grade on the scale, from 0.
        Raises Invalid naming the first grades that are off it.
        """
        y = np.asarray(grades, dtype=np.float64)
        with np.errstate(invalid="ignore"):
            raw = (y - self.low) / self.step
            category = np.rint(np.nan_to_num(raw, nan=-1.0, posinf=-1.0, neginf=-1.0))
            off = (
                ~np.isfinite(y)
                | (np.abs(raw - category) > 1e-6)
                | (category < 0)
                | (category >= self.n_categories)
            )
        if off.any():
            rows = np.flatnonzero(off)
            faults = [FieldError(f"trials[{t}].grade", f"{y[t]:g} is not on this scale.") for t in rows[:20]]
            raise Invalid(
                f"{rows.size} grade(s) are not on the scale {self.id!r}: give {self.low:g} to "
                f"{self.high:g} in steps of {self.step:g}; the first is {y[rows[0]]:g} (row {rows[0] + 1}).",
                faults,
            )
        return category.astype(np.int64)

    def cuts(self, category: Ints) -> tuple[Floats, Floats]:
        """Lower and upper cut of each category, in units from the middle; ±OPEN beyond the ends."""
        centre = (self.low + self.step * category - self.middle) / self.unit
        half = 0.5 * self.step / self.unit
        lower = np.where(category == 0, -OPEN, centre - half)
        upper = np.where(category == self.n_categories - 1, OPEN, centre + half)
        return lower, upper

    def to_units(self, grade: Floats) -> Floats:
        """Grades to units from the middle."""
        return (grade - self.middle) / self.unit

    def from_units(self, x: Floats) -> Floats:
        """Units from the middle to grades."""
        return self.middle + self.unit * x
