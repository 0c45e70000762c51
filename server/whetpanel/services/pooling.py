"""Gather a club's trials, pool them, and keep the result with its method version and the digest of its inputs.

Nothing here holds the club's lock while it computes: trials are read in one consistent look, the fit runs with no
transaction open, and the result is kept in a short one at the end. A trial that comes in meanwhile has a higher
revision and asks for the next result.
"""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from ..clock import Clock
from ..core import pooling
from ..errors import Blind, NotFound
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import Blade, CheckStone, JournalEntry, PoolResult, Protocol, Stone, Trial, TrialGrade
from .caller import Caller
from .trial_checks import on_scale

POOLED_FROM = ("trial", "check_stone", "protocol", "blade")


@dataclass(frozen=True)
class Inputs:
    """Everything one fit needs."""

    scale: dict[str, Any]
    reference_steels: tuple[str, ...]
    grades: tuple[pooling.TrialGrade, ...]
    anchors: tuple[pooling.Anchor, ...]
    n_off_scale: int


def _pool_revision(session: Session, club_id: str) -> int:
    """The revision of the last write that pooled grades rest on."""
    found = session.execute(
        select(func.max(JournalEntry.revision)).where(
            JournalEntry.club_id == club_id, JournalEntry.thing.in_(POOLED_FROM)
        )
    ).scalar_one()
    return found or 0


def _scales(protocols: Iterable[Protocol]) -> dict[str, tuple[dict[str, Any], tuple[str, ...]]]:
    """Each graded scale of a purpose with the reference steels; a later protocol's definition goes before."""
    found: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {}
    for protocol in sorted(protocols, key=lambda p: p.revision):
        for scale in protocol.scales:
            steels = found[scale["id"]][1] if scale["id"] in found else ()
            added = tuple(steel for steel in protocol.reference_steels if steel not in steels)
            found[scale["id"]] = (scale, steels + added)
    return found


def gather(session: Session, club_id: str, purpose: str, excluded: frozenset[str] = frozenset()) -> list[Inputs]:
    """The inputs of every scale of a purpose: trials that are neither withdrawn nor excluded, and check stones."""
    protocols = session.execute(
        select(Protocol).where(
            Protocol.club_id == club_id, Protocol.purpose == purpose, Protocol.withdrawn_at.is_(None)
        )
    ).scalars()
    scales = _scales(protocols)
    rows = session.execute(
        select(TrialGrade.scale, TrialGrade.grade, Trial.id, Trial.stone_id, Trial.created_by, Blade.steel)
        .join(Trial, (Trial.club_id == TrialGrade.club_id) & (Trial.id == TrialGrade.trial_id))
        .join(Blade, (Blade.club_id == Trial.club_id) & (Blade.id == Trial.blade_id))
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(
            TrialGrade.club_id == club_id,
            Protocol.purpose == purpose,
            Trial.withdrawn_at.is_(None),
            Trial.excluded_at.is_(None),
        )
    ).all()
    check_stones = session.execute(
        select(CheckStone).where(
            CheckStone.club_id == club_id, CheckStone.purpose == purpose, CheckStone.withdrawn_at.is_(None)
        )
    ).scalars().all()
    inputs = []
    for scale_id, (scale, steels) in sorted(scales.items()):
        of_scale = [row for row in rows if row.scale == scale_id and row.id not in excluded]
        grades = tuple(
            pooling.TrialGrade(row.id, row.stone_id, row.created_by, row.steel, row.grade)
            for row in of_scale
            if on_scale(row.grade, scale)
        )
        anchors = tuple(
            pooling.Anchor(check.stone_id, check.grades[scale_id]["grade"], check.grades[scale_id]["sd"])
            for check in check_stones
            if scale_id in check.grades
        )
        inputs.append(Inputs(scale, steels, grades, anchors, len(of_scale) - len(grades)))
    return inputs


