"""Inspections, findings and verdicts."""

import marshmallow as ma

from ..fields import (
    JsonBool,
    Moment,
    listed,
    maybe_bool,
    maybe_number,
    maybe_one_of,
    needed_words,
    notes,
    number,
    one_of,
    record_id,
    whole,
    words,
)
from .common import FACES, Read, Write, photos


class Point(ma.Schema):
    """A place on the face: mm from one corner, x along the length, y along the width."""

    x_mm = number(-50, 2050, required=True)
    y_mm = number(-50, 1050, required=True)


class HeightReading(ma.Schema):
    """A height (grid) or a gap (straightedge) at a place, micrometres."""

    x_mm = number(-50, 2050, required=True)
    y_mm = number(-50, 1050, required=True)
    height_um = number(-20_000, 20_000, required=True)


class Flatness(ma.Schema):
    """Heights on a grid, or gaps under a straightedge."""

    method = one_of("grid", "straightedge", required=True)
    readings = listed(ma.fields.Nested(HeightReading), 200, least=1, required=True)


class FindingBody(ma.Schema):
    """One thing seen on the face. Null means: not probed."""

    id = record_id(required=True)
    kind = one_of("fissure", "inclusion", "line", "chip", "soft_spot", "stain", required=True)
    points = listed(ma.fields.Nested(Point), 200, least=1, required=True)
    size_mm = maybe_number(0, 2000)
    depth_mm = maybe_number(0, 500)
    dip_deg = maybe_number(0, 90)
    catches_nail = maybe_bool()
    catches_edge = maybe_bool()
    scratches_finish = maybe_bool()
    stays_dark_wet = maybe_bool()
    moves_when_pressed = maybe_bool()
    relieved = JsonBool(load_default=False)
    notes = notes(1000)


class InspectionWrite(Write):
    """A look at one face of a stone."""

    stone_id = record_id(required=True)
    face = one_of(*FACES, required=True)
    thickness_mm = maybe_number(0.5, 500)
    inspected_at = Moment(required=True)
    water_uptake_s = maybe_number(0, 86_400)
    drop_state = maybe_one_of("beads", "slow", "quick", "at_once")
    dry_mass_g = maybe_number(0, 200_000)
    wet_mass_g = maybe_number(0, 200_000)
    tap_tone = maybe_one_of("ring", "dull", "rattle")
    sides_sealed = maybe_bool()
    flatness = ma.fields.Nested(Flatness, load_default=None, allow_none=True)
    findings = listed(ma.fields.Nested(FindingBody), 60, load_default=list)
    photos = photos()
    notes = notes()


class Verdict(ma.Schema):
    """What a rule says, and why."""

    rule_id = needed_words(40)
    verdict = needed_words(80)
    urgency = one_of("none", "watch", "soon", "before_use", "reject", required=True)
    because = needed_words(1000)
    caution = words(1000, required=True, allow_none=True)
    facts = ma.fields.Dict(required=True)


class VerdictRead(Verdict):
    """What a rule says of a finding, or (null) of the whole."""

    finding_id = record_id(required=True, allow_none=True)


class InspectionRead(Read, InspectionWrite):
    """An inspection, with the verdicts of the rules then in force."""

    verdicts = listed(ma.fields.Nested(VerdictRead), 1000, required=True)
    rule_set_version = whole(1, 2**31 - 1, required=True)
