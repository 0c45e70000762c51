"""The rules a club starts with.

All thresholds are common practice, no source, unless a comment names one: each club sets its own. Three
habits keep the set honest:

- A condition asks for every fact it needs, so what nobody has looked at never counts as sound.
- Urgency only rises as a finding grows or comes nearer a corner: inside < one edge < a corner < edge to edge.
- Every verdict that asks for work carries the caution that goes with the work.
"""

from collections.abc import Mapping
from typing import Any

from .rules import Rule, read_rules

DUST = (
    "Stone dust can hold crystalline silica: lap, scrape and saw wet, keep it wet, and wipe the mud up "
    "before it dries. Where dust cannot be avoided wear the mask that your local rules ask for."
)
GLUE = (
    "Instant glue gives off vapour that stings and can bring on asthma, and it bonds skin at once: work in "
    "moving air with eye protection and gloves that suit the glue, and follow its maker's sheet and your "
    "local rules."
)
LACQUER = (
    "Raw tree lacquer can cause a severe skin rash, even from a part that is not fully cured, and lacquer "
    "fumes need moving air: cover your skin, follow the maker's sheet and your local rules, and keep away "
    "if you are sensitised."
)
SEAL = f"{LACQUER} Seal the sides and the bottom only, never the working face."
BLADE = "A blade is in play: wipe it away from the edge, and lay it down where nobody reaches across it."
BREAK = "Pieces may come off sharp: hold the stone over a cloth and keep fingers out of the crack."
FROST = "A wet stone that freezes splits. Dry it slowly, out of the sun, and keep it from frost."
LIFT = (
    "Lift with two, close to the body, with a clear way; follow your local rules for lifting, and wear "
    "shoes that protect your toes."
)


def _is(value: Any) -> dict[str, Any]:
    return {"const": value}


def _among(*values: Any) -> dict[str, Any]:
    return {"enum": list(values)}


def _at_least(name: str) -> dict[str, Any]:
    return {"type": "number", "minimum": {"$param": name}}


def _at_most(name: str) -> dict[str, Any]:
    return {"type": "number", "maximum": {"$param": name}}


def _below(name: str) -> dict[str, Any]:
    return {"type": "number", "exclusiveMaximum": {"$param": name}}


def _all(*more: Mapping[str, Any], **facts: Any) -> dict[str, Any]:
    """All the named facts are known and hold; ``more`` adds conditions."""
    when: dict[str, Any] = {"properties": facts, "required": list(facts)}
    if more:
        when["allOf"] = list(more)
    return when


def _any(**facts: Any) -> dict[str, Any]:
    """At least one of the named facts is known and holds."""
    return {"anyOf": [_all(**{name: value}) for name, value in facts.items()]}


def _unknown(*names: str) -> dict[str, Any]:
    """At least one of these has not been looked at."""
    return {"anyOf": [{"not": {"required": [name]}} for name in names]}


def _not(condition: Mapping[str, Any]) -> dict[str, Any]:
    return {"not": condition}


def _limit(name: str, label: str, unit: str, value: float, low: float, high: float) -> dict[str, Any]:
    return {"name": name, "label": label, "unit": unit, "value": value, "low": low, "high": high}


def _rule(
    rule_id: str,
    applies_to: str,
    when: Mapping[str, Any],
    verdict: str,
    urgency: str,
    because: str,
    caution: str | None = None,
    *parameters: Mapping[str, Any],
) -> dict[str, Any]:
    return {
        "id": rule_id,
        "applies_to": applies_to,
        "when": when,
        "verdict": verdict,
        "urgency": urgency,
        "because": because,
        "caution": caution,
        "parameters": list(parameters),
    }


_MOVES = _any(moves_when_pressed=_is(True))
_OPEN = _any(moves_when_pressed=_is(True), catches_nail=_is(True))
_GRITTY = ("inclusion", "line")
_ACTS = _any(catches_edge=_is(True), scratches_finish=_is(True))

