"""The default rules for a face as a whole and for the stone. See default_rules for their habits."""

from .rule_writing import (
    BREAK,
    DUST,
    FROST,
    GLUE,
    LIFT,
    SEAL,
    all_of,
    among,
    at_least,
    below,
    is_,
    limit,
    rule,
)

FACE_RULES = [
    rule(
        "rattle", "inspection",
        all_of(tap_tone=is_("rattle")),
        "inspect again", "before_use",
        "Tapped, the stone rattles: something in it is loose. Find it before any work.",
        BREAK,
    ),
    rule(
        "dull_with_fissures", "inspection",
        all_of(tap_tone=is_("dull"), n_fissures={"type": "number", "minimum": 1}),
        "inspect again", "watch",
        "Tapped, the stone sounds dull and {n_fissures} fissures are on record: one may go deeper than it "
        "shows. Look at the sides while they dry.",
    ),
    rule(
        "many_fissures", "inspection",
        all_of(fissure_length_percent=at_least("max_percent")),
        "watch", "soon",
        "The fissures of this face add up to {fissure_length_mm} mm, {fissure_length_percent} % of the "
        "stone's length; the club's limit is {max_percent} %.",
        FROST,
        limit("max_percent", "Sum over the stone's length from", "%", 150, 30, 500),
    ),
    rule(
        "unsealed_and_thirsty", "inspection",
        all_of(sides_sealed=is_(False), uptake_class=among("quick", "at_once")),
        "seal sides", "soon",
        "The sides are open and the face drinks a drop quickly ({uptake_class}): water in the layers "
        "swells and loosens them.",
        SEAL,
    ),
    rule(
        "frost", "inspection",
        all_of(uptake_class=among("quick", "at_once"), n_fissures={"type": "number", "minimum": 1}),
        "keep from frost", "watch",
        "This stone takes in water; fissures on record: {n_fissures}. Ice in a fissure splits a stone.",
        FROST,
    ),
    rule(
        "splash_only", "inspection",
        all_of(uptake_class=among("beads", "slow")),
        "splash only", "none",
        "Water stands on this face: splash it, do not soak it. Long soaking can open layers and gains "
        "nothing.",
    ),
    rule(
        "first_lapping", "inspection",
        all_of(lapped_before=is_(False)),
        "lap", "before_use",
        "This face has not been lapped since it was sawn; a sawn face feels coarser than the stone is. Lap "
        "it before anyone grades it.",
        DUST,
    ),
    rule(
        "flatness_not_read", "inspection",
        all_of(flatness_read=is_(False)),
        "inspect again", "watch",
        "No flatness was read for this face: lay a straightedge on both diagonals and note the gaps.",
    ),
    rule(
        "out_of_flat", "inspection",
        all_of(flatness_um=at_least("max_flatness_um")),
        "lap", "before_use",
        "The face is {flatness_um} µm out of flat ({flatness_shape}); the club's limit is "
        "{max_flatness_um} µm.",
        DUST,
        limit("max_flatness_um", "Out of flat from", "µm", 150, 20, 500),
    ),
    rule(
        "out_of_flat_for_fineness", "inspection",
        all_of(flatness_um=at_least("max_flatness_um"), fineness_grade=at_least("fine_from")),
        "lap", "before_use",
        "The face is {flatness_um} µm out of flat ({flatness_shape}). For a stone of fineness "
        "{fineness_grade} the club's limit is {max_flatness_um} µm: a fine stone helps only where the edge "
        "touches it.",
        DUST,
        limit("max_flatness_um", "Out of flat from", "µm", 50, 5, 300),
        limit("fine_from", "Fineness grade from", "", 4, 2, 5),
    ),
    rule(
        "after_repair", "inspection",
        all_of(repaired_since=is_(True)),
        "inspect again", "before_use",
        "A repair was done after the last look at this stone: inspect it again before it is used or sold.",
    ),
    rule(
        "marked_face", "inspection",
        all_of(face_marked=is_(True)),
        "ask before lapping", "watch",
        "This face carries a stamp or natural skin, which is part of the stone's value: ask the dealer "
        "before anyone laps or trims it, and grade the other face.",
    ),
]  # fmt: skip

STONE_RULES = [
    rule(
        "sizes_not_measured", "stone",
        all_of(sizes_known=is_(False)),
        "inspect again", "soon",
        "Length and width of this stone are not on record, so nothing can be said of where its findings lie: "
        "measure it.",
    ),
    rule(
        "far_too_thin", "stone",
        all_of(thickness_mm=below("min_thickness_mm")),
        "set aside", "reject",
        "{thickness_mm} mm thick; below {min_thickness_mm} mm a stone bends and breaks under the hand.",
        BREAK,
        limit("min_thickness_mm", "Thickness below", "mm", 4, 1, 10),
    ),
    rule(
        "too_thin", "stone",
        all_of(thickness_mm=below("min_thickness_mm"), form=among("bench", "irregular")),
        "mount on a base", "soon",
        "{thickness_mm} mm thick; from {min_thickness_mm} mm down a bench stone is glued flat on a base "
        "before use.",
        GLUE,
        limit("min_thickness_mm", "Thickness below", "mm", 12, 5, 25),
    ),
    rule(
        "too_short_for_the_bench", "stone",
        # Common practice calls a stone of less than about 100–120 mm a hand or finger stone.
        all_of(form=is_("bench"), usable_length_mm=below("min_length_mm")),
        "grade as a hand stone", "watch",
        "Clear of its defects the face is {usable_length_mm} × {usable_width_mm} mm; under {min_length_mm} "
        "mm it is a hand stone.",
        None,
        limit("min_length_mm", "Usable length below", "mm", 110, 80, 150),
    ),
    rule(
        "little_face_left", "stone",
        all_of(usable_share_percent=below("min_share_percent")),
        "grade as a hand stone", "soon",
        "Clear of its defects only {usable_share_percent} % of the face is left; the club's limit is "
        "{min_share_percent} %.",
        None,
        limit("min_share_percent", "Usable share below", "%", 40, 10, 90),
    ),
    rule(
        "density_not_believable", "stone",
        # Chert 2.5–2.65, slate 2.7–2.8, sandstone 2.0–2.6 g/cm³ are the ranges usually given (from memory).
        all_of(
            {"anyOf": [all_of(density_g_cm3=below("lightest")), all_of(
                density_g_cm3={"type": "number", "exclusiveMinimum": {"$param": "heaviest"}})]},
        ),
        "inspect again", "soon",
        "Mass and sizes make {density_g_cm3} g/cm³, outside {lightest} to {heaviest}: measure and weigh "
        "again.",
        None,
        limit("lightest", "Density below", "g/cm³", 1.6, 0.5, 2.4),
        limit("heaviest", "Density above", "g/cm³", 3.6, 2.8, 6),
    ),
    rule(
        "lift_with_two", "stone",
        # Guidance on manual handling commonly starts at 16 to 25 kg (from memory); clubs set their own.
        all_of(mass_g=at_least("heavy_g")),
        "lift with two", "before_use",
        "The stone weighs {mass_g} g; the club lifts with two from {heavy_g} g.",
        LIFT,
        limit("heavy_g", "Mass from", "g", 16000, 5000, 25000),
    ),
]  # fmt: skip
