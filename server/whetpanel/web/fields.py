"""Marshmallow fields that take JSON at its word: a number is a number, not text that looks like one."""

import math
from datetime import datetime
from typing import Any

import marshmallow as ma
from marshmallow.validate import Length, OneOf, Range

_FAR = 1e9


class JsonInt(ma.fields.Integer):
    """JSON Schema's integer: takes 402 and 402.0; refuses "402", 4.7 and true."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        whole = isinstance(value, int) or (isinstance(value, float) and value.is_integer())
        if isinstance(value, bool) or not whole:
            raise self.make_error("invalid")
        return super()._deserialize(int(value), attr, data, **kwargs)


class JsonNumber(ma.fields.Float):
    """JSON Schema's number, finite; refuses "3.5" and true."""

    default_error_messages = {"invalid": "Not a valid number."}  # noqa: RUF012

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.make_error("invalid")
        number = float(value) if abs(value) < 1e300 else math.inf
        if not math.isfinite(number):
            raise self.make_error("invalid")
        return number


class JsonBool(ma.fields.Boolean):
    """JSON Schema's boolean; refuses "yes" and 1."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        if not isinstance(value, bool):
            raise self.make_error("invalid", input=value)
        return value


def _storable(text: str) -> None:
    # PostgreSQL cannot hold U+0000, and a lone surrogate is no character in UTF-8: refuse both at the door.
    if "\x00" in text or any("\ud800" <= character <= "\udfff" for character in text):
        raise ma.ValidationError("Leave out control characters that cannot be stored.")


class Moment(ma.fields.AwareDateTime):
    """RFC 3339 with its zone, within the years that can be stored."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> datetime:
        if not isinstance(value, str):
            raise self.make_error("invalid", input=value, obj_type=self.OBJ_TYPE)
        moment: datetime = super()._deserialize(value, attr, data, **kwargs)
        if not 1970 <= moment.year <= 9000:
            raise ma.ValidationError("Give a year from 1970 on.")
        return moment


def words(most: int, *, least: int = 0, **kwargs: Any) -> ma.fields.String:
    """Text of at most so many characters."""
    return ma.fields.String(validate=[Length(min=least, max=most), _storable], **kwargs)


def needed_words(most: int, **kwargs: Any) -> ma.fields.String:
    """Text that must be there and not be empty."""
    return words(most, least=1, required=True, **kwargs)


def notes(most: int = 4000) -> ma.fields.String:
    """Free text, empty if left out."""
    return words(most, load_default="")


def number(low: float = -_FAR, high: float = _FAR, **kwargs: Any) -> JsonNumber:
    """A number between two ends, both included."""
    return JsonNumber(validate=Range(min=low, max=high), **kwargs)


def maybe_number(low: float = -_FAR, high: float = _FAR) -> JsonNumber:
    """A number or null; null if left out."""
    return number(low, high, load_default=None, allow_none=True)


def whole(low: int, high: int, **kwargs: Any) -> JsonInt:
    """A whole number between two ends, both included."""
    return JsonInt(validate=Range(min=low, max=high), **kwargs)


def one_of(*choices: str, **kwargs: Any) -> ma.fields.String:
    """One word of a closed list."""
    return ma.fields.String(validate=OneOf(choices), **kwargs)


def maybe_one_of(*choices: str) -> ma.fields.String:
    """One word of a closed list or null; null if left out."""
    return ma.fields.String(validate=OneOf([*choices, None]), load_default=None, allow_none=True)


def maybe_bool() -> JsonBool:
    """True, false or null; null if left out."""
    return JsonBool(load_default=None, allow_none=True)


def record_id(**kwargs: Any) -> ma.fields.UUID:
    """A record's id."""
    return ma.fields.UUID(**kwargs)


def listed(inner: Any, most: int, *, least: int = 0, **kwargs: Any) -> ma.fields.List[Any]:
    """A list of at most so many items."""
    return ma.fields.List(inner, validate=Length(min=least, max=most), **kwargs)
