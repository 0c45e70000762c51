"""Inspections as a phone sends them, for stories that begin after one."""

from typing import Any

from tests.conftest import new_id
from tests.e2e.club import Record


def inspection_with(stone: Record, **changes: Any) -> Record:
    return {
        "stone_id": stone["id"], "face": "front", "thickness_mm": 25, "inspected_at": "2026-03-01T10:00:00Z",
        "water_uptake_s": 400, "tap_tone": "ring", "sides_sealed": True, **changes,
    }  # fmt: skip


def scratching_inclusion() -> Record:
    """It catches and scratches, so it is relieved below the face (common practice, no source)."""
    return {
        "id": new_id(), "kind": "inclusion", "points": [{"x_mm": 60, "y_mm": 30}], "size_mm": 2,
        "catches_edge": True, "scratches_finish": True,
    }  # fmt: skip
