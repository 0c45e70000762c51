"""Shortlists: what the club found for one buyer, fixed as it stood, for whoever holds its code."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import select

from ..clock import Clock
from ..errors import FieldError, Invalid, NotFound
from ..storage.base import Database
from ..storage.record import wire_time
from ..storage.schema import Club, Shortlist, Slip
from .caller import DEALER, STEWARD, Caller
from .matching import METHOD_VERSION, match_stones
from .pool_desk import PoolDesk
from .publishing import new_code
from .things import THINGS, WriteContext
from .writing import Written, put_record

HEAD = (
    "purpose", "verdict", "fits", "finish_words", "finish_means", "skill_words", "owned_words", "needs",
    "missing_scales", "n_considered", "pool_method_version", "revision", "computed_at",
)  # fmt: skip
"""What of an answer is fixed with a shortlist, beside its stones."""


def fix_shortlist(
    database: Database,
    desk: PoolDesk,
    clock: Clock,
    caller: Caller,
    shortlist_id: str,
    fields: dict[str, Any],
    *,
    recorded_at: datetime | None,
) -> Written:
    """Fix what was found for a buyer, for the stones the dealer chose, as the grades stand now.

    Sent again it answers with the first one, however the grades have moved since. Raises Invalid for a stone that is
    left out of every match, saying why.
    """
    caller.require(DEALER, STEWARD)
    thing = THINGS["shortlist"]
    with database.read() as session:
        known = session.get(Shortlist, (caller.club_id, shortlist_id)) is not None
    if known:
        return put_record(database, clock, caller, thing, shortlist_id, fields, recorded_at=recorded_at)
    answer = match_stones(database, desk, caller, fields["wish"], chosen=fields["stone_ids"])
    here = {row["stone_id"] for row in answer["ranked"]}
    why = {stone_id: group["words"] for group in answer["left_out"] for stone_id in group["stone_ids"]}
    faults = [
        FieldError(f"stone_ids[{n}]", why.get(stone_id, "This stone is not in your club."))
        for n, stone_id in enumerate(fields["stone_ids"])
        if stone_id not in here
    ]
    if faults:
        raise Invalid("Some of these stones cannot be on a shortlist. Take them off.", faults)

    def fix(context: WriteContext, row: Shortlist, _fields: dict[str, Any]) -> None:
        if context.row is not None:
            return
        club = context.session.get_one(Club, (caller.club_id, caller.club_id))
        row.code = new_code()
        row.made_on = context.now.date()
        row.club_name = club.name
        row.found = {**{name: answer[name] for name in HEAD}, "stones": answer["ranked"]}
        row.method_version = METHOD_VERSION
        row.pool_revision = answer["revision"]

    return put_record(
        database, clock, caller, thing.with_derived(fix), shortlist_id, fields, recorded_at=recorded_at
    )


_SHOWN_OF_STONE = (
    "code", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour", "price", "currency",
    "probability", "odds", "by_blade", "grades", "finish_bands", "speaks_for", "against", "uncertain",
    "evidence",
)  # fmt: skip
"""Written out, so that what is added to an answer for the dealer does not reach a buyer unseen."""


def shown_shortlist(database: Database, code: str) -> dict[str, Any]:
    """A shortlist for whoever holds its code: no account, no member, no cost. Raises NotFound.

    Slips are looked up at the moment of asking, so that a slip withdrawn since is not linked.
    """
    with database.read() as session:
        row = session.execute(
            select(Shortlist).where(Shortlist.code == code.strip().upper())
        ).scalar_one_or_none()
        if row is None:
            raise NotFound("There is no shortlist with this code. Check it letter by letter.")
        club = session.get_one(Club, (row.club_id, row.club_id))
        found: Mapping[str, Any] = row.found
        stone_ids = [stone["stone_id"] for stone in found["stones"]]
        slips = {
            slip.stone_id: slip.code
            for slip in session.execute(
                select(Slip.stone_id, Slip.code)
                .where(
                    Slip.club_id == row.club_id,
                    Slip.stone_id.in_(stone_ids),
                    Slip.purpose == found["purpose"],
                    Slip.withdrawn_at.is_(None),
                )
                .order_by(Slip.id)
            )
        }
        body = row.body()
        invented = club.invented
    withdrawn = body["withdrawn"]
    return {
        **{key: body[key] for key in ("name", "code", "made_on", "club_name", "method_version", "notes")},
        **{key: found[key] for key in HEAD if key != "revision"},
        "stones": [
            {**{key: stone[key] for key in _SHOWN_OF_STONE}, "slip_code": slips.get(stone["stone_id"])}
            for stone in found["stones"]
        ],
        "withdrawn": None
        if withdrawn is None
        else {"at": wire_time(row.withdrawn_at), "reason": withdrawn["reason"]},
        "invented": invented,
    }
