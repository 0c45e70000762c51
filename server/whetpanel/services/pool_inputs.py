"""What pooled grades are made from, read in one consistent look."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import String, func, or_, select, type_coerce
from sqlalchemy.orm import Session

from ..core import pooling
from ..core.signs import SIGNS, average_signs
from ..storage.schema import Blade, CheckStone, Inspection, JournalEntry, Protocol, Stone, Trial, TrialGrade
from .trial_checks import on_scale

POOLED_FROM = ("trial", "check_stone", "protocol", "blade", "stone", "inspection")
"""Kinds of record on which pooled grades rest; stones and inspections by their density and water uptake."""

TRIAL_SIGNS = ("water_uptake_s", "mud_shade", "metal_share", "strokes_to_mud")


@dataclass(frozen=True)
class Inputs:
    """Everything one fit needs. ``signs``: stone id → sign → mean of what was noted; ``times``: trial id → seconds."""

    scale: dict[str, Any]
    reference_steels: tuple[str, ...]
    grades: tuple[pooling.TrialGrade, ...]
    anchors: tuple[pooling.Anchor, ...]
    signs: dict[str, dict[str, float]]
    times: dict[str, float]
    n_off_scale: int

    def without(self, trials: frozenset[str]) -> "Inputs":
        """The same with some trials left out."""
        return replace(self, grades=tuple(one for one in self.grades if one.trial_id not in trials))


def pool_revision(session: Session, club_id: str) -> int:
    """The revision of the last write that pooled grades rest on."""
    found = session.execute(
        select(func.max(JournalEntry.revision)).where(
            JournalEntry.club_id == club_id, JournalEntry.thing.in_(POOLED_FROM)
        )
    ).scalar_one()
    return found or 0


def scales_of(protocols: Iterable[Protocol]) -> dict[str, tuple[dict[str, Any], tuple[str, ...]]]:
    """Each graded scale of a purpose with the reference steels; a later protocol's definition goes before."""
    found: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {}
    for protocol in sorted(protocols, key=lambda p: p.revision):
        for scale in protocol.scales:
            steels = found[scale["id"]][1] if scale["id"] in found else ()
            added = tuple(steel for steel in protocol.reference_steels if steel not in steels)
            found[scale["id"]] = (scale, steels + added)
    return found


def _signs(session: Session, club_id: str, purpose: str) -> dict[str, dict[str, float]]:
    """What was noted of each stone beside the grades, from trials of this purpose, inspections and sizes."""
    signs: dict[str, list[tuple[str, float]]] = {name: [] for name in (*TRIAL_SIGNS, "bulk_density_g_cm3")}
    trials = session.execute(
        select(Trial.stone_id, Trial.observations)
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(
            Trial.club_id == club_id,
            Protocol.purpose == purpose,
            Trial.withdrawn_at.is_(None),
            Trial.excluded_at.is_(None),
        )
        .order_by(Trial.id)
    ).all()
    for stone_id, observations in trials:
        for name in TRIAL_SIGNS:
            value = observations.get(name)
            if isinstance(value, int | float) and not isinstance(value, bool):
                signs[name].append((stone_id, float(value)))
    uptakes = session.execute(
        select(Inspection.stone_id, Inspection.water_uptake_s)
        .where(
            Inspection.club_id == club_id,
            Inspection.withdrawn_at.is_(None),
            Inspection.water_uptake_s.is_not(None),
        )
        .order_by(Inspection.id)
    ).all()
    signs["water_uptake_s"] += [(stone_id, float(value)) for stone_id, value in uptakes if value is not None]
    stones = session.execute(
        select(Stone.id, Stone.mass_g, Stone.length_mm, Stone.width_mm, Stone.thickness_mm)
        .where(Stone.club_id == club_id, Stone.withdrawn_at.is_(None), Stone.mass_g.is_not(None))
        .order_by(Stone.id)
    ).all()
    signs["bulk_density_g_cm3"] = [
        (stone_id, 1000 * mass / (length * width * thickness))
        for stone_id, mass, length, width, thickness in stones
        if mass is not None
    ]
    # A drop drawn in at once is noted as 0 s; times are compared by their logarithm, so it counts as half a second.
    for name in ("water_uptake_s", "strokes_to_mud"):
        signs[name] = [(stone_id, max(value, 0.5)) for stone_id, value in signs[name] if math.isfinite(value)]
    return _means(signs)


