"""How testers stand: severity, steadiness, weight, and whether the severity moves."""

import math
from typing import Any

from sqlalchemy import select

from ..core.drift import Drift, drift_by_tester
from ..storage.base import Database
from ..storage.schema import CheckStone, Trial
from .caller import Caller
from .pool_desk import PoolDesk


def calibration(database: Database, desk: PoolDesk, caller: Caller, purpose: str) -> dict[str, Any]:
    """Each tester's calibration by scale; a tester sees the own one alone."""
    pooled = desk.pooled(caller.club_id, purpose)
    readings = desk.readings(caller.club_id, purpose)
    with database.read() as session:
        trials = {
            row.id: row
            for row in session.execute(
                select(Trial.id, Trial.created_by, Trial.finished_at, Trial.stone_id).where(
                    Trial.club_id == caller.club_id
                )
            )
        }
        check_stones = {
            (row.stone_id, scale)
            for row in session.execute(
                select(CheckStone).where(
                    CheckStone.club_id == caller.club_id,
                    CheckStone.purpose == purpose,
                    CheckStone.withdrawn_at.is_(None),
                )
            ).scalars()
            for scale in row.grades
        }
    scales = []
    for scale in pooled.scales:
        rows = [one for one in readings.get(scale["scale"], []) if one["trial_id"] in trials]
        of = [trials[one["trial_id"]] for one in rows]
        sigma = {tester["tester_id"]: tester["sigma"] for tester in scale["testers"]}
        drifts = drift_by_tester(
            [trial.created_by for trial in of],
            [trial.finished_at.timestamp() for trial in of],
            [one["residual"] for one in rows],
            [_sd(one, sigma[trial.created_by]) for one, trial in zip(rows, of, strict=True)],
            [(trial.stone_id, scale["scale"]) in check_stones for trial in of],
        )
        testers = []
        for tester in scale["testers"]:
            if not caller.sees_all and tester["tester_id"] != caller.member_id:
                continue
            drift = drifts.get(tester["tester_id"])
            testers.append(
                {
                    **tester,
                    "drift_note": drift.note if drift else "",
                    "drift": _drift(drift.all_stones, [rows[n]["trial_id"] for n in drift.order])
                    if drift
                    else None,
                    "check_drift": (
                        _drift(drift.check_stones, [rows[n]["trial_id"] for n in drift.check_order])
                        if drift
                        else None
                    ),
                }
            )
        scales.append(
            {**{key: scale[key] for key in ("scale", "name", "low", "high", "step")}, "testers": testers}
        )
    return {"purpose": purpose, "revision": pooled.revision, "behind": pooled.behind, "scales": scales}


def _sd(reading: dict[str, Any], sigma: float) -> float:
    """The standard deviation by which a residual was standardised; the tester's own where both are zero."""
    if reading["standardised"] == 0 or not math.isfinite(reading["standardised"]):
        return sigma
    return abs(reading["residual"] / reading["standardised"]) or sigma


def _drift(drift: Drift, trial_ids: list[str]) -> dict[str, Any]:
    chart = drift.chart
    return {
        "state": drift.state,
        "n_trials": drift.n_trials,
        "moved_by": drift.moved_by,
        "note": drift.note,
        "points": [
            {"trial_id": trial, "z": z, "low": low, "high": high}
            for trial, z, low, high in zip(
                trial_ids, chart.z.tolist(), chart.low.tolist(), chart.high.tolist(), strict=True
            )
        ],
    }