_FISSURES = [
    _rule(
        "fissure_split_open", "finding",
        _all(_OPEN, kind=_is("fissure"), reach=_is("opposite_edges")),
        "set aside", "reject",
        "This fissure runs from edge to edge ({length_mm} mm) and is open: the stone can come apart in the "
        "hand.",
        BREAK,
    ),
    _rule(
        "fissure_split_closed", "finding",
        _all(_not(_OPEN), kind=_is("fissure"), reach=_is("opposite_edges")),
        "glue before lapping", "before_use",
        "This fissure runs from edge to edge ({length_mm} mm). It is closed so far, but nothing else holds "
        "the two parts together.",
        f"{GLUE} {BREAK}",
    ),
    _rule(
        "fissure_corner_loose", "finding",
        _all(_MOVES, kind=_is("fissure"), reach=_is("corner")),
        "glue before lapping", "before_use",
        "The corner piece moves when pressed: {piece_long_mm} × {piece_short_mm} mm, {piece_area_mm2} mm² of the "
        "face[, {piece_mass_g} g at most]. If the glue does not hold, trim the corner.",
        f"{GLUE} {BREAK}",
    ),
    _rule(
        "fissure_corner_open", "finding",
        _all(_not(_MOVES), kind=_is("fissure"), reach=_is("corner"), catches_nail=_is(True)),
        "glue before lapping", "before_use",
        "This fissure cuts off a corner of {piece_long_mm} × {piece_short_mm} mm ({face_share_percent} % "
        "of the face) and a fingernail catches in it: water and force can open it.",
        GLUE,
    ),
    _rule(
        "fissure_corner_closed", "finding",
        _all(_not(_OPEN), kind=_is("fissure"), reach=_is("corner")),
        "seal sides", "soon",
        "This fissure cuts off a corner of {piece_long_mm} × {piece_short_mm} mm ({face_share_percent} % "
        "of the face). It is closed: seal the sides there, and look again after each lapping.",
        SEAL,
    ),
    _rule(
        "fissure_corner_at_risk", "finding",
        _all(
            kind=_is("fissure"), reach=_among("inside", "one_edge"),
            corner_distance_mm=_at_most("near_corner_mm"),
            edge_distance_mm=_at_most("near_edge_mm"), angle_deg=_at_most("max_angle_deg"),
        ),
        "seal sides", "soon",
        "{length_mm} mm long, {corner_distance_mm} mm from the corner and {angle_deg}° to the edge: if it "
        "runs on, the corner goes. The club's limits are {near_corner_mm} mm and {max_angle_deg}°.",
        SEAL,
        _limit("near_corner_mm", "Distance to the corner up to", "mm", 25, 5, 60),
        _limit("near_edge_mm", "Distance to the edge up to", "mm", 5, 1.5, 10),
        _limit("max_angle_deg", "Angle to the edge up to", "°", 60, 10, 90),
    ),
    _rule(
        "fissure_edge_sliver", "finding",
        _all(
            kind=_is("fissure"), reach=_among("inside", "one_edge"), length_mm=_at_least("min_length_mm"),
            edge_distance_mm=_at_most("near_edge_mm"), angle_deg=_below("min_angle_deg"),
        ),
        "glue before lapping", "soon",
        "{length_mm} mm long, {angle_deg}° to the edge; the club's limit is {min_angle_deg}°. So flat a "
        "fissure leaves a thin sliver that lifts off.",
        GLUE,
        _limit("min_length_mm", "Length from", "mm", 15, 5, 100),
        _limit("near_edge_mm", "Distance to the edge up to", "mm", 5, 1.5, 10),
        _limit("min_angle_deg", "Angle to the edge below", "°", 20, 5, 45),
    ),
    _rule(
        "fissure_loose", "finding",
        _all(_MOVES, kind=_is("fissure"), reach=_among("inside", "one_edge")),
        "glue before lapping", "before_use",
        "The stone moves here when pressed: a loose piece is glued before lapping, or it comes off in use.",
        f"{GLUE} {BREAK}",
    ),
    _rule(
        "fissure_leaf", "finding",
        _all(_not(_MOVES), kind=_is("fissure"), dip_deg=_at_most("max_dip_deg")),
        "seal sides", "soon",
        "This fissure lies nearly flat under the face ({dip_deg}°; the club's limit is {max_dip_deg}°): a "
        "leaf that may lift, above all when soaked.",
        SEAL,
        _limit("max_dip_deg", "Angle to the face up to", "°", 15, 3, 45),
    ),
    _rule(
        "fissure_open", "finding",
        _all(_not(_MOVES), kind=_is("fissure"), reach=_among("inside", "one_edge"), catches_nail=_is(True)),
        "watch", "soon",
        "A fingernail catches in this fissure[ ({length_mm} mm)], so it is open to water and grit. Keep the edge "
        "moving across it, not along it, and measure it again after the next lapping.",
        FROST,
    ),
    _rule(
        "fissure_at_edge", "finding",
        _all(kind=_is("fissure"), reach=_is("one_edge")),
        "watch", "watch",
        "This fissure reaches an edge, {corner_distance_mm} mm from the nearest corner: look at it on the "
        "side too.",
    ),
    _rule(
        "fissure_long", "finding",
        _all(kind=_is("fissure"), length_mm=_at_least("long_mm")),
        "watch", "watch",
        "{length_mm} mm long; the club watches fissures from {long_mm} mm.",
        None,
        _limit("long_mm", "Watch from", "mm", 60, 10, 200),
    ),
    _rule(
        "fissure_holds_water", "finding",
        _all(kind=_is("fissure"), stays_dark_wet=_is(True)),
        "keep from frost", "watch",
        "This fissure stays dark when the face has dried, so it holds water.",
        FROST,
    ),
    _rule(
        "fissure_not_probed", "finding",
        _all(_unknown("catches_nail", "moves_when_pressed"), kind=_is("fissure")),
        "inspect again", "watch",
        "Nobody has yet drawn a fingernail across this fissure and pressed beside it: do both.",
    ),
    _rule(
        "fissure_hairline", "finding",
        _all(
            kind=_is("fissure"), reach=_is("inside"), catches_nail=_is(False), moves_when_pressed=_is(False),
        ),
        "keep", "none",
        "A closed hairline[, {length_mm} mm,] that reaches no edge: stable as it is.",
    ),
]  # fmt: skip

