"""What all records share on the wire."""

import re
from typing import Any
from uuid import UUID

import marshmallow as ma
from marshmallow.validate import Regexp

from ..fields import Moment, listed, needed_words, number, one_of, record_id, whole, words

SHA256 = re.compile(r"^[0-9a-f]{64}$")
CODE = Regexp(
    r"^[A-Za-z0-9][A-Za-z0-9._/-]{0,19}$", error="Use letters, digits and . _ / - only, at most 20."
)
KEY = Regexp(
    r"^[a-z][a-z0-9_]{0,39}$", error="Use small letters, digits and _ only, a letter first, at most 40."
)
FACES = ("front", "back")
PURPOSES = ("knife", "razor", "plane_iron")


class Write(ma.Schema):
    """A write: own fields and the device's time; what the service fills in may not be sent."""

    recorded_at = Moment(load_default=None, allow_none=True)

    @ma.post_load
    def _ids_as_text(self, data: dict[str, Any], **_kwargs: Any) -> dict[str, Any]:
        return {name: _text_ids(value) for name, value in data.items()}


def _text_ids(value: Any) -> Any:
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, dict):
        return {name: _text_ids(item) for name, item in value.items()}
    if isinstance(value, list):
        return [_text_ids(item) for item in value]
    return value


class Withdrawn(ma.Schema):
    """Who took a record out of use, when and why."""

    at = Moment(required=True)
    by = record_id(required=True, allow_none=True)
    reason = needed_words(500)


class Read(ma.Schema):
    """What the service adds to every record."""

    id = record_id(required=True)
    version = whole(1, 2**31 - 1, required=True)
    revision = whole(1, 2**31 - 1, required=True)
    recorded_at = Moment(required=True, allow_none=True)
    created_by = record_id(required=True, allow_none=True)
    created_at = Moment(required=True)
    updated_by = record_id(required=True, allow_none=True)
    updated_at = Moment(required=True)
    withdrawn = ma.fields.Nested(Withdrawn, required=True, allow_none=True)

    def on_bind_field(self, field_name: str, field_obj: ma.fields.Field[Any]) -> None:
        """What may be left out of a write is always there in what is served; the description says so."""
        field_obj.load_default = ma.missing
        field_obj.required = True


class Reason(ma.Schema):
    """Why."""

    reason = needed_words(500)


class PhotoLink(ma.Schema):
    """A photo that a record shows; the photo itself may arrive later. ``corners``: where the face's four corners lie on
    it, in its pixels as [x, y] from the top left, clockwise from the origin of the face's coordinates along the length;
    left out where nobody has marked them.
    """

    sha256 = ma.fields.String(
        required=True, validate=Regexp(SHA256, error="Give the SHA-256 in hexadecimal.")
    )
    view = one_of("front", "back", "side", "mud", "finish", "before", "after", required=True)
    caption = words(200, load_default="")
    corners = listed(listed(number(-100_000, 100_000), 2, least=2), 4, least=4)


def photos() -> ma.fields.List[Any]:
    """The photos of a record."""
    return listed(ma.fields.Nested(PhotoLink), 20, load_default=list)


def key(**kwargs: Any) -> ma.fields.String:
    """A short name that programs use."""
    return ma.fields.String(validate=KEY, **kwargs)


class ListQuery(ma.Schema):
    """Which page of a list."""

    class Meta:
        unknown = ma.EXCLUDE

    limit = ma.fields.Integer(load_default=100, validate=ma.validate.Range(1, 500))
    cursor = record_id(load_default=None)
    withdrawn = ma.fields.Boolean(load_default=False)


class StoneListQuery(ListQuery):
    """Which page of a list of things that belong to a stone."""

    stone_id = record_id(load_default=None)


class LotListQuery(ListQuery):
    """Which page of a list of things that belong to a lot."""

    lot_id = record_id(load_default=None)
