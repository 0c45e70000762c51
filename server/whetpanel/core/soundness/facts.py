"""Facts: what a rule may look at. Computed once, rounded to 0.0001, then handed to the rules.

A fact that is not known is left out, so a rule that asks for it (``required``) stays silent instead of
guessing. ``FACTS`` is the whole vocabulary with units; a rule that names anything else is refused when it is
written.
"""

from collections.abc import Mapping, Sequence

from . import physical
from .flatness import Flatness
from .geometry import (
    measure_outline,
    measure_spot,
    measure_trace,
    piece_volume_mm3,
    place,
)
from .usable import UsableFace
from .values import FindingValues, History, InspectionValues, Point, StoneShape
from .words import round4

Fact = float | int | str | bool
Facts = dict[str, Fact]
Unsure = dict[str, Fact | None]

STONE_FACTS: Mapping[str, str] = {
    "sizes_known": "whether length and width are on record",
    "stone_length_mm": "the stone's length, mm",
    "stone_width_mm": "the stone's width, mm",
    "thickness_mm": "the stone's thickness at this inspection, mm",
    "mass_g": "the stone's mass, g",
    "stone_kind": "the kind of rock",
    "form": "bench, hand, finger or irregular",
    "sides_sealed": "whether the sides are sealed",
    "density_g_cm3": "density from mass and sizes, g/cm³",
    "total_porosity_percent": "pores of all kinds if the grains are quartz, %",
    "face_marked": "whether the inspected face carries a stamp or natural skin",
    "lapped_before": "whether this face has been lapped since it was sawn",
    "repaired_since": "whether a repair was done after the last inspection",
    "fineness_grade": "the stone's fineness grade so far, 1 to 5",
    "usable_length_mm": "length of the largest clear rectangle, mm",
    "usable_width_mm": "width of the largest clear rectangle, mm",
    "usable_share_percent": "share of the face in the largest clear rectangle, %",
}

INSPECTION_FACTS: Mapping[str, str] = {
    **STONE_FACTS,
    "face": "front or back",
    "water_uptake_s": "seconds until a drop has vanished",
    "uptake_class": "beads, slow, quick or at_once",
    "absorption_percent": "water taken up by mass, %",
    "tap_tone": "ring, dull or rattle",
    "flatness_read": "whether flatness was measured",
    "flatness_um": "flatness (minimum zone, or the largest gap), µm",
    "flatness_shape": "hollow, crowned, twisted, uneven or flat",
    "n_findings": "number of findings",
    "n_fissures": "number of fissures",
    "fissure_length_mm": "length of all fissures on this face, mm",
    "fissure_length_percent": "length of all fissures over the stone's length, %",
}

FINDING_FACTS: Mapping[str, str] = {
    "kind": "fissure, inclusion, line, chip, soft_spot or stain",
    "form": "bench, hand, finger or irregular",
    "stone_kind": "the kind of rock",
    "thickness_mm": "the stone's thickness at this inspection, mm",
    "sides_sealed": "whether the sides are sealed",
    "face_marked": "whether the inspected face carries a stamp or natural skin",
    "uptake_class": "beads, slow, quick or at_once",
    "length_mm": "length of the trace, mm",
    "angle_deg": "angle between the trace and the edge, °",
    "edge_distance_mm": "distance to the nearest edge, mm",
    "corner_distance_mm": "distance to the nearest corner, mm",
    "reach": "inside, one_edge, corner or opposite_edges",
    "size_mm": "greatest width of a spot or patch, mm",
    "area_mm2": "area of a spot or patch, mm²",
    "depth_mm": "depth below the face, mm",
    "depth_percent": "depth over thickness, %",
    "dip_deg": "angle to the face, ° (0 = a leaf parallel to it)",
    "piece_long_mm": "longer leg of the corner piece, mm",
    "piece_short_mm": "shorter leg of the corner piece, mm",
    "piece_area_mm2": "area of the corner piece or patch on the face, mm²",
    "piece_volume_mm3": "volume of the piece, mm³",
    "piece_mass_g": "mass of the piece, g",
    "face_share_percent": "share of the face in the piece or patch, %",
    "catches_nail": "whether a fingernail catches",
    "catches_edge": "whether a blade's edge catches",
    "scratches_finish": "whether it scratches the finish",
    "stays_dark_wet": "whether it stays dark when the face has dried",
    "moves_when_pressed": "whether it moves under a finger",
    "relieved": "whether it was relieved below the face",
}

