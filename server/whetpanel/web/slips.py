"""Slips, and the public pages behind their codes."""

from typing import Any
from uuid import UUID

from flask import Response, jsonify

from ..services import publishing
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .pooled import PurposeQuery
from .records import ETAGS, IF_MATCH, add_record_routes, written
from .schemas.common import StoneListQuery
from .schemas.slips import MovedSlipsRead, PublishedRead, ReadinessRead, SlipRead, SlipWrite
from .stones import stone_blueprint
from .world import world

slip_blueprint = Blueprint("slips", __name__, url_prefix="/api/v1/slips", description="Published grades.")
published_blueprint = Blueprint(
    "published",
    __name__,
    url_prefix="/api/v1/published",
    description="Published grades for anybody with a code.",
)


@slip_blueprint.route("/to-reissue", methods=["GET"])
@signed_in
@slip_blueprint.doc(summary="Slips that later evidence has moved", operationId="listSlipsToReissue")
@slip_blueprint.response(200, MovedSlipsRead)
@slip_blueprint.alt_response(403, "DEFAULT_ERROR")
def list_to_reissue() -> Response:
    """Slips whose grades have moved by a step or more since."""
    here = world()
    return jsonify({"items": publishing.slips_to_reissue(here.database, here.pools, caller())})


add_record_routes(slip_blueprint, THINGS["slip"], SlipRead, None, query=StoneListQuery, name="Slip")


@slip_blueprint.route("/<uuid:record_id>", methods=["PUT"], parameters=[IF_MATCH])
@signed_in
@slip_blueprint.doc(summary="Publish a stone's grades; sending it again is harmless", operationId="putSlip")
@slip_blueprint.arguments(SlipWrite)
@slip_blueprint.response(200, SlipRead, headers=ETAGS, description="It was issued already")
@slip_blueprint.alt_response(201, schema=SlipRead, headers=ETAGS, description="Issued")
@slip_blueprint.alt_response(404, "DEFAULT_ERROR")
@slip_blueprint.alt_response(409, "DEFAULT_ERROR")
def put_slip(fields: dict[str, Any], record_id: UUID) -> Response:
    """Publish a stone's grades as they stand; what stands in the way is listed, and can be overridden with a reason."""
    here = world()
    recorded_at = fields.pop("recorded_at")
    return written(
        publishing.issue_slip(
            here.database, here.pools, here.clock, caller(), str(record_id), fields, recorded_at=recorded_at
        )
    )


@stone_blueprint.route("/<uuid:record_id>/readiness", methods=["GET"])
@signed_in
@stone_blueprint.doc(summary="Whether a stone may be published, and why not", operationId="getReadiness")
@stone_blueprint.arguments(PurposeQuery, location="query")
@stone_blueprint.response(200, ReadinessRead)
@stone_blueprint.alt_response(403, "DEFAULT_ERROR")
@stone_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_readiness(query: dict[str, Any], record_id: UUID) -> Response:
    """Whether a stone may be published for a purpose, and what stands in the way."""
    here = world()
    return jsonify(
        publishing.stone_readiness(here.database, here.pools, caller(), str(record_id), query["purpose"])
    )


@published_blueprint.route("/<string:code>", methods=["GET"])
@published_blueprint.doc(
    summary="A slip by its code; no account needed", operationId="getPublished", security=[{}]
)
@published_blueprint.response(200, PublishedRead)
@published_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_published(code: str) -> Response:
    """A slip for whoever holds its code."""
    return jsonify(publishing.published(world().database, code))
