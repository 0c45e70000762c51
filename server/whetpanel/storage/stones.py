"""Lots, stones and the reference blades."""

from datetime import date
from typing import Any

from sqlalchemy import Boolean, Date, Float, ForeignKeyConstraint, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin
from .types import Json, RecordId


class Lot(RecordMixin, Base):
    """Stones that came in together."""

    __tablename__ = "lots"
    THING = "lot"
    FIELDS = ("code", "name", "quarry", "received_on", "notes")

    code: Mapped[str] = mapped_column(String(20))
    name: Mapped[str] = mapped_column(String(120))
    quarry: Mapped[str] = mapped_column(String(120))
    received_on: Mapped[date | None] = mapped_column(Date)
    notes: Mapped[str] = mapped_column(Text)


class Stone(RecordMixin, Base):
    """One whetstone: what it is, how large, how heavy, and which marks must not be lapped away."""

    __tablename__ = "stones"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "lot_id"], ["lots.club_id", "lots.id"]),
        Index(None, "club_id", "revision"),
        Index(None, "club_id", "code"),
    )
    THING = "stone"
    FIELDS = (
        "code", "lot_id", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour",
        "marks", "sides_sealed", "photos", "notes",
    )  # fmt: skip

    code: Mapped[str] = mapped_column(String(20))
    lot_id: Mapped[str] = mapped_column(RecordId)
    kind: Mapped[str] = mapped_column(String(20))
    form: Mapped[str] = mapped_column(String(20))
    length_mm: Mapped[float] = mapped_column(Float)
    width_mm: Mapped[float] = mapped_column(Float)
    thickness_mm: Mapped[float] = mapped_column(Float)
    mass_g: Mapped[float | None] = mapped_column(Float)
    colour: Mapped[str] = mapped_column(String(120))
    marks: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    sides_sealed: Mapped[bool] = mapped_column(Boolean)
    photos: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    notes: Mapped[str] = mapped_column(Text)


class Blade(RecordMixin, Base):
    """A reference blade; ``steel`` is the key by which trials are pooled."""

    __tablename__ = "blades"
    THING = "blade"
    FIELDS = (
        "name", "steel", "steel_name", "steel_class", "construction", "hardness_hrc", "form", "notes",
    )  # fmt: skip

    name: Mapped[str] = mapped_column(String(120))
    steel: Mapped[str] = mapped_column(String(40))
    steel_name: Mapped[str] = mapped_column(String(80))
    steel_class: Mapped[str] = mapped_column(String(20))
    construction: Mapped[str] = mapped_column(String(20))
    hardness_hrc: Mapped[float | None] = mapped_column(Float)
    form: Mapped[str] = mapped_column(String(20))
    notes: Mapped[str] = mapped_column(Text)
