"""Column types that guard meaning."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, DateTime, Uuid
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

RecordId = Uuid(as_uuid=False)
"""A UUID as text; sixteen bytes where the database knows the type."""

Json = JSON().with_variant(JSONB(), "postgresql")
"""Nested content that is never searched by SQL."""


class UtcDateTime(TypeDecorator[datetime]):
    """An aware moment in UTC. A naive one is refused: it would be somebody's local time, nobody knows whose."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a time zone cannot be stored")
        return value.astimezone(UTC)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:  # SQLite gives back what it was given, without its zone
            return value.replace(tzinfo=UTC)  # type: ignore[no-any-return]
        return value.astimezone(UTC)  # type: ignore[no-any-return]
