"""What was done to a stone: repairs, and lappings from which the club learns its own rate."""

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, Float, ForeignKeyConstraint, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin
from .types import Json, RecordId, UtcDateTime


class Repair(RecordMixin, Base):
    """The answer to one verdict of an inspection: done, or found not to be needed. Open work is never typed in."""

    __tablename__ = "repairs"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        ForeignKeyConstraint(["club_id", "inspection_id"], ["inspections.club_id", "inspections.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
    )
    THING = "repair"
    FIELDS = (
        "stone_id", "inspection_id", "finding_id", "rule_id", "verdict", "outcome", "done_at", "with_what",
        "photos", "notes",
    )  # fmt: skip

    stone_id: Mapped[str] = mapped_column(RecordId)
    inspection_id: Mapped[str] = mapped_column(RecordId)
    finding_id: Mapped[str | None] = mapped_column(RecordId)
    rule_id: Mapped[str] = mapped_column(String(40))
    verdict: Mapped[str] = mapped_column(String(80))
    outcome: Mapped[str] = mapped_column(String(20))
    done_at: Mapped[datetime] = mapped_column(UtcDateTime)
    with_what: Mapped[str] = mapped_column(Text)
    photos: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    notes: Mapped[str] = mapped_column(Text)


class Lapping(RecordMixin, Base):
    """One lapping of a face: grit, strokes, force, and what came off."""

    __tablename__ = "lappings"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
    )
    THING = "lapping"
    FIELDS = (
        "stone_id", "face", "lapped_at", "grit_system", "grit_number", "strokes", "stroke_mm", "force_n",
        "removed_um", "thickness_after_mm", "marked_face_agreed", "notes",
    )  # fmt: skip

    stone_id: Mapped[str] = mapped_column(RecordId)
    face: Mapped[str] = mapped_column(String(10))
    lapped_at: Mapped[datetime] = mapped_column(UtcDateTime)
    grit_system: Mapped[str] = mapped_column(String(10))
    grit_number: Mapped[int] = mapped_column(Integer)
    strokes: Mapped[int | None] = mapped_column(Integer)
    stroke_mm: Mapped[float | None] = mapped_column(Float)
    force_n: Mapped[float | None] = mapped_column(Float)
    removed_um: Mapped[float | None] = mapped_column(Float)
    thickness_after_mm: Mapped[float | None] = mapped_column(Float)
    marked_face_agreed: Mapped[bool] = mapped_column(Boolean)
    notes: Mapped[str] = mapped_column(Text)
