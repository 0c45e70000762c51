"""Lots, stones, blades."""

import marshmallow as ma

from ..fields import JsonBool, listed, maybe_number, needed_words, notes, number, one_of, record_id, words
from .common import CODE, FACES, Read, Write, key, photos

KINDS = ("slate", "novaculite", "schist", "sandstone", "siltstone", "garnet_slate", "chert", "other")


class LotWrite(Write):
    """Stones that came in together."""

    code = ma.fields.String(required=True, validate=CODE)
    name = needed_words(120)
    quarry = words(120, load_default="")
    received_on = ma.fields.Date(load_default=None, allow_none=True)
    notes = notes()


class LotRead(Read, LotWrite):
    """A lot."""


class Mark(ma.Schema):
    """A quarry stamp or natural skin on a face: part of the value, never to be lapped away unasked."""

    face = one_of(*FACES, required=True)
    kind = one_of("stamp", "natural_skin", required=True)
    notes = notes(500)


class StoneWrite(Write):
    """One whetstone. Sizes in mm, mass in g."""

    code = ma.fields.String(required=True, validate=CODE)
    lot_id = record_id(required=True)
    kind = one_of(*KINDS, required=True)
    form = one_of("bench", "hand", "finger", "irregular", required=True)
    length_mm = number(5, 2000, required=True)
    width_mm = number(3, 1000, required=True)
    thickness_mm = number(1, 500, required=True)
    mass_g = maybe_number(1, 200_000)
    colour = words(120, load_default="")
    marks = listed(ma.fields.Nested(Mark), 10, load_default=list)
    sides_sealed = JsonBool(load_default=False)
    photos = photos()
    notes = notes()


class StoneRead(Read, StoneWrite):
    """A stone."""


class BladeWrite(Write):
    """A reference blade. Trials are pooled by ``steel``."""

    name = needed_words(120)
    steel = key(required=True)
    steel_name = needed_words(80)
    steel_class = one_of("plain_carbon", "low_alloy", "stainless", "high_alloy", "powder", required=True)
    construction = one_of("mono", "laminated", "clad", required=True)
    hardness_hrc = maybe_number(20, 72)
    form = one_of("knife", "razor", "plane_iron", required=True)
    notes = notes()


class BladeRead(Read, BladeWrite):
    """A blade."""
