"""What an inspection may find on a face, in the face's own millimetres."""

from dataclasses import dataclass
from typing import Any

Point = tuple[float, float]


@dataclass(frozen=True)
class Finding:
    """One finding. ``points`` run along the trace; a single point is a spot of ``size_mm`` across."""

    kind: str
    points: tuple[Point, ...]
    size_mm: float | None = None
    depth_mm: float | None = None
    dip_deg: float | None = None
    catches_nail: bool | None = None
    catches_edge: bool | None = None
    scratches_finish: bool | None = None
    stays_dark_wet: bool | None = None
    moves_when_pressed: bool | None = None
    relieved: bool = False
    notes: str = ""

    def as_record(self, finding_id: str) -> dict[str, Any]:
        return {
            "id": finding_id,
            "kind": self.kind,
            "points": [{"x_mm": x, "y_mm": y} for x, y in self.points],
            "size_mm": self.size_mm,
            "depth_mm": self.depth_mm,
            "dip_deg": self.dip_deg,
            "catches_nail": self.catches_nail,
            "catches_edge": self.catches_edge,
            "scratches_finish": self.scratches_finish,
            "stays_dark_wet": self.stays_dark_wet,
            "moves_when_pressed": self.moves_when_pressed,
            "relieved": self.relieved,
            "notes": self.notes,
        }
