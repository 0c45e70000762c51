"""Grit numbers as grain sizes in µm, each in its own grading system, never past the end of a standard.

The same number means different sizes in different systems, and the systems measure size in different ways. So
a size never travels without its system, and a number the standard does not reach gets no size at all: beyond
it a grit is its maker's own claim.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from whetpanel.errors import FieldError, Invalid


@dataclass(frozen=True)
class System:
    """A grading system: how its standard is called, how it measures, and its grades with size and tolerance,
    µm.
    """

    key: str
    standard: str
    method: str
    sign: str
    grades: tuple[tuple[int, float, float | None], ...]

    def name(self, number: int) -> str:
        """The grade as it is written, for instance "#1000", "F400", "P2500"."""
        return f"{self.sign}{number}"


SYSTEMS: dict[str, System] = {
    "jis": System(
        "jis", "JIS R 6001 (1987), precision grits", "electrical resistance, d50", "#",
        ((240, 57.0, 3.0), (280, 48.0, 3.0), (320, 40.0, 2.5), (360, 35.0, 2.0), (400, 30.0, 2.0),
         (500, 25.0, 2.0), (600, 20.0, 1.5), (700, 17.0, 1.3), (800, 14.0, 1.0), (1000, 11.5, 1.0),
         (1200, 9.5, 0.8), (1500, 8.0, 0.6), (2000, 6.7, 0.6), (2500, 5.5, 0.5), (3000, 4.0, 0.5),
         (4000, 3.0, 0.4), (6000, 2.0, 0.4), (8000, 1.2, 0.3)),
    ),
    "fepa_f": System(
        "fepa_f", "FEPA 42-2 / ISO 8486-2 microgrits", "photosedimentation, d50", "F",
        ((230, 53.0, 3.0), (240, 44.5, 2.0), (280, 36.5, 1.5), (320, 29.2, 1.5), (360, 22.8, 1.5),
         (400, 17.3, 1.0), (500, 12.8, 1.0), (600, 9.3, 1.0), (800, 6.5, 1.0), (1000, 4.5, 0.8),
         (1200, 3.0, 0.5), (1500, 2.0, 0.4), (2000, 1.2, 0.3)),
    ),
    "fepa_p": System(
        "fepa_p", "FEPA 43-2 / ISO 6344", "sieving to P220, then sedimentation; mean size", "P",
        ((12, 1815.0, None), (16, 1324.0, None), (20, 1000.0, None), (24, 764.0, None), (30, 642.0, None),
         (36, 538.0, None), (40, 425.0, None), (50, 336.0, None), (60, 269.0, None), (80, 201.0, None),
         (100, 162.0, None), (120, 125.0, None), (150, 100.0, None), (180, 82.0, None), (220, 68.0, None),
         (240, 58.5, 2.0), (280, 52.2, 2.0), (320, 46.2, 1.5), (360, 40.5, 1.5), (400, 35.0, 1.5),
         (500, 30.2, 1.5), (600, 25.8, 1.0), (800, 21.8, 1.0), (1000, 18.3, 1.0), (1200, 15.3, 1.0),
         (1500, 12.6, 1.0), (2000, 10.3, 0.8), (2500, 8.4, 0.5)),
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Grain:
    """The size of one grit number. ``between`` names its two neighbours if the number itself is not in the
    standard.
    """

    system: str
    number: int
    um: float
    tolerance_um: float | None
    between: tuple[int, int] | None


@dataclass(frozen=True)
class Band:
    """A band of sizes, coarse end to fine end, with the system that makes the numbers mean something."""

    system: str
    coarse: Grain
    fine: Grain


@dataclass(frozen=True)
class Equivalent:
    """A band told in another system. An end the system does not reach is None, and ``beyond`` says which
    way.
    """

    system: str
    coarse: int | None
    fine: int | None
    beyond: tuple[str, ...]


def grain(system: str, number: int) -> Grain:
    """The grain size of a grit number.

    Raises       Invalid for an unknown system, or a number beyond the ends of its standard.
    Notes        Between two grades the size is interpolated on logarithms of both, and marked as such.
    """
    grades = _system(system).grades
    first, last = grades[0], grades[-1]
    if number > last[0]:
        raise _beyond(system, last, "finer")
    if number < first[0]:
        raise _beyond(system, first, "coarser")
    for n, um, tolerance in grades:
        if n == number:
            return Grain(system, number, um, tolerance, None)
    low, high = next((a, b) for a, b in pairwise(grades) if a[0] < number < b[0])
    t = math.log(number / low[0]) / math.log(high[0] / low[0])
    return Grain(system, number, low[1] * (high[1] / low[1]) ** t, None, (low[0], high[0]))


def band(system: str, low: int, high: int) -> Band:
    """A band of grit numbers, coarse to fine. Raises Invalid, also if the two are the wrong way round."""
    if low > high:
        message = "The lower number of a grit band comes first: swap the two."
        raise Invalid(message, [FieldError("low", message)])
    return Band(system, grain(system, low), grain(system, high))


def equivalent(of: Band, system: str) -> Equivalent:
    """The grades of another system nearest in size to the two ends of a band.

    Nearest on a logarithmic scale. An end farther out than the system's last grade and its tolerance is not
    given. Sizes measured by different methods agree only roughly: these are neighbours, not equals.
    """
    coarse, coarse_beyond = _nearest(of.coarse.um, system)
    fine, fine_beyond = _nearest(of.fine.um, system)
    beyond = tuple(dict.fromkeys(word for word in (coarse_beyond, fine_beyond) if word))
    return Equivalent(system, coarse, fine, beyond)


def _nearest(um: float, system: str) -> tuple[int | None, str | None]:
    grades = _system(system).grades
    (_, coarsest, coarse_by), (_, finest, fine_by) = grades[0], grades[-1]
    if um < finest - (fine_by or 0.0):
        return None, "finer"
    if um > coarsest + (coarse_by or 0.0):
        return None, "coarser"
    return min(grades, key=lambda grade: abs(math.log(grade[1] / um)))[0], None


def _system(key: str) -> System:
    if key not in SYSTEMS:
        message = f"There is no grading system of this name: use one of {', '.join(SYSTEMS)}."
        raise Invalid(message, [FieldError("system", message)])
    return SYSTEMS[key]


def _beyond(system: str, end: tuple[int, float, float | None], way: str) -> Invalid:
    known = SYSTEMS[system]
    message = (
        f"{known.standard} ends at {known.name(end[0])} ({end[1]:g} µm): a {way} number has no size there, "
        f"only "
        "its maker's claim."
    )
    return Invalid(message, [FieldError("number", message)])
