"""Trials with their grades, what the dealer set aside, and the check stones."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import Date, Float, ForeignKeyConstraint, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from .base import Base
from .record import RecordMixin, wire, wire_time
from .types import Json, RecordId, UtcDateTime


class TrialGrade(Base):
    """One grade of one trial: a row, because pooling reads thousands of them by scale."""

    __tablename__ = "trial_grades"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "trial_id"], ["trials.club_id", "trials.id"], ondelete="CASCADE"),
    )

    club_id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    trial_id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    scale: Mapped[str] = mapped_column(String(40), primary_key=True)
    grade: Mapped[float] = mapped_column(Float)


class Trial(RecordMixin, Base):
    """One tester, one stone, one blade, by one version of a protocol."""

    __tablename__ = "trials"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        ForeignKeyConstraint(["club_id", "blade_id"], ["blades.club_id", "blades.id"]),
        ForeignKeyConstraint(["club_id", "protocol_id"], ["protocols.club_id", "protocols.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
        Index(None, "club_id", "created_by"),
    )
    THING = "trial"
    PLAIN = (
        "stone_id", "blade_id", "protocol_id", "protocol_version", "face", "thickness_mm", "started_at",
        "finished_at", "observations", "photos", "notes",
    )  # fmt: skip
    FIELDS = (*PLAIN, "grades")

    stone_id: Mapped[str] = mapped_column(RecordId)
    blade_id: Mapped[str] = mapped_column(RecordId)
    protocol_id: Mapped[str] = mapped_column(RecordId)
    protocol_version: Mapped[int] = mapped_column(Integer)
    face: Mapped[str] = mapped_column(String(10))
    thickness_mm: Mapped[float | None] = mapped_column(Float)
    started_at: Mapped[datetime] = mapped_column(UtcDateTime)
    finished_at: Mapped[datetime] = mapped_column(UtcDateTime)
    observations: Mapped[dict[str, Any]] = mapped_column(Json)
    photos: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    notes: Mapped[str] = mapped_column(Text)
    excluded_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    excluded_by: Mapped[str | None] = mapped_column(RecordId)
    excluded_reason: Mapped[str | None] = mapped_column(Text)

    grade_rows: Mapped[list[TrialGrade]] = relationship(
        order_by=TrialGrade.scale, cascade="all, delete-orphan", lazy="selectin"
    )

    def own_fields(self) -> dict[str, Any]:
        """The trial with its grades by scale."""
        fields = {name: wire(getattr(self, name)) for name in self.PLAIN}
        fields["grades"] = {row.scale: row.grade for row in self.grade_rows}
        return fields

    def derived_fields(self) -> dict[str, Any]:
        """A trial the dealer set aside says so, with who, when and why."""
        if self.excluded_at is None:
            return {"excluded": None}
        return {
            "excluded": {
                "at": wire_time(self.excluded_at),
                "by": self.excluded_by,
                "reason": self.excluded_reason,
            }
        }

    def take_derived(self, body: dict[str, Any]) -> None:
        """Who left the trial out, if anybody did."""
        if body["excluded"] is not None:
            self.excluded_at = datetime.fromisoformat(body["excluded"]["at"])
            self.excluded_by, self.excluded_reason = body["excluded"]["by"], body["excluded"]["reason"]

    def assign(self, fields: dict[str, Any]) -> None:
        """Grades are matched by scale, so that an amended trial keeps the rows that stayed."""
        for name in self.PLAIN:
            setattr(self, name, fields[name])
        known = {row.scale: row for row in self.grade_rows}
        rows = []
        for scale, grade in fields["grades"].items():
            row = known.get(scale) or TrialGrade(club_id=self.club_id, scale=scale)
            row.grade = grade
            rows.append(row)
        self.grade_rows = rows


class CheckStone(RecordMixin, Base):
    """A stone whose grade the club has agreed on, circulated to calibrate testers."""

    __tablename__ = "check_stones"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
    )
    THING = "check_stone"
    FIELDS = ("stone_id", "purpose", "grades", "agreed_on", "notes")

    stone_id: Mapped[str] = mapped_column(RecordId)
    purpose: Mapped[str] = mapped_column(String(20))
    grades: Mapped[dict[str, Any]] = mapped_column(Json)
    agreed_on: Mapped[date] = mapped_column(Date)
    notes: Mapped[str] = mapped_column(Text)
