"""Which trials would teach most, given who is there, which blades the club has and who can take how many."""

from dataclasses import asdict
from typing import Any

from sqlalchemy import select

from ..core.plan import plan_trials
from ..core.pooling import PoolResult
from ..errors import FieldError, Invalid
from ..storage.base import Database
from ..storage.schema import Blade, Club, Member, Protocol, Stone
from .caller import DEALER, STEWARD, TESTER, Caller
from .pool_desk import PoolDesk

Z90 = 1.6448536269514722


def _neediest(results: dict[str, PoolResult], target: float) -> str:
    """The scale on which most stones are wider than the target: it is what stands between them and publication."""

    def needy(scale: str) -> int:
        return sum(Z90 * stone.sd > target for stone in results[scale].stones)

    return max(sorted(results), key=needy)


def plan(
    database: Database,
    desk: PoolDesk,
    caller: Caller,
    purpose: str,
    *,
    n: int,
    scale: str | None,
    load: dict[str, int],
    holders: dict[str, list[str]],
    blades: dict[str, list[str]],
    stone_ids: list[str] | None,
) -> dict[str, Any]:
    """Up to ``n`` trials, best first, each with what it is expected to gain.

    load     tester id → most trials in this plan
    holders  stone id → testers who can try it now; others can go to anyone
    blades   tester id → steels that tester has; others have every steel of the club's blades
    """
    caller.require(DEALER, STEWARD)
    with database.read() as session:
        club = session.get_one(Club, (caller.club_id, caller.club_id))
        members = session.execute(
            select(Member).where(Member.club_id == caller.club_id, Member.withdrawn_at.is_(None))
        ).scalars()
        testers = [member.id for member in members if member.active and TESTER in member.roles]
        steels_here = set(
            session.execute(
                select(Blade.steel).where(Blade.club_id == caller.club_id, Blade.withdrawn_at.is_(None))
            ).scalars()
        )
        stones = set(
            session.execute(
                select(Stone.id).where(Stone.club_id == caller.club_id, Stone.withdrawn_at.is_(None))
            ).scalars()
        )
        reference: set[str] = set()
        for steels in session.execute(
            select(Protocol.reference_steels).where(
                Protocol.club_id == caller.club_id,
                Protocol.purpose == purpose,
                Protocol.withdrawn_at.is_(None),
            )
        ).scalars():
            reference.update(steels)
    target = club.publish_rules["max_half_width"]
    results = desk.results(caller.club_id, purpose, stones=sorted(stones))
    if not results or not testers:
        return {"purpose": purpose, "scale": None, "target_half_width": target, "trials": []}
    if scale is not None and scale not in results:
        raise Invalid(
            "This purpose has no such scale.",
            [FieldError("scale", "Choose one of " + ", ".join(sorted(results)))],
        )
    chosen = scale or _neediest(results, target)
    result = results[chosen]
    wanted = [stone for stone in (stone_ids or sorted(stones)) if stone in result.stone_names]
    usable = sorted(steels_here & reference) or sorted(steels_here)
    # A tester who has left is known to the panel and must not be planned for.
    known = {tester.tester for tester in result.testers} | set(testers)
    limits = {tester: (load.get(tester, n) if tester in testers else 0) for tester in known}
    planned = plan_trials(
        result,
        n=n,
        target_half_width=target,
        stones=wanted,
        holders=holders,
        blades_by_tester={tester: blades.get(tester, usable) for tester in testers},
        load=limits,
    )
    return {
        "purpose": purpose,
        "scale": chosen,
        "target_half_width": target,
        "trials": [
            {
                "tester_id": one["tester"],
                "stone_id": one["stone"],
                "steel": one["steel"],
                "expected_gain": one["expected_gain"],
                "half_width_before": one["half_width_before"],
                "half_width_after": one["half_width_after"],
            }
            for one in map(asdict, planned)
        ],
    }
