"""Every state that any record of a club has had, in the order of the club's revisions."""

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .types import Json, RecordId, UtcDateTime


class JournalEntry(Base):
    """One write. Entries are added and never changed, so an amended record keeps its earlier versions."""

    __tablename__ = "journal"
    __table_args__ = (Index(None, "club_id", "thing", "record_id", "version"),)

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    revision: Mapped[int] = mapped_column(Integer, primary_key=True)
    thing: Mapped[str] = mapped_column(String(20))
    record_id: Mapped[str] = mapped_column(RecordId)
    version: Mapped[int] = mapped_column(Integer)
    base_version: Mapped[int] = mapped_column(Integer)
    """The version the writer had in hand; 0 for a new record."""
    digest: Mapped[str] = mapped_column(String(64))
    latest: Mapped[bool] = mapped_column()
    """Whether the record has not been written since; kept so that a phone's catch-up is one index walk."""
    member_id: Mapped[str | None] = mapped_column(RecordId)
    author_id: Mapped[str | None] = mapped_column(RecordId)
    """Who made the record, for what a tester may see."""
    written_at: Mapped[datetime] = mapped_column(UtcDateTime)
    body: Mapped[dict[str, Any]] = mapped_column(Json)
