"""Offers, and what members agree to."""

import marshmallow as ma
from marshmallow.validate import Regexp

from ..fields import JsonBool, maybe_number, notes, one_of, record_id
from .common import Read, Write

CURRENCY = Regexp(r"^[A-Z]{3}$", error="Give the currency as three capital letters (ISO 4217), such as EUR.")
OFFER_STATES = ("for_sale", "reserved", "sold", "kept_back")


class OfferWrite(Write):
    """Whether a stone is for sale, what it cost and what is asked for it. Kept back: the notes say why."""

    stone_id = record_id(required=True)
    state = one_of(*OFFER_STATES, required=True)
    cost = maybe_number(0, 1e8)
    price = maybe_number(0, 1e8)
    currency = ma.fields.String(load_default="EUR", validate=CURRENCY)
    notes = notes(1000)


class OfferRead(Read, OfferWrite):
    """An offer."""


class ConsentWrite(Write):
    """Whether slips that rest on your trials may show your name to whoever holds their code."""

    names_on_slips = JsonBool(required=True)


class ConsentRead(Read, ConsentWrite):
    """What a member agreed to."""
