"""Published grades. A slip is written once and never changes."""

from datetime import date
from typing import Any

from sqlalchemy import Date, ForeignKeyConstraint, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin, wire
from .types import Json, RecordId


class Slip(RecordMixin, Base):
    """What the club said of a stone on a day, and on which evidence."""

    __tablename__ = "slips"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
        Index(None, "code", unique=True),
    )
    THING = "slip"
    FIELDS = ("stone_id", "purpose", "override_reason", "notes")
    FIXED = (
        "code", "issued_on", "stone", "grades", "evidence", "findings", "care", "method_version",
        "inputs_digests", "pool_revision", "club_name",
    )  # fmt: skip

    stone_id: Mapped[str] = mapped_column(RecordId)
    purpose: Mapped[str] = mapped_column(String(20))
    override_reason: Mapped[str | None] = mapped_column(Text)
    notes: Mapped[str] = mapped_column(Text)
    code: Mapped[str] = mapped_column(String(20))
    issued_on: Mapped[date] = mapped_column(Date)
    stone: Mapped[dict[str, Any]] = mapped_column(Json)
    grades: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    evidence: Mapped[dict[str, Any]] = mapped_column(Json)
    findings: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    care: Mapped[list[str]] = mapped_column(Json)
    method_version: Mapped[str] = mapped_column(String(40))
    inputs_digests: Mapped[dict[str, str]] = mapped_column(Json)
    pool_revision: Mapped[int]
    club_name: Mapped[str] = mapped_column(String(120))

    def derived_fields(self) -> dict[str, Any]:
        """Everything the service fixed at issue."""
        return {name: wire(getattr(self, name)) for name in self.FIXED}

    def take_derived(self, body: dict[str, Any]) -> None:
        """Everything the service fixed at issue."""
        for name in self.FIXED:
            setattr(self, name, body[name])
