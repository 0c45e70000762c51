"""What every synced record has in common: its key, its versions, and how it is served."""

import hashlib
import json
from datetime import date, datetime
from typing import Any, ClassVar

from sqlalchemy import ForeignKey, Index, Integer, String, Text
from sqlalchemy.orm import Mapped, declared_attr, mapped_column

from .types import RecordId, UtcDateTime


def wire_time(moment: datetime | None) -> str | None:
    """A moment as RFC 3339 text in UTC, milliseconds, closing with Z."""
    if moment is None:
        return None
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def wire(value: Any) -> Any:
    """A column's value as JSON has it."""
    if isinstance(value, datetime):
        return wire_time(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, dict):
        return {key: wire(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [wire(item) for item in value]
    return value


def content_digest(fields: dict[str, Any]) -> str:
    """SHA-256 of a record's own fields in canonical JSON: equal content has an equal digest.

    A whole number counts the same with or without its decimal point, since JSON does not tell 3 from 3.0
    and two phones may write it differently.
    """

    def canonical(value: Any) -> Any:
        if isinstance(value, float) and value.is_integer():
            return int(value)
        if isinstance(value, dict):
            return {key: canonical(item) for key, item in value.items()}
        if isinstance(value, list):
            return [canonical(item) for item in value]
        return value

    text = json.dumps(canonical(wire(fields)), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


class RecordMixin:
    """Key, version and history of one record.

    ``version`` counts the record's own changes and is its entity tag; ``revision`` is the club's counter at
    the last write, and is what a phone's cursor follows.
    """

    THING: ClassVar[str]
    FIELDS: ClassVar[tuple[str, ...]]

    club_id: Mapped[str] = mapped_column(
        RecordId, ForeignKey("club_revisions.club_id", ondelete="RESTRICT"), primary_key=True
    )
    id: Mapped[str] = mapped_column(RecordId, primary_key=True)
    version: Mapped[int] = mapped_column(Integer)
    revision: Mapped[int] = mapped_column(Integer)
    digest: Mapped[str] = mapped_column(String(64))
    recorded_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    created_by: Mapped[str | None] = mapped_column(RecordId)
    created_at: Mapped[datetime] = mapped_column(UtcDateTime)
    updated_by: Mapped[str | None] = mapped_column(RecordId)
    updated_at: Mapped[datetime] = mapped_column(UtcDateTime)
    withdrawn_at: Mapped[datetime | None] = mapped_column(UtcDateTime)
    withdrawn_by: Mapped[str | None] = mapped_column(RecordId)
    withdrawn_reason: Mapped[str | None] = mapped_column(Text)

    @declared_attr.directive
    def __table_args__(cls) -> tuple[Any, ...]:  # noqa: N805 (SQLAlchemy calls it on the class)
        return (Index(None, "club_id", "revision"),)

    def own_fields(self) -> dict[str, Any]:
        """What its author wrote."""
        return {name: wire(getattr(self, name)) for name in self.FIELDS}

    def derived_fields(self) -> dict[str, Any]:
        """What the service adds: nothing, unless a thing says otherwise."""
        return {}

    def take_derived(self, body: dict[str, Any]) -> None:
        """Take what ``derived_fields`` gave once, from a record as it was served."""

    def assign(self, fields: dict[str, Any]) -> None:
        """Take its own fields from a validated write."""
        for name in self.FIELDS:
            setattr(self, name, fields[name])

    def body(self) -> dict[str, Any]:
        """The record as it is served and kept in the journal."""
        withdrawn = None
        if self.withdrawn_at is not None:
            withdrawn = {
                "at": wire_time(self.withdrawn_at),
                "by": self.withdrawn_by,
                "reason": self.withdrawn_reason,
            }
        return {
            "id": self.id,
            "version": self.version,
            "revision": self.revision,
            "recorded_at": wire_time(self.recorded_at),
            "created_by": self.created_by,
            "created_at": wire_time(self.created_at),
            "updated_by": self.updated_by,
            "updated_at": wire_time(self.updated_at),
            "withdrawn": withdrawn,
            **self.own_fields(),
            **self.derived_fields(),
        }
