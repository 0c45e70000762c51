"""Repairs, lappings, and the work that is open."""

import marshmallow as ma

from ..fields import (
    JsonBool,
    JsonNumber,
    Moment,
    maybe_number,
    needed_words,
    notes,
    one_of,
    record_id,
    whole,
    words,
)
from .common import FACES, Read, Write, photos
from .inspections import Verdict, VerdictRead
from .protocols import Rule

URGENCIES = ("none", "watch", "soon", "before_use", "reject")


class RepairWrite(Write):
    """What was done about one verdict of an inspection: who did it is its author, with what and when it says."""

    stone_id = record_id(required=True)
    inspection_id = record_id(required=True)
    finding_id = record_id(load_default=None, allow_none=True)
    rule_id = needed_words(40)
    verdict = needed_words(80)
    outcome = one_of("done", "not_needed", required=True)
    done_at = Moment(required=True)
    with_what = words(400, load_default="")
    photos = photos()
    notes = notes()


class RepairRead(Read, RepairWrite):
    """A repair."""


class LappingWrite(Write):
    """One lapping. With strokes, stroke length, force and the depth that came off, it teaches the club its rate."""

    stone_id = record_id(required=True)
    face = one_of(*FACES, required=True)
    lapped_at = Moment(required=True)
    grit_system = one_of("jis", "fepa_f", "fepa_p", required=True)
    grit_number = whole(1, 100_000, required=True)
    strokes = whole(1, 1_000_000, load_default=None, allow_none=True)
    stroke_mm = maybe_number(1, 2000)
    force_n = maybe_number(0.1, 2000)
    removed_um = maybe_number(0, 50_000)
    thickness_after_mm = maybe_number(0.5, 500)
    marked_face_agreed = JsonBool(load_default=False)
    notes = notes()


class LappingRead(Read, LappingWrite):
    """A lapping."""


class WorkItemRead(ma.Schema):
    """One thing to do to a stone, and why. Without a rule it asks for nothing but a fresh look after a repair."""

    stone_id = record_id(required=True)
    face = one_of(*FACES, required=True)
    inspection_id = record_id(required=True)
    finding_id = record_id(required=True, allow_none=True)
    rule_id = words(40, required=True, allow_none=True)
    verdict = needed_words(80)
    urgency = one_of(*URGENCIES, required=True)
    because = needed_words(1000)
    caution = words(1000, required=True, allow_none=True)


class WorkListRead(ma.Schema):
    """Open work, most urgent first."""

    items = ma.fields.List(ma.fields.Nested(WorkItemRead), required=True)


class LappingRateRead(ma.Schema):
    """Preston's coefficient of the club (1/Pa, at the reference grain), with a 90 % interval for the next lapping."""

    per_pa = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    n_lappings = whole(0, 10**9, required=True)


class RulesPreviewWrite(ma.Schema):
    """Rules to try on the stones at hand."""

    rules = ma.fields.List(ma.fields.Nested(Rule), required=True, validate=ma.validate.Length(max=100))


class RuleEffect(ma.Schema):
    """What other rules would change for one face."""

    stone_id = record_id(required=True)
    face = one_of(*FACES, required=True)
    gone = ma.fields.List(ma.fields.Nested(VerdictRead), required=True)
    new = ma.fields.List(ma.fields.Nested(VerdictRead), required=True)


class NotJudged(ma.Schema):
    """A face whose inspection the rules cannot judge, and why."""

    stone_id = record_id(required=True)
    face = one_of(*FACES, required=True)
    detail = needed_words(1000)


class RulesPreviewRead(ma.Schema):
    """What other rules would change, of how many inspected faces."""

    n_inspected = whole(0, 10**9, required=True)
    changed = ma.fields.List(ma.fields.Nested(RuleEffect), required=True)
    cannot_be_judged = ma.fields.List(ma.fields.Nested(NotJudged), required=True)


class AssessWrite(ma.Schema):
    """A stone and an inspection as their records have them; rules and history if not the default ones."""

    stone = ma.fields.Dict(required=True)
    inspection = ma.fields.Dict(required=True)
    rules = ma.fields.List(ma.fields.Dict(), load_default=None, allow_none=True)
    history = ma.fields.Dict(load_default=None, allow_none=True)


class FindingFactsRead(ma.Schema):
    """What was measured of one finding."""

    finding_id = words(80, required=True)
    facts = ma.fields.Dict(required=True)


class AskedVerdict(Verdict):
    """A verdict on a finding whose id is whatever the sender calls it."""

    finding_id = words(80, required=True, allow_none=True)


class AssessmentRead(ma.Schema):
    """The whole answer: verdicts most urgent first, the facts they rest on, the usable face and the lapping."""

    urgency = one_of(*URGENCIES, required=True)
    verdicts = ma.fields.List(ma.fields.Nested(AskedVerdict), required=True)
    findings = ma.fields.List(ma.fields.Nested(FindingFactsRead), required=True)
    stone = ma.fields.Dict(required=True)
    inspection = ma.fields.Dict(required=True)
    flatness = ma.fields.Dict(required=True, allow_none=True)
    usable_face = ma.fields.Dict(required=True, allow_none=True)
    lapping = ma.fields.Dict(required=True, allow_none=True)
    notes = ma.fields.List(words(1000), required=True)