_INCLUSIONS = [
    _rule(
        "inclusion_acts", "finding",
        _all(_ACTS, kind=_among(*_GRITTY), relieved=_is(False)),
        "relieve below the face", "before_use",
        "This {kind} catches the edge or scratches the finish. Scrape it below the face, not the whole "
        "stone down to it, then test it again with a soft blade.",
        f"{DUST} {BLADE}",
    ),
    _rule(
        "inclusion_acts_after_relief", "finding",
        _all(_ACTS, kind=_among(*_GRITTY), relieved=_is(True)),
        "keep off the face", "before_use",
        "This {kind} still catches or scratches although it was relieved: keep the edge off this place, or "
        "give the stone a coarser use.",
        BLADE,
    ),
    _rule(
        "inclusion_large_after_relief", "finding",
        _all(
            _ACTS, kind=_among(*_GRITTY), relieved=_is(True),
            face_share_percent=_at_least("max_share_percent"),
        ),
        "set aside", "reject",
        "This {kind} still acts after relieving and takes {face_share_percent} % of the face; the club's "
        "limit is {max_share_percent} %.",
        None,
        _limit("max_share_percent", "Share of the face from", "%", 2, 0.2, 20),
    ),
    _rule(
        "inclusion_retest", "finding",
        _all(_unknown("scratches_finish"), kind=_among(*_GRITTY), relieved=_is(True)),
        "inspect again", "before_use",
        "This {kind} was relieved; whether it still scratches has not been tested. Draw a soft blade "
        "across it.",
        BLADE,
    ),
    _rule(
        "inclusion_not_probed", "finding",
        _all(
            _unknown("catches_edge", "scratches_finish"), _not(_ACTS),
            kind=_among(*_GRITTY), relieved=_is(False),
        ),
        "inspect again", "soon",
        "This {kind} has not been probed: a dark mark does harm only if it catches or scratches. Draw a "
        "soft blade across it and look at the scratch pattern.",
        BLADE,
    ),
    _rule(
        "inclusion_not_felt", "finding",
        _all(kind=_is("inclusion"), catches_edge=_is(False), scratches_finish=_is(False)),
        "keep", "none",
        "This inclusion is not felt and does not scratch.",
    ),
    _rule(
        "line_harmless", "finding",
        _all(kind=_is("line"), catches_edge=_is(False), scratches_finish=_is(False)),
        "keep", "none",
        "This line neither catches nor scratches: colour only.",
    ),
]  # fmt: skip

