"""How every record is written: once, in turn, and never over another's change.

A phone sends a record until it hears an answer, so each write must bear repetition. Three cases look alike
from here and must be told apart: the same write again (harmless), a change made with the present version in
hand (taken), and a change made without it (refused, with the present record, so that a person can decide).
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from ..clock import Clock
from ..errors import Conflict, NotAllowed, NotFound, PreconditionFailed, PreconditionMissing
from ..storage.base import Database
from ..storage.record import RecordMixin, content_digest
from ..storage.schema import ClubRevision, JournalEntry, Trial
from .caller import Caller
from .things import THINGS, Thing, WriteContext

Outcome = Literal["created", "changed", "same"]


@dataclass(frozen=True)
class Written:
    """The record as it now stands, and what this write did to it."""

    body: dict[str, Any]
    outcome: Outcome


class _NothingToWriteError(Exception):
    """Leaves the transaction without a commit, so that a repeated write takes no revision."""

    def __init__(self, body: dict[str, Any]) -> None:
        super().__init__()
        self.body = body


def take_revision(session: Session, club_id: str) -> int:
    """The club's next revision. The row stays locked until the transaction ends: writers of a club queue here."""
    revision = session.execute(
        update(ClubRevision)
        .where(ClubRevision.club_id == club_id)
        .values(revision=ClubRevision.revision + 1)
        .returning(ClubRevision.revision)
    ).scalar_one_or_none()
    if revision is None:
        raise NotFound("There is no such club.")
    return revision


def note_in_journal(
    session: Session, row: RecordMixin, *, base_version: int, member_id: str | None, at: datetime
) -> None:
    """Add the record's present state to the club's journal."""
    session.flush()
    session.execute(
        update(JournalEntry)
        .where(
            JournalEntry.club_id == row.club_id,
            JournalEntry.thing == row.THING,
            JournalEntry.record_id == row.id,
            JournalEntry.latest,
        )
        .values(latest=False)
    )
    session.add(
        JournalEntry(
            club_id=row.club_id,
            revision=row.revision,
            thing=row.THING,
            record_id=row.id,
            version=row.version,
            base_version=base_version,
            digest=row.digest,
            latest=True,
            member_id=member_id,
            author_id=row.created_by,
            written_at=at,
            body=row.body(),
        )
    )


def _was_written_before(
    session: Session, caller: Caller, thing: Thing, record_id: str, digest: str, base_version: int
) -> bool:
    """Whether this very write has been taken already: its answer was lost, and others may have written since."""
    return (
        session.execute(
            select(JournalEntry.revision)
            .where(
                JournalEntry.club_id == caller.club_id,
                JournalEntry.thing == thing.name,
                JournalEntry.record_id == record_id,
                JournalEntry.digest == digest,
                JournalEntry.base_version == base_version,
                JournalEntry.member_id == caller.member_id,
            )
            .limit(1)
        ).first()
        is not None
    )


def put_record(
    database: Database,
    clock: Clock,
    caller: Caller,
    thing: Thing,
    record_id: str,
    fields: dict[str, Any],
    *,
    recorded_at: datetime | None = None,
    base_version: int | None = None,
) -> Written:
    """Write a record whose id the sender made.

    ``base_version`` is the version the sender changed (If-Match), or None. Raises NotAllowed, Invalid, Conflict,
    NotFound (a base version of a record that does not exist), PreconditionMissing, PreconditionFailed.
    """
    caller.require(*thing.writers)
    digest = content_digest(fields)
    now = clock()
    try:
        with database.write() as session:
            # The revision is taken first of all: it is also the lock under which everything below is true.
            revision = take_revision(session, caller.club_id)
            row = session.get(thing.model, (caller.club_id, record_id))
            context = WriteContext(session, caller, now, record_id, row)
            if row is None:
                if base_version is not None:
                    raise NotFound(
                        f"You named version {base_version} of a {thing.words} that is not here. "
                        "Send it without If-Match to create it."
                    )
                thing.check(context, fields)
                row = thing.model(
                    club_id=caller.club_id,
                    id=record_id,
                    version=1,
                    created_by=caller.member_id,
                    created_at=now,
                )
                outcome: Outcome = "created"
            else:
                # Whose record it is comes before what it holds: a refusal must not show it to a stranger.
                _require_author(thing, caller, row)
                if row.digest == digest or _was_written_before(
                    session, caller, thing, record_id, digest, base_version or 0
                ):
                    raise _NothingToWriteError(row.body())
                if thing.immutable:
                    raise Conflict(f"A {thing.words} never changes. Withdraw it and issue another.")
                _require_version(thing, row, base_version)
                if row.withdrawn_at is not None:
                    raise Conflict(f"This {thing.words} is withdrawn. Start a new one instead.")
                thing.check(context, fields)
                row.version += 1
                outcome = "changed"
            row.revision, row.digest = revision, digest
            row.recorded_at, row.updated_by, row.updated_at = recorded_at, caller.member_id, now
            row.assign(fields)
            thing.derive(context, row, fields)
            session.add(row)
            note_in_journal(session, row, base_version=base_version or 0, member_id=caller.member_id, at=now)
            return Written(row.body(), outcome)
    except _NothingToWriteError as nothing:
        return Written(nothing.body, "same")


