"""What a member may see: single records, lists, earlier versions, and everything that changed."""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, and_, or_, select
from sqlalchemy.orm import Session

from ..errors import Blind, NotAllowed, NotFound
from ..storage.base import Database
from ..storage.schema import ClubRevision, JournalEntry, Trial
from .caller import Caller
from .things import THINGS, Thing

HIDDEN_FROM_TESTERS = {
    "check_stone": "it holds agreed grades",
    "slip": "it holds agreed grades",
    "shortlist": "it holds agreed grades",
    "offer": "it holds what stones cost",
}
"""Why a tester does not see a kind of record. A tester who knew the agreed grades of the check stones could not be
calibrated by them; a slip or a shortlist on a tester's phone would tell the panel's grade of a stone that this tester
has not tried."""

OWN_ONLY = ("trial", "consent")
"""Of these a tester is sent the own ones alone."""


def has_own_trial(session: Session, caller: Caller, stone_id: str) -> bool:
    """Whether the caller has a trial of this stone that still counts as own work."""
    return (
        session.execute(
            select(Trial.id)
            .where(
                Trial.club_id == caller.club_id,
                Trial.stone_id == stone_id,
                Trial.created_by == caller.member_id,
                Trial.withdrawn_at.is_(None),
            )
            .limit(1)
        ).first()
        is not None
    )


def _hidden(thing: Thing) -> NotAllowed:
    return NotAllowed(
        f"Only the dealer and the steward see a record of this kind ({thing.words}): "
        f"{HIDDEN_FROM_TESTERS[thing.name]}."
    )


def _may_see(session: Session, caller: Caller, thing: Thing, row: Any) -> None:
    if caller.sees_all:
        return
    if thing.name in HIDDEN_FROM_TESTERS:
        raise _hidden(thing)
    if thing.name == "consent" and row.created_by != caller.member_id:
        raise NotAllowed("What another member agreed to is for that member, the dealer and the steward.")
    if (
        thing.name == "trial"
        and row.created_by != caller.member_id
        and not has_own_trial(session, caller, row.stone_id)
    ):
        raise Blind("You see others' trials of this stone once your own trial of it is in.")


def get_record(database: Database, caller: Caller, thing: Thing, record_id: str) -> dict[str, Any]:
    """One record as it stands."""
    with database.read() as session:
        row = session.get(thing.model, (caller.club_id, record_id))
        if row is None:
            raise NotFound(f"There is no such {thing.words} in your club.")
        _may_see(session, caller, thing, row)
        body: dict[str, Any] = row.body()
        return body


def record_versions(database: Database, caller: Caller, thing: Thing, record_id: str) -> list[dict[str, Any]]:
    """Every state the record has had, the oldest first."""
    with database.read() as session:
        row = session.get(thing.model, (caller.club_id, record_id))
        if row is None:
            raise NotFound(f"There is no such {thing.words} in your club.")
        _may_see(session, caller, thing, row)
        entries = session.execute(
            select(JournalEntry.body)
            .where(
                JournalEntry.club_id == caller.club_id,
                JournalEntry.thing == thing.name,
                JournalEntry.record_id == record_id,
            )
            .order_by(JournalEntry.revision)
        ).scalars()
        return list(entries)


def record_at_version(
    database: Database, caller: Caller, thing: Thing, record_id: str, version: int
) -> dict[str, Any]:
    """The record as it stood at a version."""
    body: dict[str, Any]
    for body in reversed(record_versions(database, caller, thing, record_id)):
        if body["version"] == version:
            return body
    raise NotFound(f"This {thing.words} has no version {version}.")


@dataclass(frozen=True)
class Page:
    """Some records of a list, and the id after which the next page starts (None at the end)."""

    items: list[dict[str, Any]]
    next_cursor: str | None


def list_records(
    database: Database,
    caller: Caller,
    thing: Thing,
    *,
    limit: int,
    cursor: str | None = None,
    stone_id: str | None = None,
    lot_id: str | None = None,
    withdrawn: bool = False,
) -> Page:
    """Records in the order of their ids, which is about the order in which they were made."""
    model = thing.model
    wanted: list[ColumnElement[bool]] = [model.club_id == caller.club_id]
    if cursor is not None:
        wanted.append(model.id > cursor)
    if stone_id is not None:
        wanted.append(model.stone_id == stone_id)
    if lot_id is not None:
        wanted.append(model.lot_id == lot_id)
    if not withdrawn:
        wanted.append(model.withdrawn_at.is_(None))
    if not caller.sees_all:
        if thing.name in HIDDEN_FROM_TESTERS:
            raise _hidden(thing)
        if thing.name in OWN_ONLY:
            wanted.append(model.created_by == caller.member_id)
    with database.read() as session:
        rows = (
            session.execute(select(model).where(*wanted).order_by(model.id).limit(limit + 1)).scalars().all()
        )
        items = [row.body() for row in rows[:limit]]
    return Page(items, items[-1]["id"] if len(rows) > limit else None)


def trials_of_stone(database: Database, caller: Caller, stone_id: str) -> list[dict[str, Any]]:
    """All trials of a stone, the oldest first, for those who may see them; excluded and withdrawn ones too."""
    with database.read() as session:
        if session.get(THINGS["stone"].model, (caller.club_id, stone_id)) is None:
            raise NotFound("There is no such stone in your club.")
        if not caller.sees_all and not has_own_trial(session, caller, stone_id):
            raise Blind("You see others' trials of this stone once your own trial of it is in.")
        rows = session.execute(
            select(Trial)
            .where(Trial.club_id == caller.club_id, Trial.stone_id == stone_id)
            .order_by(Trial.finished_at, Trial.id)
        ).scalars()
        return [row.body() for row in rows]


@dataclass(frozen=True)
class Changes:
    """Records written after a revision, each once, in its present state."""

    entries: list[dict[str, Any]]
    next_after: int
    more: bool


def changes_after(database: Database, caller: Caller, after: int, limit: int) -> Changes:
    """What changed in the club after a revision, in the order of revisions.

    A record written again while a phone walks the pages moves to its new place and is met there, so the walk
    ends with every record in its latest state. Nothing can appear behind the cursor: revisions commit in order.
    """
    wanted: list[ColumnElement[bool]] = [
        JournalEntry.club_id == caller.club_id,
        JournalEntry.revision > after,
        JournalEntry.latest.is_(True),
    ]
    if not caller.sees_all:
        wanted.append(JournalEntry.thing.not_in(tuple(HIDDEN_FROM_TESTERS)))
        wanted.append(or_(JournalEntry.thing.not_in(OWN_ONLY), JournalEntry.author_id == caller.member_id))
    with database.read() as session:
        # The counter is read first: an entry that commits after it has a higher revision than the cursor given.
        head = session.execute(
            select(ClubRevision.revision).where(ClubRevision.club_id == caller.club_id)
        ).scalar_one()
        rows = (
            session.execute(
                select(JournalEntry)
                .where(and_(*wanted), JournalEntry.revision <= head)
                .order_by(JournalEntry.revision)
                .limit(limit + 1)
            )
            .scalars()
            .all()
        )
    entries = [
        {"thing": row.thing, "id": row.record_id, "revision": row.revision, "record": row.body}
        for row in rows[:limit]
    ]
    more = len(rows) > limit
    return Changes(entries, rows[limit - 1].revision if more else max(head, after), more)
