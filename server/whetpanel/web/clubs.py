"""The club and its members."""

from typing import Any
from uuid import UUID

from flask import Response

from ..services import putting_members, reading, signing_in, writing
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, presented_token, signed_in
from .records import ETAGS, IF_MATCH, add_record_routes, base_version, served, written
from .schemas.clubs import ClubRead, ClubWrite, MemberRead, MemberWrite, PasswordWrite
from .world import world

club_blueprint = Blueprint(
    "club", __name__, url_prefix="/api/v1/club", description="The club you are signed in to."
)
member_blueprint = Blueprint(
    "members", __name__, url_prefix="/api/v1/members", description="Members and roles."
)


@club_blueprint.route("", methods=["GET"])
@signed_in
@club_blueprint.doc(summary="Your club", operationId="getClub")
@club_blueprint.response(200, ClubRead, headers=ETAGS)
def get_club() -> Response:
    """Your club."""
    here = caller()
    return served(reading.get_record(world().database, here, THINGS["club"], here.club_id))


@club_blueprint.route("", methods=["PUT"], parameters=[IF_MATCH])
@signed_in
@club_blueprint.doc(summary="Change the club's name and thresholds", operationId="putClub")
@club_blueprint.arguments(ClubWrite)
@club_blueprint.response(200, ClubRead, headers=ETAGS)
@club_blueprint.alt_response(412, "DEFAULT_ERROR")
@club_blueprint.alt_response(428, "DEFAULT_ERROR")
def put_club(fields: dict[str, Any]) -> Response:
    """Change the club's name and thresholds."""
    here, who = world(), caller()
    recorded_at = fields.pop("recorded_at")
    return written(
        writing.put_record(
            here.database, here.clock, who, THINGS["club"], who.club_id, fields,
            recorded_at=recorded_at, base_version=base_version(),
        )
    )  # fmt: skip


add_record_routes(member_blueprint, THINGS["member"], MemberRead, None, name="Member")


@member_blueprint.route("/<uuid:record_id>", methods=["PUT"], parameters=[IF_MATCH])
@signed_in
@member_blueprint.doc(summary="Add or change a member", operationId="putMember")
@member_blueprint.arguments(MemberWrite)
@member_blueprint.response(200, MemberRead, headers=ETAGS)
@member_blueprint.alt_response(201, schema=MemberRead, headers=ETAGS, description="Created")
@member_blueprint.alt_response(409, "DEFAULT_ERROR")
@member_blueprint.alt_response(412, "DEFAULT_ERROR")
@member_blueprint.alt_response(428, "DEFAULT_ERROR")
def put_member(fields: dict[str, Any], record_id: UUID) -> Response:
    """Add or change a member."""
    here = world()
    recorded_at, password = fields.pop("recorded_at"), fields.pop("password")
    return written(
        putting_members.put_member(
            here.database, here.clock, here.settings, caller(), str(record_id), fields,
            password=password, recorded_at=recorded_at, base_version=base_version(),
        )
    )  # fmt: skip


@member_blueprint.route("/<uuid:record_id>/password", methods=["POST"])
@signed_in
@member_blueprint.doc(summary="Set a new password; other sessions end", operationId="setPassword")
@member_blueprint.arguments(PasswordWrite)
@member_blueprint.response(204)
@member_blueprint.alt_response(404, "DEFAULT_ERROR")
def set_password(fields: dict[str, Any], record_id: UUID) -> Response:
    """Set a new password; other sessions end."""
    here = world()
    signing_in.change_password(
        here.database, here.clock, here.settings, caller(), str(record_id),
        password=fields["password"], current_password=fields["current_password"], keep_token=presented_token(),
    )  # fmt: skip
    return Response(status=204)
