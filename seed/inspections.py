"""What was found: findings of every kind, flatness, water uptake, and second looks after a repair."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from .findings import Finding
from .ids import demo_rng
from .scenario import LOTS
from .stones import BY_CODE, STONES, Stone

F = Finding

# Findings at intake, on the working face, in the face's millimetres.
FOUND: dict[str, tuple[Finding, ...]] = {
    "TAR-01": (F("line", ((0, 50), (80, 55), (205, 60)), catches_edge=False, scratches_finish=False),),
    "TAR-02": (
        F("fissure", ((0, 22), (14, 12), (31, 0)), depth_mm=9, dip_deg=70, catches_nail=True,
          stays_dark_wet=True, moves_when_pressed=True, notes="The corner gives a little under the thumb."),
    ),
    "TAR-03": (
        F("fissure", ((60, 0), (63, 14), (70, 26)), dip_deg=85, catches_nail=False, stays_dark_wet=True,
          moves_when_pressed=False),
    ),
    "TAR-04": (
        F("fissure", ((120, 18), (150, 20), (178, 31)), depth_mm=1.5, dip_deg=3, catches_nail=True,
          stays_dark_wet=True, moves_when_pressed=False, notes="A leaf: it runs nearly level with the face."),
    ),
    "TAR-05": (
        F("inclusion", ((92, 30),), size_mm=1.2, catches_nail=True, catches_edge=True, scratches_finish=True),
    ),
    "TAR-06": (F("chip", ((120, 60), (124, 57), (130, 60)), size_mm=10, depth_mm=1.5, catches_edge=False),),
    "TAR-08": (
        F("fissure", ((40, 0), (43, 12), (45, 24)), depth_mm=12, dip_deg=88, catches_nail=True,
          catches_edge=True, stays_dark_wet=True, moves_when_pressed=True, notes="Both halves move."),
    ),
    "VEN-01": (F("stain", ((160, 20),), size_mm=22, notes="Iron, does not rub off."),),
    "VEN-02": (
        F("line", ((20, 0), (60, 30), (130, 75)), catches_edge=True, scratches_finish=True, notes="Quartz."),
    ),
    "VEN-03": (F("soft_spot", ((60, 34),), size_mm=18),),
    "VEN-04": (F("line", ((0, 18), (120, 25), (200, 21)), catches_edge=False, scratches_finish=False),),
    "VEN-05": (
        F("chip", ((180, 37), (172, 49), (155, 60), (180, 60)), size_mm=34, depth_mm=6, catches_edge=True),
    ),
    "VEN-07": (
        F("fissure", ((50, 30), (78, 38), (96, 36)), dip_deg=60, catches_nail=False, stays_dark_wet=False,
          moves_when_pressed=False),
    ),
    "QUA-01": (
        F("fissure", ((30, 62), (110, 64), (190, 63)), depth_mm=4, dip_deg=8, catches_nail=False,
          stays_dark_wet=True, moves_when_pressed=False, notes="Along a layer."),
    ),
    "QUA-02": (F("soft_spot", ((60, 40),), size_mm=24, depth_mm=3),),
    "QUA-03": (
        F("fissure", ((100, 0), (104, 35), (106, 70)), depth_mm=20, dip_deg=80, catches_nail=True,
          stays_dark_wet=True, moves_when_pressed=False),
    ),
    "QUA-04": (
        F("fissure", ((0, 30), (40, 34), (75, 31)), depth_mm=15, dip_deg=35, catches_nail=True,
          catches_edge=True, stays_dark_wet=True, moves_when_pressed=True),
        F("fissure", ((80, 50), (140, 55), (200, 52)), dip_deg=60, catches_nail=True, stays_dark_wet=True,
          moves_when_pressed=False),
        F("fissure", ((20, 12), (90, 10), (170, 13)), dip_deg=55, catches_nail=False, stays_dark_wet=True,
          moves_when_pressed=False),
        F("soft_spot", ((150, 30),), size_mm=30, depth_mm=4),
    ),
    "QUA-05": (F("stain", ((40, 20),), size_mm=15, scratches_finish=True, notes="Gritty under the blade."),),
    "QUA-07": (F("chip", ((0, 12), (6, 7), (11, 0)), size_mm=16, depth_mm=4, catches_edge=True),),
    "OSS-02": (
        F("line", ((0, 20), (100, 24), (200, 22)), catches_edge=False, scratches_finish=False),
        F("line", ((0, 41), (90, 38), (200, 44)), catches_edge=False, scratches_finish=False),
    ),
    "OSS-03": (
        F("inclusion", ((70, 20),), size_mm=0.9, catches_nail=False, catches_edge=False,
          scratches_finish=False),
    ),
    "OSS-04": (
        F("fissure", ((20, 55), (90, 56), (150, 54.5)), dip_deg=75, catches_edge=True, stays_dark_wet=True,
          moves_when_pressed=False),
    ),
    "OSS-05": (
        F("stain", ((80, 15), (96, 12), (104, 30), (86, 33)), stays_dark_wet=True, notes="Oil or water."),
    ),
    "OSS-06": (
        F("inclusion", ((55, 40),), size_mm=2.2, catches_nail=True, catches_edge=True, scratches_finish=True),
        F("inclusion", ((128, 22),), size_mm=1.4, catches_nail=True, scratches_finish=None),
        F("inclusion", ((160, 58),), size_mm=0.8, catches_nail=False, scratches_finish=False),
    ),
    "OSS-07": (
        F("fissure", ((92, 0), (95, 36), (91, 70)), dip_deg=82, catches_nail=False, stays_dark_wet=False,
          moves_when_pressed=False, notes="Closed all the way across."),
        F("fissure", ((200, 48), (178, 45), (160, 47)), dip_deg=50, catches_nail=False, stays_dark_wet=True,
          moves_when_pressed=False),
    ),
    "BRI-01": (
        F("inclusion", ((90, 40),), size_mm=4, catches_nail=True, catches_edge=True, scratches_finish=True,
          notes="A pebble of quartz."),
        F("chip", ((0, 14), (8, 9), (19, 0)), size_mm=23, depth_mm=8, catches_edge=True),
    ),
    "BRI-03": (
        F("soft_spot", ((150, 35),), size_mm=32, depth_mm=5),
        F("soft_spot", ((68, 36),), size_mm=28, depth_mm=4),
        F("stain", ((22, 56),), size_mm=14),
    ),
    "BRI-04": (
        F("fissure", ((205, 52), (192, 60), (180, 75)), depth_mm=14, dip_deg=75, catches_nail=True,
          stays_dark_wet=True, moves_when_pressed=False),
    ),
    "BRI-05": (F("chip", ((30, 60), (36, 55), (48, 60)), size_mm=18, depth_mm=5, catches_edge=False),),
    "ULL-01": (
        F("fissure", ((70, 22), (92, 30), (118, 29)), dip_deg=80, catches_nail=False, stays_dark_wet=False,
          moves_when_pressed=False, notes="Healed to the touch."),
    ),
    "ULL-02": (F("line", ((0, 30), (50, 26), (114, 33)), catches_edge=True, scratches_finish=None),),
    "ULL-04": (F("chip", ((88, 9), (83, 14), (88, 20)), size_mm=12, depth_mm=3, catches_edge=True),),
    "ULL-05": (
        F("inclusion", ((60, 24),), size_mm=13, depth_mm=3, catches_nail=True, catches_edge=True,
          scratches_finish=True, notes="A nest of quartz."),
    ),
}  # fmt: skip

# (dish, twist) in µm at intake: how far the middle lies below the ends, and the height of the saddle. Where
# nothing stands here, a bench stone came nearly flat and nobody has yet measured a hand stone.
SHAPE_UM: dict[str, tuple[float, float]] = {
    "TAR-01": (18, 6), "TAR-02": (42, 10), "TAR-03": (12, -8), "TAR-05": (65, 20), "VEN-01": (9, 3),
    "VEN-02": (25, -30), "VEN-05": (-60, 12), "QUA-01": (120, 25), "QUA-02": (170, 40), "QUA-04": (210, -60),
    "QUA-05": (35, 10), "OSS-01": (8, 4), "OSS-02": (14, 6), "OSS-06": (90, 15), "OSS-08": (20, 110),
    "BRI-01": (150, 30), "BRI-02": (60, 20), "BRI-03": (260, 50), "BRI-04": (40, -15), "ULL-01": (6, -3),
}  # fmt: skip
STRAIGHTEDGE = ("OSS-06", "BRI-04", "TAR-03")


@dataclass(frozen=True)
class Look:
    """One inspection of one face by one member."""

    key: str
    stone: Stone
    by: str
    at: datetime
    face: str
    thickness_mm: float
    water_uptake_s: int | None
    drop_state: str | None
    dry_mass_g: float | None
    wet_mass_g: float | None
    tap_tone: str | None
    sides_sealed: bool
    flatness_method: str | None
    readings: tuple[tuple[float, float, int], ...]
    findings: tuple[Finding, ...]
    notes: str
    own_photo: bool = False
    at_intake: bool = False


def uptake_s(stone: Stone) -> float:
    """Seconds until a drop is gone: it stands on dense, hard stone and vanishes into soft, porous stone."""
    thirst = {"siltstone": 0.4, "sandstone": 0.3, "novaculite": 0.8}.get(stone.kind, 1.0)
    return thirst * math.exp(0.6 + 1.3 * stone.hardness)


def drop_state(seconds: float) -> str:
    limits = ((8, "at_once"), (60, "quick"), (450, "slow"))
    return next((word for limit, word in limits if seconds < limit), "beads")


def soaked_percent(stone: Stone) -> float:
    """Water taken up by mass after an hour, percent: some three fifths of the pores fill (invented share)."""
    grain_density = {"siltstone": 2.66, "sandstone": 2.66, "novaculite": 2.62}[stone.kind]
    porosity_percent = 100 * (1 - stone.density / grain_density)
    return 0.6 * porosity_percent / stone.density


def readings(
    stone: Stone, dish_um: float, twist_um: float, method: str, key: str
) -> tuple[tuple[float, float, int], ...]:
    """Heights over the face: five by three points, or gaps under a straightedge along both diagonals."""
    rng = demo_rng("flatness", key)
    length, width = stone.length_mm - 10, stone.width_mm - 10
    if method == "grid":
        places = [(u, v) for v in (0.0, 0.5, 1.0) for u in (0.0, 0.25, 0.5, 0.75, 1.0)]
    else:
        places = [(u, u) for u in (0.0, 0.25, 0.5, 0.75, 1.0)] + [(u, 1 - u) for u in (0.0, 0.25, 0.75, 1.0)]
    out = []
    for u, v in places:
        height = (
            dish_um * ((2 * u - 1) ** 2 - 1) + twist_um / 2 * (2 * u - 1) * (2 * v - 1) + rng.normal(0, 1.2)
        )
        out.append((round(5 + u * length, 1), round(5 + v * width, 1), round(height)))
    return tuple(out)


def _at(day: date, key: str) -> datetime:
    minute = int(demo_rng("hour", key).integers(9 * 60, 16 * 60))
    return datetime.combine(day, time(minute // 60, minute % 60), tzinfo=UTC)


def intake(stone: Stone) -> Look:
    """The dealer's first look, within a fortnight of the lot's arrival."""
    rng = demo_rng("intake", stone.code)
    received = next(lot.received_on for lot in LOTS if lot.code == stone.lot)
    seconds = min(600, round(uptake_s(stone) * rng.lognormal(0, 0.12)))
    weigh = (
        stone.mass_g is not None
        and stone.form == "bench"
        and stone.kind in ("siltstone", "sandstone", "novaculite")
    )
    mass = stone.mass_g
    measured = stone.form == "bench" or stone.code in SHAPE_UM
    shape = SHAPE_UM.get(stone.code, (float(rng.uniform(5, 30)), float(rng.uniform(-10, 10))))
    method = ("straightedge" if stone.code in STRAIGHTEDGE else "grid") if measured else None
    found = FOUND.get(stone.code, ())
    moves = any(f.moves_when_pressed for f in found)
    return Look(
        key=f"{stone.code}/intake",
        stone=stone,
        by="edda",
        at=_at(received + timedelta(days=int(rng.integers(2, 13))), stone.code),
        face=stone.working_face,
        thickness_mm=stone.thickness_mm,
        water_uptake_s=seconds,
        drop_state=drop_state(seconds),
        dry_mass_g=mass if weigh else None,
        wet_mass_g=round(mass * (1 + soaked_percent(stone) / 100)) if weigh and mass else None,
        tap_tone="rattle" if moves else "dull" if stone.hardness < 2.6 else "ring",
        sides_sealed=stone.sides_sealed,
        flatness_method=method,
        readings=readings(stone, *shape, method, stone.code) if method else (),
        findings=found,
        notes="" if found else "Nothing found under the wet film.",
        at_intake=True,
    )


@dataclass(frozen=True)
class Second:
    """A second look: who, when, what had been done in between."""

    code: str
    by: str
    day: date
    findings: tuple[Finding, ...] | None = None
    shape_um: tuple[float, float] | None = None
    thickness_mm: float | None = None
    notes: str = ""
    own_photo: bool = False
    face: str | None = None


SECOND = (
    Second("TAR-05", "chiyo", date(2025, 12, 13), (
        F("inclusion", ((92, 30),), size_mm=1.2, catches_nail=False, catches_edge=False,
          scratches_finish=None, relieved=True, notes="Scraped below the face with a scribe."),),
        (11, 4), 20.8,
        "Inclusion relieved, face lapped. Scratch test still to do.", own_photo=True),
    Second("OSS-06", "faraj", date(2026, 2, 7), (
        F("inclusion", ((55, 40),), size_mm=2.2, catches_nail=False, catches_edge=False,
          scratches_finish=False, relieved=True),
        F("inclusion", ((128, 22),), size_mm=1.4, catches_nail=True, scratches_finish=True, notes="Next."),
        F("inclusion", ((160, 58),), size_mm=0.8, catches_nail=False, scratches_finish=False),),
        (14, 6), 29.6,
        "The big one is relieved, no scratch on the soft blade.", own_photo=True),
    Second("QUA-01", "ines", date(2026, 6, 20), None, (16, 5), 33.0, "Lapped flat: 1.6 mm came off."),
    Second("BRI-03", "faraj", date(2026, 6, 27), None, (24, 8), 37.8, "Lapped, the soft end had hollowed."),
    Second("TAR-02", "gwenda", date(2026, 1, 10), (
        F("fissure", ((0, 22), (14, 12), (31, 0)), depth_mm=9, dip_deg=70, catches_nail=False,
          stays_dark_wet=False, moves_when_pressed=False, notes="Glued; a thin seam shows."),), (40, 10), 25,
        "Corner glued by the dealer. Holds."),
    Second("TAR-03", "jonah", date(2026, 3, 14), (
        F("fissure", ((60, 0), (63, 14), (70, 27), (73, 33)), dip_deg=85, catches_nail=False,
          stays_dark_wet=True, moves_when_pressed=False, notes="Seven millimetres longer than at intake."),),
        None, 23.8, "Check again in spring."),
    Second("QUA-02", "lisbet", date(2026, 1, 24), None, (180, 42), 32.8, "Hollow grows quickly."),
    Second("QUA-06", "kofi", date(2026, 7, 4), (), (22, 9), 29.9, "My first inspection."),
    Second("VEN-01", "chiyo", date(2026, 2, 14), None, (7, 3), 30, "Still flat."),
    Second("OSS-01", "chiyo", date(2026, 4, 18), (), (6, 2), 24.9, "Check stone, yearly look."),
    Second("BRI-02", "gwenda", date(2026, 5, 2), (), (85, 22), 37.5, "Check stone: hollow, lap before use."),
    Second("VEN-05", "bram", date(2026, 3, 28), None, None, None, "Chip is no bigger."),
    Second("ULL-05", "ines", date(2026, 4, 11), (
        F("inclusion", ((60, 24),), size_mm=13, depth_mm=3, catches_nail=False, catches_edge=False,
          scratches_finish=True, relieved=True, notes="Scraped twice; grains keep coming."),), None, None,
        "Not worth more work, I think.", own_photo=True),
    Second("TAR-01", "edda", date(2025, 10, 4), (), (60, 12), None, "Stamped side, as sawn.", face="back"),
)  # fmt: skip


def second_look(second: Second) -> Look:
    """A later inspection; what it did not measure it leaves empty rather than repeat."""
    stone = BY_CODE[second.code]
    key = f"{second.code}/{second.day.isoformat()}"
    shape = second.shape_um
    return Look(
        key=key,
        stone=stone,
        by=second.by,
        at=_at(second.day, key),
        face=second.face or stone.working_face,
        thickness_mm=second.thickness_mm or stone.thickness_mm,
        water_uptake_s=None,
        drop_state=None,
        dry_mass_g=None,
        wet_mass_g=None,
        tap_tone="ring" if stone.hardness >= 2.6 else "dull",
        sides_sealed=stone.sides_sealed,
        flatness_method="grid" if shape else None,
        readings=readings(stone, *shape, "grid", key) if shape else (),
        findings=FOUND.get(second.code, ()) if second.findings is None else second.findings,
        notes=second.notes,
        own_photo=second.own_photo,
    )


def looks() -> Iterator[Look]:
    """Every inspection of the demo club: one at intake for each stone, then the second looks."""
    for stone in STONES:
        yield intake(stone)
    for second in SECOND:
        yield second_look(second)