_PATCHES = [
    _rule(
        "soft_spot_large", "finding",
        _all(kind=_is("soft_spot"), face_share_percent=_at_least("max_share_percent")),
        "keep off the face", "soon",
        "This soft spot takes {face_share_percent} % of the face; the club's limit is {max_share_percent} "
        "%. It wears hollow and the edge dips into it.",
        None,
        _limit("max_share_percent", "Share of the face from", "%", 2, 0.2, 20),
    ),
    _rule(
        "soft_spot", "finding",
        _all(kind=_is("soft_spot")),
        "watch", "watch",
        "A soft spot wears faster than its surroundings: measure the flatness there.",
    ),
    _rule(
        "chip_large", "finding",
        _all(kind=_is("chip"), face_share_percent=_at_least("max_share_percent")),
        "trim the corner", "soon",
        "This chip takes {face_share_percent} % of the face[ ({piece_mass_g} g gone at most)]; the club's limit "
        "is {max_share_percent} %.",
        DUST,
        _limit("max_share_percent", "Share of the face from", "%", 1.5, 0.2, 20),
    ),
    _rule(
        "chip_catches", "finding",
        _all(_any(catches_edge=_is(True), catches_nail=_is(True)), kind=_is("chip")),
        "round the edge", "before_use",
        "The rim of this chip catches: round it off so that no edge and no finger meets it.",
        DUST,
    ),
    _rule(
        "chip_small", "finding",
        _all(kind=_is("chip")),
        "keep", "none",
        "A small chip that does not catch takes nothing from the stone's work.",
    ),
    _rule(
        "stain_holds_water", "finding",
        _all(kind=_is("stain"), stays_dark_wet=_is(True)),
        "inspect again", "watch",
        "This stain stays dark when the face has dried: look for a fissure or a porous place under it.",
        FROST,
    ),
    _rule(
        "stain_acts", "finding",
        _all(_ACTS, kind=_is("stain")),
        "inspect again", "before_use",
        "A stain cannot catch or scratch: there is an inclusion or a line here. Record it as one.",
        BLADE,
    ),
    _rule(
        "stain", "finding",
        _all(kind=_is("stain")),
        "keep", "none",
        "A stain is colour only.",
    ),
]  # fmt: skip

_FACE = [
    _rule(
        "rattle", "inspection",
        _all(tap_tone=_is("rattle")),
        "inspect again", "before_use",
        "Tapped, the stone rattles: something in it is loose. Find it before any work.",
        BREAK,
    ),
    _rule(
        "dull_with_fissures", "inspection",
        _all(tap_tone=_is("dull"), n_fissures={"type": "number", "minimum": 1}),
        "inspect again", "watch",
        "Tapped, the stone sounds dull and {n_fissures} fissures are on record: one may go deeper than it "
        "shows. Look at the sides while they dry.",
    ),
    _rule(
        "many_fissures", "inspection",
        _all(fissure_length_percent=_at_least("max_percent")),
        "watch", "soon",
        "The fissures of this face add up to {fissure_length_mm} mm, {fissure_length_percent} % of the "
        "stone's length; the club's limit is {max_percent} %.",
        FROST,
        _limit("max_percent", "Sum over the stone's length from", "%", 150, 30, 500),
    ),
    _rule(
        "unsealed_and_thirsty", "inspection",
        _all(sides_sealed=_is(False), uptake_class=_among("quick", "at_once")),
        "seal sides", "soon",
        "The sides are open and the face drinks a drop quickly ({uptake_class}): water in the layers "
        "swells and loosens them.",
        SEAL,
    ),
    _rule(
        "frost", "inspection",
        _all(uptake_class=_among("quick", "at_once"), n_fissures={"type": "number", "minimum": 1}),
        "keep from frost", "watch",
        "This stone takes in water; fissures on record: {n_fissures}. Ice in a fissure splits a stone.",
        FROST,
    ),
    _rule(
        "splash_only", "inspection",
        _all(uptake_class=_among("beads", "slow")),
        "splash only", "none",
        "Water stands on this face: splash it, do not soak it. Long soaking can open layers and gains "
        "nothing.",
    ),
    _rule(
        "first_lapping", "inspection",
        _all(lapped_before=_is(False)),
        "lap", "before_use",
        "This face has not been lapped since it was sawn; a sawn face feels coarser than the stone is. Lap "
        "it before anyone grades it.",
        DUST,
    ),
    _rule(
        "flatness_not_read", "inspection",
        _all(flatness_read=_is(False)),
        "inspect again", "watch",
        "No flatness was read for this face: lay a straightedge on both diagonals and note the gaps.",
    ),
    _rule(
        "out_of_flat", "inspection",
        _all(flatness_um=_at_least("max_flatness_um")),
        "lap", "before_use",
        "The face is {flatness_um} µm out of flat ({flatness_shape}); the club's limit is "
        "{max_flatness_um} µm.",
        DUST,
        _limit("max_flatness_um", "Out of flat from", "µm", 150, 20, 500),
    ),
    _rule(
        "out_of_flat_for_fineness", "inspection",
        _all(flatness_um=_at_least("max_flatness_um"), fineness_grade=_at_least("fine_from")),
        "lap", "before_use",
        "The face is {flatness_um} µm out of flat ({flatness_shape}). For a stone of fineness "
        "{fineness_grade} the club's limit is {max_flatness_um} µm: a fine stone helps only where the edge "
        "touches it.",
        DUST,
        _limit("max_flatness_um", "Out of flat from", "µm", 50, 5, 300),
        _limit("fine_from", "Fineness grade from", "", 4, 2, 5),
    ),
    _rule(
        "after_repair", "inspection",
        _all(repaired_since=_is(True)),
        "inspect again", "before_use",
        "A repair was done after the last look at this stone: inspect it again before it is used or sold.",
    ),
    _rule(
        "marked_face", "inspection",
        _all(face_marked=_is(True)),
        "ask before lapping", "watch",
        "This face carries a stamp or natural skin, which is part of the stone's value: ask the dealer "
        "before anyone laps or trims it, and grade the other face.",
    ),
]  # fmt: skip

