"""How far a face has gone down since it was last tried.

A stone is known only at its present face; deeper it can differ. So beyond a depth that the club sets, its grades ask
for a trial that confirms them. Common practice, no source. The phone works this out by the same steps; shared cases
keep the two equal.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

FACES = ("front", "back")

DEPTH_TOLERANCE_MM = 1e-9
"""Room for the rounding of sums: a stone that has lost the club's depth to the digit has not gone beyond it."""


@dataclass(frozen=True)
class Tried:
    """A trial of one face, with the thickness noted then (mm)."""

    face: str
    at: datetime
    thickness_mm: float | None


@dataclass(frozen=True)
class Measured:
    """The thickness of the whole stone, noted by something else than a trial (mm)."""

    at: datetime
    thickness_mm: float | None


@dataclass(frozen=True)
class Lapped:
    """A logged lapping: what came off one face (mm; 0 where it was not noted), and the thickness after it."""

    face: str
    at: datetime
    removed_mm: float
    thickness_after_mm: float | None


@dataclass(frozen=True)
class FaceHistory:
    """What is on record of one stone's thickness, in any order."""

    trials: tuple[Tried, ...] = ()
    measured: tuple[Measured, ...] = ()
    lapped: tuple[Lapped, ...] = ()


@dataclass(frozen=True)
class FaceGone:
    """How much went off a face since ``since``, when it was last tried (mm). ``lapped``: a lapping of it is logged."""

    face: str
    gone_mm: float
    lapped: bool
    since: datetime


def gone_since_trial(face: str, history: FaceHistory) -> FaceGone | None:
    """What went off a face since its last trial; None when the face was never tried or nothing tells.

    Notes        Thickness tells of both faces together, so what the log says came off the other one is taken off
                 again, and what came off this one after the last measuring is added. Where nobody measured, the log
                 alone counts. The answer is never below 0: a stone does not grow.
    """
    last = max((one for one in history.trials if one.face == face), key=lambda one: one.at, default=None)
    if last is None:
        return None
    since = last.at
    thickness = [(one.at, one.thickness_mm) for one in history.trials]
    thickness += [(one.at, one.thickness_mm) for one in history.measured]
    thickness += [(one.at, one.thickness_after_mm) for one in history.lapped]
    news = [(at, mm) for at, mm in thickness if mm is not None and at > since]
    lappings = [one for one in history.lapped if one.at > since]

    def logged(of: bool, after: datetime) -> float:
        return sum(one.removed_mm for one in lappings if (one.face == face) is of and one.at > after)

    measured = None
    if last.thickness_mm is not None and news:
        at, now = max(news, key=lambda one: one[0])
        off_other = logged(False, since) - logged(False, at)
        measured = last.thickness_mm - now - off_other + logged(True, at)
    if measured is None and not lappings:
        return None
    gone = max(measured or 0.0, logged(True, since))
    return FaceGone(face, gone, any(one.face == face for one in lappings), since)


def faces_to_confirm(history: FaceHistory, confirm_depth_mm: float) -> tuple[FaceGone, ...]:
    """The faces that ask for a confirming trial, by the club's depth (mm)."""
    gone = (gone_since_trial(face, history) for face in FACES)
    return tuple(
        one for one in gone if one is not None and one.gone_mm > confirm_depth_mm + DEPTH_TOLERANCE_MM
    )


def history_from(
    trials: Iterable[tuple[str, datetime, float | None]],
    measured: Iterable[tuple[datetime, float | None]],
    lapped: Iterable[tuple[str, datetime, float | None, float | None]],
) -> FaceHistory:
    """A history from rows: (face, at, mm), (at, mm) and (face, at, removed µm, mm after)."""
    return FaceHistory(
        tuple(Tried(*one) for one in trials),
        tuple(Measured(*one) for one in measured),
        tuple(Lapped(face, at, (um or 0.0) / 1000, after) for face, at, um, after in lapped),
    )
