"""Assignments and hand-overs."""

import marshmallow as ma

from ..fields import Moment, notes, one_of, record_id
from .common import PURPOSES, Read, Write, key


class AssignmentWrite(Write):
    """A trial that the dealer asks of a tester; any steel if none is named."""

    stone_id = record_id(required=True)
    tester_id = record_id(required=True)
    purpose = one_of(*PURPOSES, required=True)
    steel = key(load_default=None, allow_none=True)
    due_on = ma.fields.Date(load_default=None, allow_none=True)
    notes = notes(1000)


class AssignmentRead(Read, AssignmentWrite):
    """An assignment."""


class HandOverWrite(Write):
    """A stone changes hands; no holder means that it is back with the dealer."""

    stone_id = record_id(required=True)
    holder_id = record_id(load_default=None, allow_none=True)
    handed_at = Moment(required=True)
    notes = notes(1000)


class HandOverRead(Read, HandOverWrite):
    """A hand-over."""
