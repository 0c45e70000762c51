"""Who shall try what, and who has which stone."""

from datetime import date, datetime

from sqlalchemy import Date, ForeignKeyConstraint, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin
from .types import RecordId, UtcDateTime


class Assignment(RecordMixin, Base):
    """A trial that the dealer asks of a tester. It is done once that tester has sent such a trial."""

    __tablename__ = "assignments"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        ForeignKeyConstraint(["club_id", "tester_id"], ["members.club_id", "members.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "tester_id"),
    )
    THING = "assignment"
    FIELDS = ("stone_id", "tester_id", "purpose", "steel", "due_on", "notes")

    stone_id: Mapped[str] = mapped_column(RecordId)
    tester_id: Mapped[str] = mapped_column(RecordId)
    purpose: Mapped[str] = mapped_column(String(20))
    steel: Mapped[str | None] = mapped_column(String(40))
    due_on: Mapped[date | None] = mapped_column(Date)
    notes: Mapped[str] = mapped_column(Text)


class HandOver(RecordMixin, Base):
    """A stone changes hands. The last one tells who has it; no holder means that it is back with the dealer."""

    __tablename__ = "hand_overs"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
    )
    THING = "hand_over"
    FIELDS = ("stone_id", "holder_id", "handed_at", "notes")

    stone_id: Mapped[str] = mapped_column(RecordId)
    holder_id: Mapped[str | None] = mapped_column(RecordId)
    handed_at: Mapped[datetime] = mapped_column(UtcDateTime)
    notes: Mapped[str] = mapped_column(Text)
