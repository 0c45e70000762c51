"""One stone as the dealer reviews it: every figure that stands behind its grades, and the trials that are left out.

Nothing is fitted for it. What costs a fit is kept with the fit (``pool_scale``); this joins it with the records.
"""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..errors import NotFound
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import Blade, Protocol, Stone, Trial
from .caller import DEALER, STEWARD, Caller
from .pool_desk import PoolDesk, Readings
from .pooling import of_one_stone, pooled_head
from .trial_checks import on_scale

COUNTS, EXCLUDED, OFF_SCALE, NOT_YET = "counts", "excluded", "off_scale", "not_yet"

FIGURES = (
    "severity", "steel_lean", "corrected", "expected", "residual", "standardised", "pull", "flag", "weight", "after",
)  # fmt: skip


def review(database: Database, desk: PoolDesk, caller: Caller, stone_id: str, purpose: str) -> dict[str, Any]:
    """The pooled grades of one stone with the account of each trial, for those who answer for them."""
    caller.require(DEALER, STEWARD)
    # The result is taken first: a trial that comes in between is then told as not pooled yet, never missing.
    pooled = desk.pooled(caller.club_id, purpose)
    readings = desk.readings(caller.club_id, purpose, stone_id)
    with database.read() as session:
        if session.get(Stone, (caller.club_id, stone_id)) is None:
            raise NotFound("There is no such stone in your club.")
        trials = _trials(session, caller.club_id, stone_id, purpose)
    nothing = Readings({}, {})
    return {
        "stone_id": stone_id,
        **pooled_head(pooled, purpose),
        "scales": [
            _scale(one, readings.get(one["scale"], nothing), trials, stone_id) for one in pooled.scales
        ],
    }


def _trials(session: Session, club_id: str, stone_id: str, purpose: str) -> list[tuple[Trial, str]]:
    """The stone's trials for a purpose with the steel of each, in the order in which they were finished."""
    rows = session.execute(
        select(Trial, Blade.steel)
        .join(Blade, (Blade.club_id == Trial.club_id) & (Blade.id == Trial.blade_id))
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .where(
            Trial.club_id == club_id,
            Trial.stone_id == stone_id,
            Trial.withdrawn_at.is_(None),
            Protocol.purpose == purpose,
        )
        .order_by(Trial.finished_at, Trial.id)
    ).all()
    return [(trial, steel) for trial, steel in rows]


def _scale(
    scale: dict[str, Any], readings: Readings, trials: list[tuple[Trial, str]], stone_id: str
) -> dict[str, Any]:
    one = of_one_stone(scale, stone_id)
    account = {row["trial_id"]: row for row in readings.stone.get("trials", [])}
    severity = {tester["tester_id"]: tester["severity"] for tester in scale["testers"]}
    rows = []
    for trial, steel in trials:
        reported = next((row.grade for row in trial.grade_rows if row.scale == scale["scale"]), None)
        if reported is None:
            continue
        state = _state(trial, reported, scale, account)
        rows.append(
            {
                "trial_id": trial.id,
                "tester_id": trial.created_by,
                "blade_id": trial.blade_id,
                "steel": steel,
                "face": trial.face,
                "finished_at": wire_time(trial.finished_at),
                "reported": reported,
                "state": state,
                "excluded": trial.derived_fields()["excluded"],
                **_figures(
                    account.get(trial.id) if state == COUNTS else None,
                    reported,
                    severity.get(trial.created_by or ""),
                    readings.steels.get(steel),
                ),
            }
        )
    return {
        **{name: value for name, value in one.items() if name not in ("stones", "signs")},
        "stone": one["stones"][0] if one["stones"] else None,
        "signs": {
            "used": one["signs"]["used"],
            "reason": one["signs"]["reason"],
            "check": one["signs"]["checks"][0] if one["signs"]["checks"] else None,
        },
        "before": readings.stone.get("before"),
        "borrowed": readings.stone.get("borrowed"),
        "trials": rows,
    }


def _state(trial: Trial, reported: float, scale: dict[str, Any], account: dict[str, Any]) -> str:
    if trial.excluded_at is not None:
        return EXCLUDED
    if not on_scale(reported, scale):
        return OFF_SCALE
    # One that was amended since the fit is not counted as it stands now.
    return COUNTS if account.get(trial.id, {}).get("reported") == reported else NOT_YET


def _figures(
    kept: dict[str, Any] | None, reported: float, severity: float | None, steel_lean: float | None
) -> dict[str, Any]:
    """What the pooling made of a trial. Of one that it does not count, only what is known of its tester and steel."""
    if kept is not None:
        return {name: kept[name] for name in FIGURES}
    corrected = None if severity is None or steel_lean is None else reported + severity - steel_lean
    known = {"severity": severity, "steel_lean": steel_lean, "corrected": corrected}
    return {name: known.get(name) for name in FIGURES}