FACTS: Mapping[str, Mapping[str, str]] = {
    "finding": FINDING_FACTS,
    "inspection": INSPECTION_FACTS,
    "stone": STONE_FACTS,
}

TRACED = ("fissure", "line")


def thickness_now_mm(stone: StoneShape, inspection: InspectionValues) -> float | None:
    """The thickness at the inspection, or the stone's own where it was not measured then."""
    return stone.thickness_mm if inspection.thickness_mm is None else inspection.thickness_mm


def sealed_now(stone: StoneShape, inspection: InspectionValues) -> bool | None:
    """Whether the sides are sealed, as seen at the inspection, or as the stone's record has it."""
    return stone.sides_sealed if inspection.sides_sealed is None else inspection.sides_sealed


def density_of(stone: StoneShape) -> float | None:
    """Density, g/cm³; None without mass or sizes, or for an irregular stone, whose sizes make no volume."""
    if stone.mass_g is None or stone.face is None or stone.thickness_mm is None or stone.form == "irregular":
        return None
    return physical.density_g_cm3(stone.mass_g, *stone.face, stone.thickness_mm)


def finding_facts(
    finding: FindingValues, stone: StoneShape, inspection: InspectionValues, field: str
) -> tuple[Facts, tuple[Point, ...]]:
    """The facts of one finding, and its points brought onto the face (none if the face's size is not known).

    Raises Invalid with the point's path.
    """
    thickness = thickness_now_mm(stone, inspection)
    facts: Unsure = {
        "kind": finding.kind,
        "form": stone.form,
        "stone_kind": stone.kind,
        "thickness_mm": thickness,
        "sides_sealed": sealed_now(stone, inspection),
        "face_marked": inspection.face in stone.marked_faces,
        "uptake_class": physical.uptake_class(inspection.water_uptake_s, inspection.drop_state),
        "size_mm": finding.size_mm,
        "depth_mm": finding.depth_mm,
        "dip_deg": finding.dip_deg,
        "catches_nail": finding.catches_nail,
        "catches_edge": finding.catches_edge,
        "scratches_finish": finding.scratches_finish,
        "stays_dark_wet": finding.stays_dark_wet,
        "moves_when_pressed": finding.moves_when_pressed,
        "relieved": finding.relieved,
    }
    if finding.depth_mm is not None and thickness is not None:
        facts["depth_percent"] = min(100.0, 100 * finding.depth_mm / thickness)
    points: tuple[Point, ...] = ()
    if stone.face is not None:
        points = place(finding.points, *stone.face, f"{field}.points")
        facts |= _place_facts(finding, points, stone.face, thickness, density_of(stone), f"{field}.points")
    return known(facts), points


