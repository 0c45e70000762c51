"""Clubs, members, sessions."""

import marshmallow as ma
from marshmallow.validate import Length, Regexp

from ..fields import JsonBool, listed, needed_words, number, one_of, whole, words
from .common import Read, Write


class PublishRules(ma.Schema):
    """When a grade may be published: so many testers and steels, and an interval no wider than twice this."""

    min_testers = whole(1, 50, required=True)
    min_steels = whole(1, 20, required=True)
    max_half_width = number(0.05, 5, required=True)


class ClubWrite(Write):
    """What a steward may change of the club."""

    name = needed_words(120)
    invented = JsonBool(load_default=False)
    publish_rules = ma.fields.Nested(PublishRules, required=True)
    confirm_depth_mm = number(0.1, 20, required=True)


class ClubRead(Read, ClubWrite):
    """The club."""

    slug = ma.fields.String(required=True)


SIGN_IN_NAME = Regexp(
    r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$", error="Use letters, digits and . _ - only, at most 40."
)


class MemberFields(Write):
    """What a member record says."""

    display_name = needed_words(80)
    sign_in_name = ma.fields.String(required=True, validate=SIGN_IN_NAME)
    roles = listed(one_of("tester", "dealer", "steward"), 3, least=1, required=True)
    active = JsonBool(load_default=True)


class MemberWrite(MemberFields):
    """A member as the steward writes it; a new one with a first password."""

    password = words(200, load_default=None, allow_none=True, load_only=True)


class MemberRead(Read, MemberFields):
    """A member."""


class PasswordWrite(ma.Schema):
    """A new password; with the present one if it is your own."""

    password = ma.fields.String(required=True, validate=Length(min=12, max=200))
    current_password = words(200, load_default=None, allow_none=True)


class SessionWrite(ma.Schema):
    """Who signs in."""

    club = words(60, load_default=None, allow_none=True)
    sign_in_name = needed_words(40)
    password = needed_words(200)
    device = words(120, load_default=None, allow_none=True)


class SessionQuery(ma.Schema):
    """Whether a browser or a program signs in."""

    class Meta:
        unknown = ma.EXCLUDE

    kind = ma.fields.String(load_default="cookie", validate=ma.validate.OneOf(["cookie", "bearer"]))


class SessionRead(ma.Schema):
    """Who is signed in; a program gets its token here, once."""

    member = ma.fields.Nested(MemberRead, required=True)
    club = ma.fields.Nested(ClubRead, required=True)
    view = one_of("tester", "dealer", "steward", required=True)
    token = ma.fields.String()


class ServiceClub(ma.Schema):
    """The club of a service that has just one."""

    slug = ma.fields.String(required=True)
    name = ma.fields.String(required=True)
    invented = JsonBool(required=True)


class ServiceRead(ma.Schema):
    """What this service is."""

    name = ma.fields.String(required=True)
    version = ma.fields.String(required=True)
    api = ma.fields.String(required=True)
    demo = JsonBool(required=True)
    club = ma.fields.Nested(ServiceClub, required=True, allow_none=True)