def pool(inputs: Inputs) -> dict[str, Any]:
    """One scale's pooled grades as JSON values."""
    scale = inputs.scale
    result = pooling.pool_grades(
        inputs.grades,
        scale=pooling.GradeScale(scale["id"], scale["low"], scale["high"], scale["step"]),
        reference_steels=inputs.reference_steels,
        anchors=inputs.anchors,
    )
    stones = []
    for stone in result.stones:
        body = asdict(stone)
        body["stone_id"] = body.pop("stone")
        stones.append(body)
    testers = []
    for tester in result.testers:
        body = asdict(tester)
        body["tester_id"] = body.pop("tester")
        testers.append(body)
    return {
        "scale": scale["id"],
        "name": scale["name"],
        "low": scale["low"],
        "high": scale["high"],
        "step": scale["step"],
        "inputs_digest": result.inputs_digest,
        "method_version": result.method_version,
        "converged": result.converged,
        "n_off_scale": inputs.n_off_scale,
        "stones": stones,
        "testers": testers,
        "trials": [asdict(reading) for reading in result.trials],
    }


def _kept(session: Session, club_id: str, purpose: str, revision: int) -> list[PoolResult]:
    return list(
        session.execute(
            select(PoolResult)
            .where(
                PoolResult.club_id == club_id,
                PoolResult.purpose == purpose,
                PoolResult.revision == revision,
                PoolResult.method_version == pooling.METHOD_VERSION,
            )
            .order_by(PoolResult.scale)
        ).scalars()
    )


def _keep(
    database: Database, club_id: str, purpose: str, revision: int, results: list[dict[str, Any]], at: datetime
) -> None:
    with database.write() as session:
        newest = session.execute(
            select(func.max(PoolResult.revision)).where(
                PoolResult.club_id == club_id, PoolResult.purpose == purpose
            )
        ).scalar_one()
        if newest is not None and newest > revision:
            return  # another process has pooled a later state already
        session.execute(
            delete(PoolResult).where(PoolResult.club_id == club_id, PoolResult.purpose == purpose)
        )
        for result in results:
            session.merge(
                PoolResult(
                    club_id=club_id, purpose=purpose, scale=result["scale"], revision=revision,
                    method_version=result["method_version"], inputs_digest=result["inputs_digest"],
                    computed_at=at, result=result,
                )
            )  # fmt: skip


def pooled_grades(database: Database, clock: Clock, caller: Caller, purpose: str) -> dict[str, Any]:
    """The pooled grades of a purpose, as this caller may see them."""
    with database.read() as session:
        revision = _pool_revision(session, caller.club_id)
        kept = _kept(session, caller.club_id, purpose, revision)
        inputs = [] if kept else gather(session, caller.club_id, purpose)
        own = _own_stones(session, caller, purpose)
    if kept:
        results, at = [row.result for row in kept], kept[0].computed_at
    else:
        results, at = [pool(one) for one in inputs], clock()
        _keep(database, caller.club_id, purpose, revision, results, at)
    return {
        "purpose": purpose,
        "method_version": pooling.METHOD_VERSION,
        "revision": revision,
        "computed_at": wire_time(at),
        "scales": [_as_seen(result, caller, own) for result in results],
    }


def _own_stones(session: Session, caller: Caller, purpose: str) -> set[str]:
    return set(
        session.execute(
            select(Trial.stone_id)
            .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
            .where(
                Trial.club_id == caller.club_id,
                Trial.created_by == caller.member_id,
                Trial.withdrawn_at.is_(None),
                Protocol.purpose == purpose,
            )
        ).scalars()
    )


def _as_seen(result: dict[str, Any], caller: Caller, own: set[str]) -> dict[str, Any]:
    """A tester sees the stones that tester has tried, and of the calibration the own row."""
    if caller.sees_all:
        return result
    return {
        **result,
        "stones": [stone for stone in result["stones"] if stone["stone_id"] in own],
        "testers": [tester for tester in result["testers"] if tester["tester_id"] == caller.member_id],
        "trials": [],
    }


def panel_of_stone(
    database: Database, clock: Clock, caller: Caller, stone_id: str, purpose: str
) -> dict[str, Any]:
    """The pooled grades of one stone. Raises Blind before a tester's own trial of it, NotFound without a stone."""
    with database.read() as session:
        if session.get(Stone, (caller.club_id, stone_id)) is None:
            raise NotFound("There is no such stone in your club.")
        if not caller.sees_all and stone_id not in _own_stones(session, caller, purpose):
            raise Blind("You see the panel's grade of this stone once your own trial of it is in.")
    whole = pooled_grades(database, clock, caller, purpose)
    scales = []
    for result in whole["scales"]:
        stones = [stone for stone in result["stones"] if stone["stone_id"] == stone_id]
        scales.append({**result, "stones": stones, "testers": [], "trials": []})
    return {**whole, "scales": scales}
