"""The default rules for findings: fissures, inclusions and lines, patches. See default_rules for their habits."""

from .rule_writing import (
    BLADE,
    BREAK,
    DUST,
    FROST,
    GLUE,
    SEAL,
    all_of,
    among,
    any_of,
    at_least,
    at_most,
    below,
    is_,
    limit,
    not_,
    rule,
    unknown,
)

_MOVES = any_of(moves_when_pressed=is_(True))
_OPEN = any_of(moves_when_pressed=is_(True), catches_nail=is_(True))
_GRITTY = ("inclusion", "line")
_ACTS = any_of(catches_edge=is_(True), scratches_finish=is_(True))

FISSURE_RULES = [
    rule(
        "fissure_split_open", "finding",
        all_of(_OPEN, kind=is_("fissure"), reach=is_("opposite_edges")),
        "set aside", "reject",
        "This fissure runs from edge to edge ({length_mm} mm) and is open: the stone can come apart in the "
        "hand.",
        BREAK,
    ),
    rule(
        "fissure_split_closed", "finding",
        all_of(not_(_OPEN), kind=is_("fissure"), reach=is_("opposite_edges")),
        "glue before lapping", "before_use",
        "This fissure runs from edge to edge ({length_mm} mm). It is closed so far, but nothing else holds "
        "the two parts together.",
        f"{GLUE} {BREAK}",
    ),
    rule(
        "fissure_corner_loose", "finding",
        all_of(_MOVES, kind=is_("fissure"), reach=is_("corner")),
        "glue before lapping", "before_use",
        "The corner piece moves when pressed: {piece_long_mm} × {piece_short_mm} mm, {piece_area_mm2} mm² of the "
        "face[, {piece_mass_g} g at most]. If the glue does not hold, trim the corner.",
        f"{GLUE} {BREAK}",
    ),
    rule(
        "fissure_corner_open", "finding",
        all_of(not_(_MOVES), kind=is_("fissure"), reach=is_("corner"), catches_nail=is_(True)),
        "glue before lapping", "before_use",
        "This fissure cuts off a corner of {piece_long_mm} × {piece_short_mm} mm ({face_share_percent} % "
        "of the face) and a fingernail catches in it: water and force can open it.",
        GLUE,
    ),
    rule(
        "fissure_corner_closed", "finding",
        all_of(not_(_OPEN), kind=is_("fissure"), reach=is_("corner")),
        "seal sides", "soon",
        "This fissure cuts off a corner of {piece_long_mm} × {piece_short_mm} mm ({face_share_percent} % "
        "of the face). It is closed: seal the sides there, and look again after each lapping.",
        SEAL,
    ),
    rule(
        "fissure_corner_at_risk", "finding",
        all_of(
            kind=is_("fissure"), reach=among("inside", "one_edge"),
            corner_distance_mm=at_most("near_corner_mm"),
            edge_distance_mm=at_most("near_edge_mm"), angle_deg=at_most("max_angle_deg"),
        ),
        "seal sides", "soon",
        "{length_mm} mm long, {corner_distance_mm} mm from the corner and {angle_deg}° to the edge: if it "
        "runs on, the corner goes. The club's limits are {near_corner_mm} mm and {max_angle_deg}°.",
        SEAL,
        limit("near_corner_mm", "Distance to the corner up to", "mm", 25, 5, 60),
        limit("near_edge_mm", "Distance to the edge up to", "mm", 5, 1.5, 10),
        limit("max_angle_deg", "Angle to the edge up to", "°", 60, 10, 90),
    ),
    rule(
        "fissure_edge_sliver", "finding",
        all_of(
            kind=is_("fissure"), reach=among("inside", "one_edge"), length_mm=at_least("min_length_mm"),
            edge_distance_mm=at_most("near_edge_mm"), angle_deg=below("min_angle_deg"),
        ),
        "glue before lapping", "soon",
        "{length_mm} mm long, {angle_deg}° to the edge; the club's limit is {min_angle_deg}°. So flat a "
        "fissure leaves a thin sliver that lifts off.",
        GLUE,
        limit("min_length_mm", "Length from", "mm", 15, 5, 100),
        limit("near_edge_mm", "Distance to the edge up to", "mm", 5, 1.5, 10),
        limit("min_angle_deg", "Angle to the edge below", "°", 20, 5, 45),
    ),
    rule(
        "fissure_loose", "finding",
        all_of(_MOVES, kind=is_("fissure"), reach=among("inside", "one_edge")),
        "glue before lapping", "before_use",
        "The stone moves here when pressed: a loose piece is glued before lapping, or it comes off in use.",
        f"{GLUE} {BREAK}",
    ),
    rule(
        "fissure_leaf", "finding",
        all_of(not_(_MOVES), kind=is_("fissure"), dip_deg=at_most("max_dip_deg")),
        "seal sides", "soon",
        "This fissure lies nearly flat under the face ({dip_deg}°; the club's limit is {max_dip_deg}°): a "
        "leaf that may lift, above all when soaked.",
        SEAL,
        limit("max_dip_deg", "Angle to the face up to", "°", 15, 3, 45),
    ),
    rule(
        "fissure_open", "finding",
        all_of(not_(_MOVES), kind=is_("fissure"), reach=among("inside", "one_edge"), catches_nail=is_(True)),
        "watch", "soon",
        "A fingernail catches in this fissure[ ({length_mm} mm)], so it is open to water and grit. Keep the edge "
        "moving across it, not along it, and measure it again after the next lapping.",
        FROST,
    ),
    rule(
        "fissure_at_edge", "finding",
        all_of(kind=is_("fissure"), reach=is_("one_edge")),
        "watch", "watch",
        "This fissure reaches an edge, {corner_distance_mm} mm from the nearest corner: look at it on the "
        "side too.",
    ),
    rule(
        "fissure_long", "finding",
        all_of(kind=is_("fissure"), length_mm=at_least("long_mm")),
        "watch", "watch",
        "{length_mm} mm long; the club watches fissures from {long_mm} mm.",
        None,
        limit("long_mm", "Watch from", "mm", 60, 10, 200),
    ),
    rule(
        "fissure_holds_water", "finding",
        all_of(kind=is_("fissure"), stays_dark_wet=is_(True)),
        "keep from frost", "watch",
        "This fissure stays dark when the face has dried, so it holds water.",
        FROST,
    ),
    rule(
        "fissure_not_probed", "finding",
        all_of(unknown("catches_nail", "moves_when_pressed"), kind=is_("fissure")),
        "inspect again", "watch",
        "Nobody has yet drawn a fingernail across this fissure and pressed beside it: do both.",
    ),
    rule(
        "fissure_hairline", "finding",
        all_of(
            kind=is_("fissure"), reach=is_("inside"), catches_nail=is_(False), moves_when_pressed=is_(False),
        ),
        "keep", "none",
        "A closed hairline[, {length_mm} mm,] that reaches no edge: stable as it is.",
    ),
]  # fmt: skip

