"""Slips: published grades."""

import marshmallow as ma

from ..fields import (
    JsonBool,
    JsonNumber,
    Moment,
    listed,
    needed_words,
    notes,
    one_of,
    record_id,
    whole,
    words,
)
from .common import FACES, PURPOSES, Read, Write
from .stones import Mark

MANY = 1_000_000


class SlipWrite(Write):
    """Which stone is published, for which purpose; with a reason if something stands in the way."""

    stone_id = record_id(required=True)
    purpose = one_of(*PURPOSES, required=True)
    override_reason = words(1000, load_default=None, allow_none=True)
    notes = notes()


class SlipStone(ma.Schema):
    """The stone as it was graded."""

    code = words(20, required=True)
    kind = words(20, required=True)
    form = words(20, required=True)
    length_mm = JsonNumber(required=True)
    width_mm = JsonNumber(required=True)
    thickness_mm = JsonNumber(required=True)
    mass_g = JsonNumber(required=True, allow_none=True)
    density_g_cm3 = JsonNumber(required=True, allow_none=True)
    colour = words(120, required=True)
    face = one_of(*FACES, required=True)
    sides_sealed = JsonBool(required=True)
    marks = ma.fields.List(ma.fields.Nested(Mark), required=True)


class SlipSteel(ma.Schema):
    """The grade with one steel."""

    steel = words(40, required=True)
    steel_name = words(80, required=True)
    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    n_trials = whole(0, MANY, required=True)


class SlipGrade(ma.Schema):
    """One published grade with its 90 % interval and the words of the nearest level."""

    scale = words(40, required=True)
    name = words(60, required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)
    step = JsonNumber(required=True)
    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    at_end = one_of("low", "high", required=True, allow_none=True)
    words = words(400, required=True, allow_none=True)
    by_steel = ma.fields.List(ma.fields.Nested(SlipSteel), required=True)


class Inspected(ma.Schema):
    """When the graded face was last inspected before the slip was issued."""

    at = Moment(required=True)


class SlipEvidence(ma.Schema):
    """What the grades rest on. Old slips do not say whether the face was inspected."""

    n_trials = whole(0, MANY, required=True)
    n_testers = whole(0, MANY, required=True)
    n_steels = whole(0, MANY, required=True)
    steels = ma.fields.List(words(80), required=True)
    level_note = words(1000, required=True)
    signs_note = words(2000)
    inspected = ma.fields.Nested(Inspected, allow_none=True)


class SlipOwnEvidence(SlipEvidence):
    """With whose trials, for the club alone."""

    tester_ids = ma.fields.List(record_id())


class SlipFinding(ma.Schema):
    """What the last inspection says that an owner should know."""

    verdict = words(80, required=True)
    urgency = words(20, required=True)
    because = words(1000, required=True)


class Fixed(ma.Schema):
    """What the service fixed at issue."""

    code = words(20, required=True)
    issued_on = ma.fields.Date(required=True)
    stone = ma.fields.Nested(SlipStone, required=True)
    grades = ma.fields.List(ma.fields.Nested(SlipGrade), required=True)
    evidence = ma.fields.Nested(SlipEvidence, required=True)
    findings = ma.fields.List(ma.fields.Nested(SlipFinding), required=True)
    care = ma.fields.List(words(1000), required=True)
    method_version = needed_words(40)
    inputs_digests = ma.fields.Dict(keys=words(40), values=words(64), required=True)
    club_name = needed_words(120)


class SlipRead(Read, SlipWrite, Fixed):
    """A slip."""

    evidence = ma.fields.Nested(SlipOwnEvidence, required=True)
    pool_revision = whole(0, 2**31 - 1, required=True)


class PublishedWithdrawn(ma.Schema):
    """When and why a slip was withdrawn."""

    at = Moment(required=True)
    reason = needed_words(500)


class PublishedRead(Fixed):
    """A slip for whoever holds its code. ``testers``: the names of those who agree to be named."""

    purpose = one_of(*PURPOSES, required=True)
    override_reason = words(1000, required=True, allow_none=True)
    testers = ma.fields.List(words(80), required=True)
    withdrawn = ma.fields.Nested(PublishedWithdrawn, required=True, allow_none=True)
    invented = JsonBool(required=True)


class ReadinessRead(ma.Schema):
    """Whether a stone may be published, and what stands in the way."""

    purpose = one_of(*PURPOSES, required=True)
    ready = JsonBool(required=True)
    blocks = ma.fields.List(words(1000), required=True)
    grades = ma.fields.List(ma.fields.Dict(), required=True)


class MovedSlip(ma.Schema):
    """A slip whose grade later evidence has moved by a step or more."""

    slip_id = record_id(required=True)
    stone_id = record_id(required=True)
    purpose = one_of(*PURPOSES, required=True)
    scale = words(40, required=True)
    published = JsonNumber(required=True)
    now = JsonNumber(required=True)


class MovedSlipsRead(ma.Schema):
    """Slips to issue anew."""

    items = listed(ma.fields.Nested(MovedSlip), MANY, required=True)