_STONE = [
    _rule(
        "sizes_not_measured", "stone",
        _all(sizes_known=_is(False)),
        "inspect again", "soon",
        "Length and width of this stone are not on record, so nothing can be said of where its findings lie: "
        "measure it.",
    ),
    _rule(
        "far_too_thin", "stone",
        _all(thickness_mm=_below("min_thickness_mm")),
        "set aside", "reject",
        "{thickness_mm} mm thick; below {min_thickness_mm} mm a stone bends and breaks under the hand.",
        BREAK,
        _limit("min_thickness_mm", "Thickness below", "mm", 4, 1, 10),
    ),
    _rule(
        "too_thin", "stone",
        _all(thickness_mm=_below("min_thickness_mm"), form=_among("bench", "irregular")),
        "mount on a base", "soon",
        "{thickness_mm} mm thick; from {min_thickness_mm} mm down a bench stone is glued flat on a base "
        "before use.",
        GLUE,
        _limit("min_thickness_mm", "Thickness below", "mm", 12, 5, 25),
    ),
    _rule(
        "too_short_for_the_bench", "stone",
        # Common practice calls a stone of less than about 100–120 mm a hand or finger stone.
        _all(form=_is("bench"), usable_length_mm=_below("min_length_mm")),
        "grade as a hand stone", "watch",
        "Clear of its defects the face is {usable_length_mm} × {usable_width_mm} mm; under {min_length_mm} "
        "mm it is a hand stone.",
        None,
        _limit("min_length_mm", "Usable length below", "mm", 110, 80, 150),
    ),
    _rule(
        "little_face_left", "stone",
        _all(usable_share_percent=_below("min_share_percent")),
        "grade as a hand stone", "soon",
        "Clear of its defects only {usable_share_percent} % of the face is left; the club's limit is "
        "{min_share_percent} %.",
        None,
        _limit("min_share_percent", "Usable share below", "%", 40, 10, 90),
    ),
    _rule(
        "density_not_believable", "stone",
        # Chert 2.5–2.65, slate 2.7–2.8, sandstone 2.0–2.6 g/cm³ are the ranges usually given (from memory).
        _all(
            {"anyOf": [_all(density_g_cm3=_below("lightest")), _all(
                density_g_cm3={"type": "number", "exclusiveMinimum": {"$param": "heaviest"}})]},
        ),
        "inspect again", "soon",
        "Mass and sizes make {density_g_cm3} g/cm³, outside {lightest} to {heaviest}: measure and weigh "
        "again.",
        None,
        _limit("lightest", "Density below", "g/cm³", 1.6, 0.5, 2.4),
        _limit("heaviest", "Density above", "g/cm³", 3.6, 2.8, 6),
    ),
    _rule(
        "lift_with_two", "stone",
        # Guidance on manual handling commonly starts at 16 to 25 kg (from memory); clubs set their own.
        _all(mass_g=_at_least("heavy_g")),
        "lift with two", "before_use",
        "The stone weighs {mass_g} g; the club lifts with two from {heavy_g} g.",
        LIFT,
        _limit("heavy_g", "Mass from", "g", 16000, 5000, 25000),
    ),
]  # fmt: skip

DEFAULT_RULES: tuple[Rule, ...] = read_rules([*_FISSURES, *_INCLUSIONS, *_PATCHES, *_FACE, *_STONE])
"""The default set, checked as any club's set is."""