def _place_facts(
    finding: FindingValues,
    points: tuple[Point, ...],
    face: tuple[float, float],
    thickness_mm: float | None,
    density_g_cm3: float | None,
    field: str,
) -> Unsure:
    """What follows from where a finding lies on the face."""
    traced = finding.kind in TRACED
    area: float | None
    if len(points) == 2 or (traced and len(points) > 1):
        trace = measure_trace(points, *face, field)
        reach, piece = trace.reach, trace.piece
        # A patch told by two points and a width is a strip of that width along them.
        area = None if traced or finding.size_mm is None else trace.length_mm * finding.size_mm
        facts: Unsure = {
            "length_mm": trace.length_mm,
            "angle_deg": trace.angle_deg,
            "edge_distance_mm": trace.edge_distance_mm,
            "corner_distance_mm": trace.corner_distance_mm,
        }
    else:
        if len(points) == 1:
            spot = measure_spot(points[0], finding.size_mm or 0.0, *face)
        else:
            spot = measure_outline(points, *face, field)
        reach, piece = spot.reach, spot.piece
        size = spot.size_mm if finding.size_mm is None and spot.size_mm > 0 else finding.size_mm
        area = spot.area_mm2 if spot.area_mm2 > 0 else None
        facts = {
            "size_mm": size,
            "length_mm": size if traced else None,
            "edge_distance_mm": spot.edge_distance_mm,
            "corner_distance_mm": spot.corner_distance_mm,
        }
    facts["reach"] = reach
    facts["area_mm2"] = None if traced else area
    lost = piece.area_mm2 if piece else area if finding.kind == "chip" else None
    share = area if lost is None else lost
    if share is not None:
        facts["face_share_percent"] = min(100.0, 100 * share / (face[0] * face[1]))
    if piece is not None:
        facts |= {"piece_long_mm": piece.leg_long_mm, "piece_short_mm": piece.leg_short_mm}
    if lost is not None:
        facts["piece_area_mm2"] = lost
        if thickness_mm is not None:
            volume = piece_volume_mm3(lost, reach, finding.depth_mm, thickness_mm)
            facts["piece_volume_mm3"] = volume
            facts["piece_mass_g"] = None if density_g_cm3 is None else volume * density_g_cm3 / 1000
    return facts


def stone_facts(stone: StoneShape, inspection: InspectionValues, history: History) -> Facts:
    """The facts of the stone as a whole, without the usable face."""
    density = density_of(stone)
    porosity = None
    if density is not None and stone.kind in physical.QUARTZ_KINDS:
        porosity = physical.total_porosity_percent(density)
    return known(
        {
            "sizes_known": stone.face is not None,
            "stone_length_mm": stone.length_mm,
            "stone_width_mm": stone.width_mm,
            "thickness_mm": thickness_now_mm(stone, inspection),
            "mass_g": stone.mass_g,
            "stone_kind": stone.kind,
            "form": stone.form,
            "sides_sealed": sealed_now(stone, inspection),
            "density_g_cm3": density,
            "total_porosity_percent": porosity,
            "face_marked": inspection.face in stone.marked_faces,
            "lapped_before": history.lapped_before,
            "repaired_since": history.repaired_since,
            "fineness_grade": history.fineness_grade,
        }
    )


def inspection_facts(
    stone: StoneShape,
    inspection: InspectionValues,
    history: History,
    flatness: Flatness | None,
    findings: Sequence[Facts],
) -> Facts:
    """The facts of the inspection as a whole, those of the stone among them, without the usable face."""
    dry, wet = inspection.dry_mass_g, inspection.wet_mass_g
    fissures = [facts for facts in findings if facts["kind"] == "fissure"]
    facts: Unsure = {
        "face": inspection.face,
        "water_uptake_s": inspection.water_uptake_s,
        "uptake_class": physical.uptake_class(inspection.water_uptake_s, inspection.drop_state),
        "absorption_percent": None if dry is None or wet is None else physical.absorption_percent(dry, wet),
        "tap_tone": inspection.tap_tone,
        "flatness_read": flatness is not None,
        "flatness_um": None if flatness is None else flatness.flatness_um,
        "flatness_shape": None if flatness is None else flatness.shape,
        "n_findings": len(inspection.findings),
        "n_fissures": len(fissures),
    }
    if stone.length_mm is not None and stone.face is not None:
        total = sum(float(facts.get("length_mm", 0.0)) for facts in fissures)
        facts |= {"fissure_length_mm": total, "fissure_length_percent": 100 * total / stone.length_mm}
    return stone_facts(stone, inspection, history) | known(facts)


def usable_facts(usable: UsableFace | None) -> Facts:
    """The usable face as facts; a face with nothing left has zeros."""
    return {
        "usable_length_mm": round4(usable.length_mm) if usable else 0.0,
        "usable_width_mm": round4(usable.width_mm) if usable else 0.0,
        "usable_share_percent": round4(usable.share_percent) if usable else 0.0,
    }


def known(facts: Unsure) -> Facts:
    """Only what is known, numbers rounded as rules see them."""
    return {
        name: round4(value) if isinstance(value, float) else value
        for name, value in facts.items()
        if value is not None
    }
