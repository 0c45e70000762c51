"""Invitations, and joining by one."""

from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, jsonify, request

from ..documents.qr import qr_code
from ..services import inviting
from .api import Blueprint
from .auth import caller, set_cookie, signed_in
from .fields import JsonBool, Moment, listed, needed_words, one_of, record_id, words
from .schemas.clubs import SIGN_IN_NAME, SessionRead
from .world import world

invitation_blueprint = Blueprint(
    "invitations", __name__, url_prefix="/api/v1/invitations", description="Inviting members."
)
joining_blueprint = Blueprint(
    "joining", __name__, url_prefix="/api/v1/joining", description="Joining a club by an invitation."
)


class InvitationWrite(ma.Schema):
    """Who is invited, and as what."""

    display_name = needed_words(80)
    roles = listed(one_of("tester", "dealer", "steward"), 3, least=1, required=True)


class InvitationRead(InvitationWrite):
    """An invitation."""

    id = record_id(required=True)
    created_at = Moment(required=True)
    ends_at = Moment(required=True)
    used_at = Moment(required=True, allow_none=True)
    withdrawn = JsonBool(required=True)


class NewInvitationRead(InvitationRead):
    """A new invitation with its link, which is told once, and the link as a QR code (SVG)."""

    token = needed_words(100)
    url = needed_words(400)
    qr_svg = needed_words(200_000)


class InvitationsRead(ma.Schema):
    """The club's invitations."""

    items = ma.fields.List(ma.fields.Nested(InvitationRead), required=True)


class JoiningRead(ma.Schema):
    """Who is invited to which club."""

    club_name = needed_words(120)
    invented = JsonBool(required=True)
    display_name = needed_words(80)
    roles = listed(one_of("tester", "dealer", "steward"), 3, required=True)


class JoiningWrite(ma.Schema):
    """How the new member signs in from now on."""

    sign_in_name = ma.fields.String(required=True, validate=SIGN_IN_NAME)
    password = needed_words(200)
    display_name = words(80, load_default=None, allow_none=True)
    device = words(120, load_default=None, allow_none=True)


@invitation_blueprint.route("", methods=["POST"])
@signed_in
@invitation_blueprint.doc(summary="Invite somebody", operationId="invite")
@invitation_blueprint.arguments(InvitationWrite)
@invitation_blueprint.response(201, NewInvitationRead)
@invitation_blueprint.alt_response(403, "DEFAULT_ERROR")
def invite(fields: dict[str, Any]) -> Response:
    """Invite somebody: a link that works once."""
    here = world()
    made = inviting.invite(here.database, here.clock, caller(), fields["display_name"], fields["roles"])
    base = here.settings.public_url or request.host_url.rstrip("/")
    url = f"{base}/join/{made.token}"
    response = jsonify({**made.body, "token": made.token, "url": url, "qr_svg": qr_code(url)["qr_svg"]})
    response.status_code = 201
    return response


@invitation_blueprint.route("", methods=["GET"])
@signed_in
@invitation_blueprint.doc(summary="The club's invitations", operationId="listInvitations")
@invitation_blueprint.response(200, InvitationsRead)
@invitation_blueprint.alt_response(403, "DEFAULT_ERROR")
def list_invitations() -> Response:
    """The club's invitations, the newest first."""
    return jsonify({"items": inviting.list_invitations(world().database, caller())})


@invitation_blueprint.route("/<uuid:invitation_id>/withdraw", methods=["POST"])
@signed_in
@invitation_blueprint.doc(summary="Take an invitation back", operationId="withdrawInvitation")
@invitation_blueprint.response(204)
@invitation_blueprint.alt_response(404, "DEFAULT_ERROR")
def withdraw_invitation(invitation_id: UUID) -> Response:
    """Take an invitation back."""
    here = world()
    inviting.withdraw_invitation(here.database, here.clock, caller(), str(invitation_id))
    return Response(status=204)


@joining_blueprint.route("/<string:token>", methods=["GET"])
@joining_blueprint.doc(summary="Who is invited to which club", operationId="getJoining", security=[{}])
@joining_blueprint.response(200, JoiningRead)
@joining_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_joining(token: str) -> Response:
    """Who is invited to which club, for whoever holds the link."""
    here = world()
    return jsonify(inviting.look_at_invitation(here.database, here.clock, token))


@joining_blueprint.route("/<string:token>", methods=["POST"])
@joining_blueprint.doc(summary="Join the club and sign in", operationId="join", security=[{}])
@joining_blueprint.arguments(JoiningWrite)
@joining_blueprint.response(201, SessionRead)
@joining_blueprint.alt_response(404, "DEFAULT_ERROR")
@joining_blueprint.alt_response(409, "DEFAULT_ERROR")
def join(fields: dict[str, Any], token: str) -> Response:
    """Join the club and sign in."""
    here = world()
    signed = inviting.join(
        here.database, here.clock, here.settings, token,
        sign_in_name=fields["sign_in_name"], password=fields["password"],
        display_name=fields["display_name"], device=fields["device"],
    )  # fmt: skip
    response = jsonify({"member": signed.member, "club": signed.club, "view": signed.caller.view})
    response.status_code = 201
    set_cookie(response, signed.token)
    return response