INCLUSION_RULES = [
    rule(
        "inclusion_acts", "finding",
        all_of(_ACTS, kind=among(*_GRITTY), relieved=is_(False)),
        "relieve below the face", "before_use",
        "This {kind} catches the edge or scratches the finish. Scrape it below the face, not the whole "
        "stone down to it, then test it again with a soft blade.",
        f"{DUST} {BLADE}",
    ),
    rule(
        "inclusion_acts_after_relief", "finding",
        all_of(_ACTS, kind=among(*_GRITTY), relieved=is_(True)),
        "keep off the face", "before_use",
        "This {kind} still catches or scratches although it was relieved: keep the edge off this place, or "
        "give the stone a coarser use.",
        BLADE,
    ),
    rule(
        "inclusion_large_after_relief", "finding",
        all_of(
            _ACTS, kind=among(*_GRITTY), relieved=is_(True),
            face_share_percent=at_least("max_share_percent"),
        ),
        "set aside", "reject",
        "This {kind} still acts after relieving and takes {face_share_percent} % of the face; the club's "
        "limit is {max_share_percent} %.",
        None,
        limit("max_share_percent", "Share of the face from", "%", 2, 0.2, 20),
    ),
    rule(
        "inclusion_retest", "finding",
        all_of(unknown("scratches_finish"), kind=among(*_GRITTY), relieved=is_(True)),
        "inspect again", "before_use",
        "This {kind} was relieved; whether it still scratches has not been tested. Draw a soft blade "
        "across it.",
        BLADE,
    ),
    rule(
        "inclusion_not_probed", "finding",
        all_of(
            unknown("catches_edge", "scratches_finish"), not_(_ACTS),
            kind=among(*_GRITTY), relieved=is_(False),
        ),
        "inspect again", "soon",
        "This {kind} has not been probed: a dark mark does harm only if it catches or scratches. Draw a "
        "soft blade across it and look at the scratch pattern.",
        BLADE,
    ),
    rule(
        "inclusion_not_felt", "finding",
        all_of(kind=is_("inclusion"), catches_edge=is_(False), scratches_finish=is_(False)),
        "keep", "none",
        "This inclusion is not felt and does not scratch.",
    ),
    rule(
        "line_harmless", "finding",
        all_of(kind=is_("line"), catches_edge=is_(False), scratches_finish=is_(False)),
        "keep", "none",
        "This line neither catches nor scratches: colour only.",
    ),
]  # fmt: skip