def _require_author(thing: Thing, caller: Caller, row: RecordMixin) -> None:
    if thing.author_only and row.created_by != caller.member_id:
        raise NotAllowed(f"This {thing.words} is another member's. You can only change your own.")


def _require_version(thing: Thing, row: RecordMixin, base_version: int | None) -> None:
    if base_version is None:
        raise PreconditionMissing(
            f"This {thing.words} exists with other content. Say in If-Match which version you change.",
            row.body(),
        )
    if base_version != row.version:
        raise PreconditionFailed(
            f"This {thing.words} has changed since version {base_version}: it is at version {row.version} now. "
            "Look at both and decide.",
            row.body(),
        )


def _rewrite(
    database: Database,
    clock: Clock,
    caller: Caller,
    thing: Thing,
    record_id: str,
    *,
    stands: Callable[[Any], bool],
    change: Callable[[Any, datetime], None],
    allowed: Callable[[RecordMixin], None],
    base_version: int | None,
    new_version: bool,
) -> Written:
    """Change a record's standing, not its content. ``stands`` tells that nothing is left to do."""
    now = clock()
    try:
        with database.write() as session:
            revision = take_revision(session, caller.club_id)
            row = session.get(thing.model, (caller.club_id, record_id))
            if row is None:
                raise NotFound(f"There is no such {thing.words} in your club.")
            allowed(row)
            if stands(row):
                raise _NothingToWriteError(row.body())
            if base_version is not None:
                _require_version(thing, row, base_version)
            base = row.version
            change(row, now)
            row.revision, row.updated_by, row.updated_at = revision, caller.member_id, now
            if new_version:
                row.version += 1
            note_in_journal(session, row, base_version=base, member_id=caller.member_id, at=now)
            return Written(row.body(), "changed")
    except _NothingToWriteError as nothing:
        return Written(nothing.body, "same")


def withdraw_record(
    database: Database,
    clock: Clock,
    caller: Caller,
    thing: Thing,
    record_id: str,
    reason: str,
    *,
    base_version: int | None = None,
) -> Written:
    """Take a record out of use, with who, when and why. It stays readable. Withdrawing again changes nothing."""

    def change(row: RecordMixin, now: datetime) -> None:
        row.withdrawn_at, row.withdrawn_by, row.withdrawn_reason = now, caller.member_id, reason

    def allowed(row: RecordMixin) -> None:
        if not (thing.author_only and row.created_by == caller.member_id):
            caller.require(*thing.withdrawers)

    return _rewrite(
        database, clock, caller, thing, record_id,
        stands=lambda row: row.withdrawn_at is not None, change=change, allowed=allowed,
        base_version=base_version, new_version=True,
    )  # fmt: skip


def exclude_trial(
    database: Database, clock: Clock, caller: Caller, record_id: str, reason: str | None
) -> Written:
    """Leave a trial out of pooling with a reason, or (reason None) count it again.

    The version is the author's and stays: a tester who amends the trial meanwhile must not be refused for it.
    """

    def change(row: Trial, now: datetime) -> None:
        row.excluded_at = now if reason is not None else None
        row.excluded_by = caller.member_id if reason is not None else None
        row.excluded_reason = reason

    return _rewrite(
        database, clock, caller, THINGS["trial"], record_id,
        stands=lambda row: row.excluded_reason == reason, change=change,
        allowed=lambda row: caller.require("dealer", "steward"),
        base_version=None, new_version=False,
    )  # fmt: skip
