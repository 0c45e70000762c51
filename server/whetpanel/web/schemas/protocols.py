"""Protocols and soundness rules."""

from typing import Any

import marshmallow as ma

from ..fields import (
    JsonBool,
    JsonNumber,
    listed,
    maybe_number,
    needed_words,
    number,
    one_of,
    whole,
    words,
)
from .common import PURPOSES, Read, Write, key


class Caution(ma.Schema):
    """A danger and how to meet it."""

    id = key(required=True)
    text = needed_words(1000)


class Condition(ma.Schema):
    """One condition of a step, such as strokes or pressure."""

    name = needed_words(60)
    value = needed_words(120)


class Counter(ma.Schema):
    """What is counted in a step, and up to how many."""

    name = needed_words(60)
    target = whole(1, 100_000, required=True)


class Step(ma.Schema):
    """One step of a trial, and what is recorded in it."""

    id = key(required=True)
    title = needed_words(120)
    text = words(2000, load_default="")
    conditions = listed(ma.fields.Nested(Condition), 12, load_default=list)
    timer_s = whole(1, 36_000, load_default=None, allow_none=True)
    counter = ma.fields.Nested(Counter, load_default=None, allow_none=True)
    records = listed(key(), 20, load_default=list)


class Scale(ma.Schema):
    """A graded scale; ``words`` names levels by their number as text."""

    id = key(required=True)
    name = needed_words(60)
    low = number(-1000, 1000, required=True)
    high = number(-1000, 1000, required=True)
    step = number(0.01, 1000, required=True)
    words = ma.fields.Dict(
        keys=ma.fields.String(validate=ma.validate.Length(max=8)), values=needed_words(400), load_default=dict
    )


class ChoiceValue(ma.fields.Field[Any]):
    """A choice's value: a whole number or a short word."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | str):
            raise ma.ValidationError("Give a whole number or a short word.")
        if isinstance(value, str) and not 1 <= len(value) <= 40:
            raise ma.ValidationError("Give a word of 1 to 40 characters.")
        return value


class Choice(ma.Schema):
    """One answer to choose, and its words."""

    value = ChoiceValue(
        required=True,
        metadata={"oneOf": [{"type": "integer"}, {"type": "string", "minLength": 1, "maxLength": 40}]},
    )
    words = needed_words(200)


class Observation(ma.Schema):
    """Something a tester notes beside the grades."""

    id = key(required=True)
    name = needed_words(80)
    help = words(1000, load_default="")
    kind = one_of("choice", "number", "grit_band", "yes_no", "text", required=True)
    unit = words(20, load_default=None, allow_none=True)
    low = maybe_number()
    high = maybe_number()
    choices = listed(ma.fields.Nested(Choice), 20, load_default=list)
    required = JsonBool(load_default=False)


class ProtocolWrite(Write):
    """How a trial is done, for one purpose."""

    name = needed_words(120)
    purpose = one_of(*PURPOSES, required=True)
    summary = words(2000, load_default="")
    reference_steels = listed(key(), 12, least=1, required=True)
    cautions = listed(ma.fields.Nested(Caution), 30, load_default=list)
    steps = listed(ma.fields.Nested(Step), 60, least=1, required=True)
    scales = listed(ma.fields.Nested(Scale), 12, least=1, required=True)
    observations = listed(ma.fields.Nested(Observation), 60, load_default=list)


class ProtocolRead(Read, ProtocolWrite):
    """A protocol; its version is what trials name."""


class Parameter(ma.Schema):
    """A threshold of a rule that a steward may set, and between which ends."""

    name = key(required=True)
    label = needed_words(120)
    unit = words(20, load_default="")
    value = JsonNumber(required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)


class Rule(ma.Schema):
    """A soundness rule: a JSON Schema over the facts, and what follows when they fit it."""

    id = key(required=True)
    applies_to = one_of("finding", "inspection", "stone", required=True)
    when = ma.fields.Dict(required=True)
    verdict = needed_words(80)
    urgency = one_of("none", "watch", "soon", "before_use", "reject", required=True)
    because = needed_words(600)
    caution = words(1000, load_default=None, allow_none=True)
    parameters = listed(ma.fields.Nested(Parameter), 12, load_default=list)


class RuleSetWrite(Write):
    """The club's soundness rules."""

    name = needed_words(120)
    rules = listed(ma.fields.Nested(Rule), 100, required=True)


class RuleSetRead(Read, RuleSetWrite):
    """The club's soundness rules, versioned."""
