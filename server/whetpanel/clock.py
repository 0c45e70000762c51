"""The only definition of now.

Every room but core takes the time from here, so that a test can pass another clock and no naive
datetime ever enters a record. Core takes no time at all: its answers depend on its inputs alone.
"""

from collections.abc import Callable
from datetime import UTC, datetime

Clock = Callable[[], datetime]


def now() -> datetime:
    """The present moment, timezone-aware, in UTC."""
    return datetime.now(UTC)
