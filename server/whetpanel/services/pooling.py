"""Pooled grades as a member may see them, and what they would be without some trials."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core import pooling
from ..errors import Blind, FieldError, Invalid, NotFound
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import Protocol, Stone, Trial
from .caller import DEALER, STEWARD, Caller
from .pool_desk import PoolDesk, Pooled, Readings
from .pool_scale import pool_scale


def own_stones(session: Session, caller: Caller, purpose: str) -> set[str]:
    """The stones of which the caller has an own trial for this purpose."""
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


def pooled_head(pooled: Pooled, purpose: str) -> dict[str, Any]:
    """What a result stands for, as every answer made from it says at its head."""
    return {
        "purpose": purpose,
        "method_version": pooling.METHOD_VERSION,
        "revision": pooled.revision,
        "computed_at": wire_time(pooled.computed_at),
        "behind": pooled.behind,
    }


def pooled_grades(database: Database, desk: PoolDesk, caller: Caller, purpose: str) -> dict[str, Any]:
    """The pooled grades of a purpose: all for dealer and steward, for a tester the stones that tester has tried."""
    pooled = desk.pooled(caller.club_id, purpose)
    with database.read() as session:
        own = own_stones(session, caller, purpose)
    scales = [scale if caller.sees_all else _for_tester(scale, caller, own) for scale in pooled.scales]
    return {**pooled_head(pooled, purpose), "scales": scales}


def _for_tester(scale: dict[str, Any], caller: Caller, own: set[str]) -> dict[str, Any]:
    return {
        **scale,
        "stones": [stone for stone in scale["stones"] if stone["stone_id"] in own],
        "testers": [tester for tester in scale["testers"] if tester["tester_id"] == caller.member_id],
        "groups": [],
        "proposed_links": [],
        "signs": {
            **scale["signs"],
            "checks": [check for check in scale["signs"]["checks"] if check["stone_id"] in own],
        },
    }


def panel_of_stone(
    database: Database, desk: PoolDesk, caller: Caller, stone_id: str, purpose: str
) -> dict[str, Any]:
    """The pooled grades of one stone with each trial's reading. Raises Blind before a tester's own trial of it."""
    with database.read() as session:
        if session.get(Stone, (caller.club_id, stone_id)) is None:
            raise NotFound("There is no such stone in your club.")
        if not caller.sees_all and stone_id not in own_stones(session, caller, purpose):
            raise Blind("You see the panel's grade of this stone once your own trial of it is in.")
    pooled = desk.pooled(caller.club_id, purpose)
    readings = desk.readings(caller.club_id, purpose, stone_id)
    scales = [
        {
            **of_one_stone(scale, stone_id),
            "trials": [
                {name: one[name] for name in READING}
                for one in sorted(_trials_in(readings, scale["scale"]), key=lambda one: str(one["trial_id"]))
            ],
        }
        for scale in pooled.scales
    ]
    return {**pooled_head(pooled, purpose), "scales": scales}


READING = ("trial_id", "residual", "standardised", "pull", "flag")


def _trials_in(readings: dict[str, Readings], scale: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = readings[scale].stone.get("trials", []) if scale in readings else []
    return found


def of_one_stone(scale: dict[str, Any], stone_id: str) -> dict[str, Any]:
    """A pooled scale without what belongs to other stones."""
    return {
        **{key: value for key, value in scale.items() if key not in ("testers", "groups", "proposed_links")},
        "stones": [stone for stone in scale["stones"] if stone["stone_id"] == stone_id],
        "signs": {
            **scale["signs"],
            "checks": [one for one in scale["signs"]["checks"] if one["stone_id"] == stone_id],
        },
    }


def what_if(
    database: Database,
    desk: PoolDesk,
    caller: Caller,
    purpose: str,
    *,
    exclude: list[str],
    include: list[str],
    stone_id: str | None,
) -> dict[str, Any]:
    """The pooled grades as they would be without some trials, and with some that are left out now. Nothing is stored.

    With ``stone_id`` only that stone's are worked out: the fit is the same, and all that belongs to others is spared.
    """
    caller.require(DEALER, STEWARD)
    pooled = desk.pooled(caller.club_id, purpose)
    with database.read() as session:
        if stone_id is not None and session.get(Stone, (caller.club_id, stone_id)) is None:
            raise NotFound("There is no such stone in your club.")
        known = set(
            session.execute(
                select(Trial.id).where(Trial.club_id == caller.club_id, Trial.id.in_([*exclude, *include]))
            ).scalars()
        )
        unknown = [
            FieldError(field, f"{one} is no trial of your club.")
            for field, wanted in (("exclude_trials", exclude), ("include_trials", include))
            for one in wanted
            if one not in known
        ]
        if unknown:
            raise Invalid("Some of these trials are not in your club.", unknown)
    inputs = desk.inputs(caller.club_id, purpose, frozenset(exclude), frozenset(include))
    pooled_anew = [pool_scale(one, desk.warm_of(caller.club_id, purpose, one.scale["id"])) for one in inputs]
    scales = [one.result if stone_id is None else one.for_stone(stone_id) for one in pooled_anew]
    return {**pooled_head(pooled, purpose), "scales": scales}
