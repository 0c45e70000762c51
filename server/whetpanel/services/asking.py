"""What is asked of testers and not done yet, and who has which stone. The phone works both out in the same way."""

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..storage.schema import Assignment, Blade, HandOver, Protocol, Trial


def open_assignments(session: Session, club_id: str, purpose: str | None = None) -> list[Assignment]:
    """Assignments that nobody has done or withdrawn, the oldest first; of one purpose if named.

    One is done by a trial of its tester on its stone, for its purpose and with its steel if it names one, finished
    after it was asked. A trial that is left out of the pooling was done all the same.
    """
    asked = select(Assignment).where(Assignment.club_id == club_id, Assignment.withdrawn_at.is_(None))
    if purpose is not None:
        asked = asked.where(Assignment.purpose == purpose)
    assignments = session.execute(asked.order_by(Assignment.created_at, Assignment.id)).scalars().all()
    if not assignments:
        return []
    done = session.execute(
        select(Trial.created_by, Trial.stone_id, Protocol.purpose, Blade.steel, Trial.finished_at)
        .join(Protocol, (Protocol.club_id == Trial.club_id) & (Protocol.id == Trial.protocol_id))
        .join(Blade, (Blade.club_id == Trial.club_id) & (Blade.id == Trial.blade_id))
        .where(
            Trial.club_id == club_id,
            Trial.withdrawn_at.is_(None),
            Trial.finished_at > min(one.created_at for one in assignments),
        )
    ).all()
    finished: dict[tuple[str | None, str, str], list[tuple[str, datetime]]] = {}
    for who, stone, what, steel, finished_at in done:
        finished.setdefault((who, stone, what), []).append((steel, finished_at))
    return [
        one
        for one in assignments
        if not any(
            one.steel in (None, steel) and finished_at > one.created_at
            for steel, finished_at in finished.get((one.tester_id, one.stone_id, one.purpose), ())
        )
    ]


def holders_now(session: Session, club_id: str) -> dict[str, str]:
    """Stone → the member who has it, by the last hand-over; a stone that is with the dealer is not listed."""
    rows = session.execute(
        select(HandOver.stone_id, HandOver.holder_id)
        .where(HandOver.club_id == club_id, HandOver.withdrawn_at.is_(None))
        .order_by(HandOver.handed_at, HandOver.id)
    ).all()
    last = {row.stone_id: row.holder_id for row in rows}
    return {stone_id: holder_id for stone_id, holder_id in last.items() if holder_id is not None}
