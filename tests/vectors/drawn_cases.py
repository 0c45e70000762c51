"""Cases drawn at random, degenerate ones among them, for phone and service to answer alike."""

import random
from typing import Any

KINDS = ("fissure", "inclusion", "line", "chip", "soft_spot", "stain")


class Drawer:
    """Draws stones, inspections and histories from one seed."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def case(self) -> dict[str, Any]:
        r = self.random
        length = r.choice([205, 180.5, 120, 60, round(r.uniform(20, 300), 1)])
        width = r.choice([75, 60.2, 30, round(r.uniform(8, length), 1)])
        stone = {
            "length_mm": None if r.random() < 0.04 else length,
            "width_mm": width,
            "thickness_mm": self.number(2, 60, 0.05),
            "mass_g": self.number(50, 20000, 0.2),
            "kind": r.choice(["slate", "chert", "other", "sandstone"]),
            "form": r.choice(["bench", "hand", "irregular"]),
            "marks": r.choice([[], [{"face": "front", "kind": "stamp", "notes": ""}]]),
            "sides_sealed": r.random() < 0.5,
        }
        inspection = {
            "face": r.choice(["front", "back"]),
            "thickness_mm": self.number(2, 60, 0.5),
            "water_uptake_s": self.number(0, 500, 0.5),
            "drop_state": r.choice([None, "beads", "slow", "quick", "at_once"]),
            "dry_mass_g": self.number(100, 900, 0.6),
            "wet_mass_g": self.number(900, 1000, 0.6),
            "tap_tone": r.choice([None, "ring", "dull", "rattle"]),
            "sides_sealed": self.probe(),
            "flatness": self.flatness(length, width) if r.random() < 0.7 else None,
            "findings": [self.finding(i, length, width) for i in range(r.choice([0, 1, 1, 2, 3]))],
        }
        history = {
            "lapped_before": self.probe(),
            "repaired_since": self.probe(),
            "fineness_grade": self.number(1, 5, 0.5),
        }
        return {"stone": stone, "inspection": inspection, "history": history}

    def number(self, low: float, high: float, missing: float) -> float | None:
        return None if self.random.random() < missing else round(self.random.uniform(low, high), 1)

    def probe(self) -> bool | None:
        return self.random.choice([None, True, False])

    def along(self, size: float) -> float:
        """A coordinate: often on an edge, sometimes whole, sometimes off the face."""
        r = self.random
        return r.choice(
            [0.0, size, round(r.uniform(-3, 1), 2), float(r.randint(0, int(size)))]
            + [round(r.uniform(0, size), 3)] * 3
        )

    def place(self, length: float, width: float) -> dict[str, float]:
        return {"x_mm": self.along(length), "y_mm": self.along(width)}

    def finding(self, number: int, length: float, width: float) -> dict[str, Any]:
        r = self.random
        return {
            "id": f"f{number}",
            "kind": r.choice(KINDS),
            "points": [self.place(length, width) for _ in range(r.choice([1, 2, 2, 3, 4, 6]))],
            "size_mm": self.number(0.5, 30, 0.4),
            "depth_mm": self.number(0, 40, 0.5),
            "dip_deg": self.number(0, 90, 0.6),
            "catches_nail": self.probe(),
            "catches_edge": self.probe(),
            "scratches_finish": self.probe(),
            "stays_dark_wet": self.probe(),
            "moves_when_pressed": self.probe(),
            "relieved": r.random() < 0.3,
        }

    def flatness(self, length: float, width: float) -> dict[str, Any]:
        """Gaps under a straightedge, a grid of small whole heights (many ties), or scattered readings."""
        r = self.random
        way = r.random()
        if way < 0.25:
            heights = [float(r.randint(-200, 200)) for _ in range(r.randint(1, 5))]
            readings = [{**self.place(length, width), "height_um": z} for z in heights]
            return {"method": "straightedge", "readings": readings}
        if way < 0.6:
            nx, ny, most = r.randint(2, 7), r.randint(2, 5), r.choice([0, 1, 5, 200])
            spots = [(length * i / (nx - 1), width * j / (ny - 1)) for i in range(nx) for j in range(ny)]
            return {
                "method": "grid",
                "readings": [
                    {"x_mm": x, "y_mm": y, "height_um": float(r.randint(-most, most))} for x, y in spots
                ],
            }
        return {
            "method": "grid",
            "readings": [
                {
                    "x_mm": round(r.uniform(0, length), r.randint(0, 3)),
                    "y_mm": round(r.uniform(0, width), r.randint(0, 3)),
                    "height_um": round(r.gauss(0, 40), r.randint(0, 3)),
                }
                for _ in range(r.randint(2, 30))
            ],
        }
