"""The work list, and what a change of the rules would do to the stones at hand."""

from dataclasses import asdict
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core.soundness import open_work
from ..core.soundness.grit import grain
from ..core.soundness.wear import Lapping as LoggedLapping
from ..core.soundness.wear import LappingRate, fit_rate
from ..core.soundness.work import latest_by_face
from ..errors import Refusal
from ..storage.base import Database
from ..storage.schema import Inspection, Lapping, Repair, Stone
from . import inspecting
from .caller import STEWARD, Caller


def _inspections(session: Session, club_id: str) -> list[dict[str, Any]]:
    rows = session.execute(
        select(Inspection).where(Inspection.club_id == club_id, Inspection.withdrawn_at.is_(None))
    ).scalars()
    return [row.body() for row in rows]


def work_list(database: Database, caller: Caller) -> list[dict[str, Any]]:
    """Everything that is still to be done to the club's stones, most urgent first."""
    with database.read() as session:
        here = set(
            session.execute(
                select(Stone.id).where(Stone.club_id == caller.club_id, Stone.withdrawn_at.is_(None))
            ).scalars()
        )
        repairs = session.execute(select(Repair).where(Repair.club_id == caller.club_id)).scalars()
        items = open_work(_inspections(session, caller.club_id), [row.body() for row in repairs])
    return [asdict(item) for item in items if item.stone_id in here]


def preview_rules(database: Database, caller: Caller, rules: list[dict[str, Any]]) -> dict[str, Any]:
    """What other rules would say of the last inspection of each face. Nothing is stored.

    Raises Invalid where a rule cannot be evaluated.
    """
    caller.require(STEWARD)
    ready = inspecting.usable_rules(rules)
    with database.read() as session:
        stones = {
            row.id: row.own_fields()
            for row in session.execute(
                select(Stone).where(Stone.club_id == caller.club_id, Stone.withdrawn_at.is_(None))
            ).scalars()
        }
        latest = latest_by_face(_inspections(session, caller.club_id))
    changed, cannot = [], []
    for (stone_id, face), inspection in sorted(latest.items()):
        if stone_id not in stones:
            continue
        try:
            after = inspecting.verdicts_of(stones[stone_id], dict(inspection), ready)
        except Refusal as refusal:
            cannot.append({"stone_id": stone_id, "face": face, "detail": refusal.detail})
            continue
        before = inspection["verdicts"]
        gone = [verdict for verdict in before if not _among(verdict, after)]
        new = [verdict for verdict in after if not _among(verdict, before)]
        if gone or new:
            changed.append({"stone_id": stone_id, "face": face, "gone": gone, "new": new})
    return {"n_inspected": len(latest), "changed": changed, "cannot_be_judged": cannot}


def _among(verdict: dict[str, Any], others: list[dict[str, Any]]) -> bool:
    """Whether a verdict on the same finding, of the same word and urgency, is among others."""
    key = ("rule_id", "finding_id", "verdict", "urgency")
    return any(all(verdict[name] == other[name] for name in key) for other in others)


def lapping_rate(database: Database, caller: Caller) -> LappingRate:
    """The club's own lapping rate, from the lappings that were logged in full."""
    with database.read() as session:
        rows = session.execute(
            select(Lapping, Stone)
            .join(Stone, (Stone.club_id == Lapping.club_id) & (Stone.id == Lapping.stone_id))
            .where(Lapping.club_id == caller.club_id, Lapping.withdrawn_at.is_(None))
            .order_by(Lapping.id)
        ).all()
    # A lapping noted without its figures is a record all the same, but teaches no rate.
    return fit_rate(
        [
            LoggedLapping(
                removed_um=lapping.removed_um,
                force_n=lapping.force_n,
                area_mm2=stone.length_mm * stone.width_mm,
                strokes=lapping.strokes,
                stroke_mm=lapping.stroke_mm,
                grain_um=grain(lapping.grit_system, lapping.grit_number).um,
            )
            for lapping, stone in rows
            if lapping.removed_um and lapping.force_n and lapping.strokes and lapping.stroke_mm
        ]
    )
