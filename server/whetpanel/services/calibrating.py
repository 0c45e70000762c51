"""How testers stand: severity, steadiness, weight, whether the severity moves, and their record on check stones."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core.check_record import CheckTrial, check_level
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import Blade, CheckStone, Protocol, Trial, TrialGrade
from .caller import Caller
from .pool_desk import PoolDesk

HEAD = ("scale", "name", "low", "high", "step")


def calibration(database: Database, desk: PoolDesk, caller: Caller, purpose: str) -> dict[str, Any]:
    """Each tester's calibration by scale; a tester sees the own one alone.

    Who knows the agreed grade of a check stone can no longer be calibrated by it. So a tester is told neither which
    trials were on check stones nor how many, nor any difference from an agreed grade: only where the level lies.
    """
    pooled = desk.pooled(caller.club_id, purpose)
    drifts = desk.drifts(caller.club_id, purpose)
    with database.read() as session:
        records = _check_records(session, caller.club_id, purpose)
    scales = []
    for scale in pooled.scales:
        of_scale = drifts.get(scale["scale"], {})
        testers = []
        for tester in scale["testers"]:
            if not caller.sees_all and tester["tester_id"] != caller.member_id:
                continue
            drift = of_scale.get(tester["tester_id"], {"note": "", "all": None, "check": None})
            note, check = drift["note"], drift["check"]
            record = records.get((tester["tester_id"], scale["scale"]), [])
            level = check_level(
                [
                    CheckTrial(one["stone_id"], one["reported"], one["agreed"], one["agreed_sd"])
                    for one in record
                ]
            )
            if not caller.sees_all:
                note, check, record = _told_to_the_tester(note, check), _veiled(check), []
            testers.append(
                {
                    **tester, "drift_note": note, "drift": drift["all"], "check_drift": check,
                    "check_record": record, "check_level": level,
                }
            )  # fmt: skip
        scales.append({**{key: scale[key] for key in HEAD}, "testers": testers})
    return {"purpose": purpose, "revision": pooled.revision, "behind": pooled.behind, "scales": scales}


def _veiled(check: dict[str, Any] | None) -> dict[str, Any] | None:
    """Whether the level moved on check stones, and nothing by which a count of them could be kept."""
    if check is None:
        return None
    return {**check, "n_trials": None, "since": None, "moved_by": None, "note": "", "points": []}


def _told_to_the_tester(note: str, check: dict[str, Any] | None) -> str:
    """The note on check stones counts their trials."""
    return "On check stones the level has moved." if check and check["state"] == "moved" else note


def _check_records(
    session: Session, club_id: str, purpose: str
) -> dict[tuple[str, str], list[dict[str, Any]]]:
    """(tester, scale) → each trial of a check stone that counts, the oldest first."""
    checks = session.execute(
        select(CheckStone)
        .where(
            CheckStone.club_id == club_id, CheckStone.purpose == purpose, CheckStone.withdrawn_at.is_(None)
        )
        .order_by(CheckStone.revision)
    ).scalars()
    agreed = {(check.stone_id, scale): grade for check in checks for scale, grade in check.grades.items()}
    if not agreed:
        return {}
    rows = session.execute(
        select(
            Trial.id, Trial.stone_id, Trial.created_by, Trial.finished_at, Blade.steel,
            TrialGrade.scale, TrialGrade.grade,
        )
        .join(TrialGrade, (Trial.club_id == TrialGrade.club_id) & (Trial.id == TrialGrade.trial_id))
        .join(Blade, (Blade.club_id == Trial.club_id) & (Blade.id == Trial.blade_id))
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(
            Trial.club_id == club_id,
            Trial.stone_id.in_({stone_id for stone_id, _ in agreed}),
            Protocol.purpose == purpose,
            Trial.withdrawn_at.is_(None),
            Trial.excluded_at.is_(None),
        )
        .order_by(Trial.finished_at, Trial.id)
    )  # fmt: skip
    found: dict[tuple[str, str], list[dict[str, Any]]] = {}
    for row in rows:
        grade = agreed.get((row.stone_id, row.scale))
        if grade is None or row.created_by is None:
            continue
        found.setdefault((row.created_by, row.scale), []).append(
            {
                "trial_id": row.id,
                "stone_id": row.stone_id,
                "scale": row.scale,
                "steel": row.steel,
                "reported": row.grade,
                "agreed": grade["grade"],
                "agreed_sd": grade["sd"],
                "difference": row.grade - grade["grade"],
                "finished_at": wire_time(row.finished_at),
            }
        )
    return found
