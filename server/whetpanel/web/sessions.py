"""Signing in and out, and what this service is."""

from typing import Any

from flask import Response, jsonify

from .. import __version__
from ..services import signing_in
from ..services.describing import only_club
from .api import Blueprint
from .auth import caller, clear_cookie, presented_token, set_cookie, signed_in
from .schemas.clubs import ServiceRead, SessionQuery, SessionRead, SessionWrite
from .world import world

session_blueprint = Blueprint(
    "session", __name__, url_prefix="/api/v1/session", description="Signing in and out."
)
service_blueprint = Blueprint(
    "service", __name__, url_prefix="/api/v1/service", description="What this service is; no sign-in needed."
)


@session_blueprint.route("", methods=["POST"])
@session_blueprint.doc(summary="Sign in", operationId="signIn", security=[{}])
@session_blueprint.arguments(SessionQuery, location="query")
@session_blueprint.arguments(SessionWrite)
@session_blueprint.response(200, SessionRead)
@session_blueprint.alt_response(401, "DEFAULT_ERROR")
@session_blueprint.alt_response(429, "DEFAULT_ERROR")
def sign_in(query: dict[str, Any], fields: dict[str, Any]) -> Response:
    """Sign in: a browser gets a cookie, a program (kind=bearer) a token."""
    here = world()
    signed = signing_in.sign_in(
        here.database, here.clock, here.settings,
        club_slug=fields["club"], name=fields["sign_in_name"], password=fields["password"],
        kind=query["kind"], device=fields["device"],
    )  # fmt: skip
    body = {"member": signed.member, "club": signed.club, "view": signed.caller.view}
    if query["kind"] == "bearer":
        return jsonify({**body, "token": signed.token})
    response = jsonify(body)
    set_cookie(response, signed.token)
    return response


@session_blueprint.route("", methods=["GET"])
@signed_in
@session_blueprint.doc(summary="Who is signed in", operationId="getSession")
@session_blueprint.response(200, SessionRead)
@session_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_session() -> Response:
    """Who is signed in."""
    member, club = signing_in.whoami(world().database, caller())
    return jsonify({"member": member, "club": club, "view": caller().view})


@session_blueprint.route("", methods=["DELETE"])
@signed_in
@session_blueprint.doc(summary="Sign out", operationId="signOut")
@session_blueprint.response(204)
def sign_out() -> Response:
    """Sign out."""
    here = world()
    token = presented_token()
    if token is not None:
        signing_in.sign_out(here.database, here.clock, token)
    response = Response(status=204)
    clear_cookie(response)
    return response


@service_blueprint.route("", methods=["GET"])
@service_blueprint.doc(summary="What this service is", operationId="getService", security=[{}])
@service_blueprint.response(200, ServiceRead)
def get_service() -> Response:
    """What this service is."""
    here = world()
    return jsonify(
        {
            "name": "Whetpanel",
            "version": __version__,
            "api": "v1",
            "demo": here.settings.demo,
            "club": only_club(here.database),
        }
    )