def _means(signs: dict[str, list[tuple[str, float]]]) -> dict[str, dict[str, float]]:
    """Stone → sign → mean of its notes, geometric where the logarithm is what matters."""
    names = sorted({stone_id for noted in signs.values() for stone_id, _ in noted})
    place = {stone_id: n for n, stone_id in enumerate(names)}
    means: dict[str, dict[str, float]] = {name: {} for name in names}
    for sign in SIGNS:
        noted = signs.get(sign.name, [])
        column = average_signs(
            [place[stone_id] for stone_id, _ in noted],
            [value for _, value in noted],
            len(names),
            logged=sign.logged,
        )
        for name, value in zip(names, column.tolist(), strict=True):
            if math.isfinite(value):
                means[name][sign.name] = value
    return means


def gather(
    session: Session,
    club_id: str,
    purpose: str,
    excluded: frozenset[str] = frozenset(),
    included: frozenset[str] = frozenset(),
) -> list[Inputs]:
    """The inputs of every scale of a purpose: trials that are neither withdrawn nor excluded, and check stones.

    For a what-if, ``excluded`` leaves further trials out and ``included`` takes excluded ones back in.
    """
    protocols = session.execute(
        select(Protocol).where(
            Protocol.club_id == club_id, Protocol.purpose == purpose, Protocol.withdrawn_at.is_(None)
        )
    ).scalars()
    scales = scales_of(protocols)
    graded = _graded(session, club_id, purpose, excluded, included)
    times = {trial.id: trial.finished_at.timestamp() for trials in graded.values() for trial, _ in trials}
    check_stones = (
        session.execute(
            select(CheckStone).where(
                CheckStone.club_id == club_id,
                CheckStone.purpose == purpose,
                CheckStone.withdrawn_at.is_(None),
            )
        )
        .scalars()
        .all()
    )
    signs = _signs(session, club_id, purpose)
    inputs = []
    for scale_id, (scale, steels) in sorted(scales.items()):
        of_scale = graded.get(scale_id, [])
        # A scale has a handful of grades and a club tens of thousands of trials.
        fits = {grade: on_scale(grade, scale) for grade in {grade for _, grade in of_scale}}
        grades = tuple(
            pooling.TrialGrade(trial.id, trial.stone_id, trial.created_by, trial.steel, grade)
            for trial, grade in of_scale
            if fits[grade]
        )
        anchors = tuple(
            pooling.Anchor(check.stone_id, check.grades[scale_id]["grade"], check.grades[scale_id]["sd"])
            for check in check_stones
            if scale_id in check.grades
        )
        inputs.append(Inputs(scale, steels, grades, anchors, signs, times, len(of_scale) - len(grades)))
    return inputs


def _graded(
    session: Session, club_id: str, purpose: str, excluded: frozenset[str], included: frozenset[str]
) -> dict[str, list[tuple[Any, float]]]:
    """By scale, every trial that counts, with its grade.

    Trials and grades are read apart and joined here: ids and times are dear to make, and a trial has three grades.
    """
    counts = (
        Trial.club_id == club_id,
        Protocol.purpose == purpose,
        Trial.withdrawn_at.is_(None),
        or_(Trial.excluded_at.is_(None), Trial.id.in_(included)),
    )
    of_protocol = (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id)
    of_blade = (Blade.club_id == Trial.club_id) & (Blade.id == Trial.blade_id)
    trials = session.execute(
        select(_raw(Trial.id), Trial.id, Trial.stone_id, Trial.created_by, Trial.finished_at, Blade.steel)
        .join(Blade, of_blade)
        .join(Protocol, of_protocol)
        .where(*counts)
    ).all()
    by_key = {trial.key: trial for trial in trials if trial.id not in excluded}
    grades = session.execute(
        select(_raw(TrialGrade.trial_id), TrialGrade.scale, TrialGrade.grade)
        .join(Trial, (Trial.club_id == TrialGrade.club_id) & (Trial.id == TrialGrade.trial_id))
        .join(Protocol, of_protocol)
        .where(*counts)
    )
    found: dict[str, list[tuple[Any, float]]] = {}
    for key, scale, grade in grades:
        if (trial := by_key.get(key)) is not None:
            found.setdefault(scale, []).append((trial, grade))
    return found


def _raw(record_id: Any) -> Any:
    """An id as the database gives it: good for nothing but telling two rows to be of one record."""
    return type_coerce(record_id, String).label("key")
