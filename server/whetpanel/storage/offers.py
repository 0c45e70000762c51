"""What the dealer's trade keeps beside the stones: what each cost and fetches, and shortlists made for buyers."""

from datetime import date
from typing import Any

from sqlalchemy import Date, Float, ForeignKeyConstraint, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin, wire
from .types import Json, RecordId


class Offer(RecordMixin, Base):
    """Whether a stone is for sale, what it cost and what is asked for it. Its id is the stone's: one a stone."""

    __tablename__ = "offers"
    __table_args__ = (
        ForeignKeyConstraint(["club_id", "stone_id"], ["stones.club_id", "stones.id"]),
        Index(None, "club_id", "revision"),
    )
    THING = "offer"
    FIELDS = ("stone_id", "state", "cost", "price", "currency", "notes")

    stone_id: Mapped[str] = mapped_column(RecordId)
    state: Mapped[str] = mapped_column(String(20))
    cost: Mapped[float | None] = mapped_column(Float)
    price: Mapped[float | None] = mapped_column(Float)
    currency: Mapped[str] = mapped_column(String(3))
    notes: Mapped[str] = mapped_column(Text)


class Shortlist(RecordMixin, Base):
    """Stones found for one buyer on one day, as the grades stood then. Written once, as a slip is."""

    __tablename__ = "shortlists"
    __table_args__ = (
        Index(None, "club_id", "revision"),
        Index(None, "code", unique=True),
    )
    THING = "shortlist"
    FIELDS = ("name", "wish", "stone_ids", "notes")
    FIXED = ("code", "made_on", "club_name", "found", "method_version", "pool_revision")

    name: Mapped[str] = mapped_column(String(120))
    wish: Mapped[dict[str, Any]] = mapped_column(Json)
    stone_ids: Mapped[list[str]] = mapped_column(Json)
    notes: Mapped[str] = mapped_column(Text)
    code: Mapped[str] = mapped_column(String(20))
    made_on: Mapped[date] = mapped_column(Date)
    club_name: Mapped[str] = mapped_column(String(120))
    found: Mapped[dict[str, Any]] = mapped_column(Json)
    method_version: Mapped[str] = mapped_column(String(40))
    pool_revision: Mapped[int]

    def derived_fields(self) -> dict[str, Any]:
        """Everything the service fixed when the list was made."""
        return {name: wire(getattr(self, name)) for name in self.FIXED}

    def take_derived(self, body: dict[str, Any]) -> None:
        """Everything the service fixed when the list was made."""
        for name in self.FIXED:
            setattr(self, name, body[name])
