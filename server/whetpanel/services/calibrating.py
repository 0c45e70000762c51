"""How testers stand: severity, steadiness, weight, and whether the severity moves."""

from typing import Any

from .caller import Caller
from .pool_desk import PoolDesk

HEAD = ("scale", "name", "low", "high", "step")


def calibration(desk: PoolDesk, caller: Caller, purpose: str) -> dict[str, Any]:
    """Each tester's calibration by scale; a tester sees the own one alone."""
    pooled = desk.pooled(caller.club_id, purpose)
    drifts = desk.drifts(caller.club_id, purpose)
    scales = []
    for scale in pooled.scales:
        of_scale = drifts.get(scale["scale"], {})
        testers = []
        for tester in scale["testers"]:
            if not caller.sees_all and tester["tester_id"] != caller.member_id:
                continue
            drift = of_scale.get(tester["tester_id"], {"note": "", "all": None, "check": None})
            check = drift["check"]
            if check is not None and not caller.sees_all:
                # Which trials are on check stones would tell a tester which stones those are.
                check = {**check, "points": []}
            testers.append(
                {**tester, "drift_note": drift["note"], "drift": drift["all"], "check_drift": check}
            )
        scales.append({**{key: scale[key] for key in HEAD}, "testers": testers})
    return {"purpose": purpose, "revision": pooled.revision, "behind": pooled.behind, "scales": scales}
