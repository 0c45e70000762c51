"""Trials and check stones."""

import marshmallow as ma

from ..fields import Moment, maybe_number, needed_words, notes, number, one_of, record_id, whole
from .common import FACES, KEY, PURPOSES, Read, Write, photos


class TrialWrite(Write):
    """One tester, one stone, one blade, by one version of a protocol."""

    stone_id = record_id(required=True)
    blade_id = record_id(required=True)
    protocol_id = record_id(required=True)
    protocol_version = whole(1, 2**31 - 1, required=True)
    face = one_of(*FACES, required=True)
    thickness_mm = maybe_number(0.5, 500)
    started_at = Moment(required=True)
    finished_at = Moment(required=True)
    observations = ma.fields.Dict(
        keys=ma.fields.String(validate=KEY), values=ma.fields.Raw(allow_none=True), load_default=dict,
        validate=ma.validate.Length(max=60),
    )  # fmt: skip
    grades = ma.fields.Dict(
        keys=ma.fields.String(validate=KEY), values=number(-1000, 1000), required=True,
        validate=ma.validate.Length(min=1, max=12),
    )  # fmt: skip
    photos = photos()
    notes = notes()


class Excluded(ma.Schema):
    """Who left a trial out of pooling, when and why."""

    at = Moment(required=True)
    by = record_id(required=True)
    reason = needed_words(500)


class TrialRead(Read, TrialWrite):
    """A trial."""

    excluded = ma.fields.Nested(Excluded, required=True, allow_none=True)


class AgreedGrade(ma.Schema):
    """An agreed grade and how sure the club is of it (standard deviation, scale units)."""

    grade = number(-1000, 1000, required=True)
    sd = number(0.01, 10, required=True)


class CheckStoneWrite(Write):
    """A stone whose grades the club has agreed on, for one purpose."""

    stone_id = record_id(required=True)
    purpose = one_of(*PURPOSES, required=True)
    grades = ma.fields.Dict(
        keys=ma.fields.String(validate=KEY), values=ma.fields.Nested(AgreedGrade), required=True,
        validate=ma.validate.Length(min=1, max=12),
    )  # fmt: skip
    agreed_on = ma.fields.Date(required=True)
    notes = notes()


class CheckStoneRead(Read, CheckStoneWrite):
    """A check stone."""
