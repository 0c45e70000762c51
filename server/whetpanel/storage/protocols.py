"""What a club agrees on: its protocols and its soundness rules."""

from typing import Any

from sqlalchemy import String, Text
from sqlalchemy.orm import Mapped, mapped_column

from .base import Base
from .record import RecordMixin
from .types import Json


class Protocol(RecordMixin, Base):
    """How a trial is done. Its earlier versions stay in the journal, since trials name the one they followed."""

    __tablename__ = "protocols"
    THING = "protocol"
    FIELDS = (
        "name", "purpose", "summary", "reference_steels", "cautions", "steps", "scales", "observations",
    )  # fmt: skip

    name: Mapped[str] = mapped_column(String(120))
    purpose: Mapped[str] = mapped_column(String(20))
    summary: Mapped[str] = mapped_column(Text)
    reference_steels: Mapped[list[str]] = mapped_column(Json)
    cautions: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    steps: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    scales: Mapped[list[dict[str, Any]]] = mapped_column(Json)
    observations: Mapped[list[dict[str, Any]]] = mapped_column(Json)


class RuleSet(RecordMixin, Base):
    """The club's soundness rules; one a club, with its history in the journal."""

    __tablename__ = "rule_sets"
    THING = "rule_set"
    FIELDS = ("name", "rules")

    name: Mapped[str] = mapped_column(String(120))
    rules: Mapped[list[dict[str, Any]]] = mapped_column(Json)
