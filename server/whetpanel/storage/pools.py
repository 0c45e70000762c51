"""Pooled results, kept so that they are computed once for each state of a club."""

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Integer, String
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .types import Json, RecordId, UtcDateTime


class PoolResult(Base):
    """The pooled grades of one club, purpose and scale at one revision of what they are made from."""

    __tablename__ = "pool_results"

    club_id: Mapped[str] = mapped_column(RecordId, ForeignKey("club_revisions.club_id"), primary_key=True)
    purpose: Mapped[str] = mapped_column(String(20), primary_key=True)
    scale: Mapped[str] = mapped_column(String(40), primary_key=True)
    revision: Mapped[int] = mapped_column(Integer, primary_key=True)
    method_version: Mapped[str] = mapped_column(String(40))
    computed_at: Mapped[datetime] = mapped_column(UtcDateTime)
    result: Mapped[dict[str, Any]] = mapped_column(Json)
    readings: Mapped[dict[str, Any]] = mapped_column(Json)
    """By stone, what each trial did and how the grade came about; large, so kept apart from what lists show."""
    drifts: Mapped[dict[str, Any]] = mapped_column(Json)
    """Each tester's drift charts; kept apart for the same reason."""
    posteriors: Mapped[dict[str, Any]] = mapped_column(Json, default=dict)
    """Each stone's grades with all steels together, as one normal law; from these stones are matched to blades."""
