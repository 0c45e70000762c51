"""Inspections and their findings."""

from datetime import datetime
from typing import Any

from sqlalchemy import Boolean, Float, ForeignKeyConstraint, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from .base import Base
from .record import RecordMixin, wire
from .types import Json, RecordId, UtcDateTime

FINDING_FIELDS = (
    "id", "kind", "points", "size_mm", "depth_mm", "dip_deg", "catches_nail", "catches_edge",
    "scratches_finish", "stays_dark_wet", "moves_when_pressed", "relieved", "notes",
)  # fmt: skip


class Finding(Base):
    """One thing seen on a face, in face coordinates: mm from one corner, x along the length."""

    __tablename__ = "findings"
    __table_args__ = (
        ForeignKeyConstraint(
            ["club_id", "inspection_id"], ["inspections.club_id", "inspections.id"], ondelete="CASCADE"
        ),
        Index(None, "club_id", "inspection_id"),
    )

    club_id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    inspection_id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    position: Mapped[int] = mapped_column(Integer)
    kind: Mapped[str] = mapped_column(String(20))
    points: Mapped[list[dict[str, float]]] = mapped_column(Json)
    size_mm: Mapped[float | None] = mapped_column(Float)
    depth_mm: Mapped[float | None] = mapped_column(Float)
    dip_deg: Mapped[float | None] = mapped_column(Float)
    catches_nail: Mapped[bool | None] = mapped_column(Boolean)
    catches_edge: Mapped[bool | None] = mapped_column(Boolean)
    scratches_finish: Mapped[bool | None] = mapped_column(Boolean)
    stays_dark_wet: Mapped[bool | None] = mapped_column(Boolean)
    moves_when_pressed: Mapped[bool | None] = mapped_column(Boolean)
    relieved: Mapped[bool] = mapped_column(Boolean)
    notes: Mapped[str] = mapped_column(Text)


class Inspection(RecordMixin, Base):
    """A look at one face of a stone, with the verdicts that the rules gave at that time."""

    __tablename__ = "inspections"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "stone_id"),
    )
    THING = "inspection"
    PLAIN = (
        "stone_id", "face", "thickness_mm", "inspected_at", "water_uptake_s", "drop_state", "dry_mass_g",
        "wet_mass_g", "tap_tone", "sides_sealed", "flatness", "photos", "notes",
    )  # fmt: skip
    FIELDS = (*PLAIN, "findings")

    stone_id: Mapped[str] = mapped_column(RecordId)
    face: Mapped[str] = mapped_column(String(10))
    thickness_mm: Mapped[float | None] = mapped_column(Float)
    inspected_at: Mapped[datetime] = mapped_column(UtcDateTime)
    water_uptake_s: Mapped[float | None] = mapped_column(Float)
    drop_state: Mapped[str | None] = mapped_column(String(20))
    dry_mass_g: Mapped[float | None] = mapped_column(Float)
    wet_mass_g: Mapped[float | None] = mapped_column(Float)
    tap_tone: Mapped[str | None] = mapped_column(String(20))
    sides_sealed: Mapped[bool | None] = mapped_column(Boolean)
    flatness: Mapped[dict[str, Any] | None] = mapped_column(Json)
    photos: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    notes: Mapped[str] = mapped_column(Text)
    verdicts: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    rule_set_version: Mapped[int] = mapped_column(Integer)

    finding_rows: Mapped[list[Finding]] = relationship(
        order_by=Finding.position, cascade="all, delete-orphan", lazy="selectin"
    )

    def own_fields(self) -> dict[str, Any]:
        """The inspection with its findings inside."""
        fields = {name: wire(getattr(self, name)) for name in self.PLAIN}
        fields["findings"] = [
            {name: wire(getattr(row, name)) for name in FINDING_FIELDS} for row in self.finding_rows
        ]
        return fields

    def derived_fields(self) -> dict[str, Any]:
        """The verdicts belong to the rule set that was in force."""
        return {"verdicts": self.verdicts, "rule_set_version": self.rule_set_version}

    def take_derived(self, body: dict[str, Any]) -> None:
        """The verdicts as they were given then."""
        self.verdicts, self.rule_set_version = body["verdicts"], body["rule_set_version"]

    def assign(self, fields: dict[str, Any]) -> None:
        """Findings are matched by id, so that an amended inspection keeps the rows that stayed."""
        for name in self.PLAIN:
            setattr(self, name, fields[name])
        known = {row.id: row for row in self.finding_rows}
        rows = []
        for position, given in enumerate(fields["findings"]):
            row = known.get(given["id"]) or Finding(club_id=self.club_id, id=given["id"])
            row.position = position
            for name in FINDING_FIELDS[1:]:
                setattr(row, name, given[name])
            rows.append(row)
        self.finding_rows = rows
