"""Adding and changing members: a record like any other, but for its password, which is kept apart."""

from datetime import datetime
from typing import Any

from ..clock import Clock
from ..errors import FieldError, Invalid
from ..settings import Settings
from ..storage.base import Database
from ..storage.schema import Member
from . import signing_in
from .caller import STEWARD, Caller
from .things import THINGS
from .writing import Written, put_record


def put_member(
    database: Database,
    clock: Clock,
    settings: Settings,
    caller: Caller,
    member_id: str,
    fields: dict[str, Any],
    *,
    password: str | None,
    recorded_at: datetime | None,
    base_version: int | None,
) -> Written:
    """Write a member. A new one needs a first password; a known one's is changed by its own call."""
    caller.require(STEWARD)
    with database.read() as session:
        known = session.get(Member, (caller.club_id, member_id)) is not None
    hash_ = ""
    if not known:
        if password is None:
            raise Invalid(
                "A new member needs a first password.", [FieldError("password", "Give a first password.")]
            )
        signing_in.check_password(password)
        hash_ = signing_in.password_hasher(settings).hash(password)
    return put_record(
        database, clock, caller, THINGS["member"].with_password(hash_), member_id, fields,
        recorded_at=recorded_at, base_version=base_version,
    )  # fmt: skip