PATCH_RULES = [
    rule(
        "soft_spot_large", "finding",
        all_of(kind=is_("soft_spot"), face_share_percent=at_least("max_share_percent")),
        "keep off the face", "soon",
        "This soft spot takes {face_share_percent} % of the face; the club's limit is {max_share_percent} "
        "%. It wears hollow and the edge dips into it.",
        None,
        limit("max_share_percent", "Share of the face from", "%", 2, 0.2, 20),
    ),
    rule(
        "soft_spot", "finding",
        all_of(kind=is_("soft_spot")),
        "watch", "watch",
        "A soft spot wears faster than its surroundings: measure the flatness there.",
    ),
    rule(
        "chip_large", "finding",
        all_of(kind=is_("chip"), face_share_percent=at_least("max_share_percent")),
        "trim the corner", "soon",
        "This chip takes {face_share_percent} % of the face[ ({piece_mass_g} g gone at most)]; the club's limit "
        "is {max_share_percent} %.",
        DUST,
        limit("max_share_percent", "Share of the face from", "%", 1.5, 0.2, 20),
    ),
    rule(
        "chip_catches", "finding",
        all_of(any_of(catches_edge=is_(True), catches_nail=is_(True)), kind=is_("chip")),
        "round the edge", "before_use",
        "The rim of this chip catches: round it off so that no edge and no finger meets it.",
        DUST,
    ),
    rule(
        "chip_small", "finding",
        all_of(kind=is_("chip")),
        "keep", "none",
        "A small chip that does not catch takes nothing from the stone's work.",
    ),
    rule(
        "stain_holds_water", "finding",
        all_of(kind=is_("stain"), stays_dark_wet=is_(True)),
        "inspect again", "watch",
        "This stain stays dark when the face has dried: look for a fissure or a porous place under it.",
        FROST,
    ),
    rule(
        "stain_acts", "finding",
        all_of(_ACTS, kind=is_("stain")),
        "inspect again", "before_use",
        "A stain cannot catch or scratch: there is an inclusion or a line here. Record it as one.",
        BLADE,
    ),
    rule(
        "stain", "finding",
        all_of(kind=is_("stain")),
        "keep", "none",
        "A stain is colour only.",
    ),
]  # fmt: skip
