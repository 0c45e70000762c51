"""Stones for a buyer's blades, and the shortlists made of them."""

from typing import Any
from uuid import UUID

from flask import Response, jsonify

from ..services import matching, shortlisting
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .records import ETAGS, IF_MATCH, add_record_routes, written
from .schemas.matching import MatchAsk, MatchRead, ShortlistRead, ShortlistWrite, ShownShortlist, SteelsRead
from .world import world

match_blueprint = Blueprint(
    "matching", __name__, url_prefix="/api/v1", description="Stones for a buyer's blades."
)
shortlist_blueprint = Blueprint(
    "shortlists",
    __name__,
    url_prefix="/api/v1/shortlists",
    description="What was found for a buyer, fixed as it stood.",
)


@match_blueprint.route("/steels", methods=["GET"])
@signed_in
@match_blueprint.doc(summary="Steels, finishes and hands a wish is made of", operationId="listSteels")
@match_blueprint.response(200, SteelsRead)
def list_steels() -> Response:
    """The club's own steels, common ones by composition class, and what a buyer's words ask of a stone."""
    return jsonify(matching.steel_list(world().database, caller()))


@match_blueprint.route("/match", methods=["POST"])
@signed_in
@match_blueprint.doc(
    summary="Stones for a buyer's blades, with reasons; nothing is stored", operationId="matchStones"
)
@match_blueprint.arguments(MatchAsk)
@match_blueprint.response(200, MatchRead)
@match_blueprint.alt_response(403, "DEFAULT_ERROR")
def match_stones(fields: dict[str, Any]) -> Response:
    """The stones in stock in the order of the probability that they meet a buyer's wish."""
    here = world()
    limit = fields.pop("limit")
    return jsonify(matching.match_stones(here.database, here.pools, caller(), fields, limit=limit))


@shortlist_blueprint.route("/by-code/<string:code>", methods=["GET"])
@shortlist_blueprint.doc(
    summary="A shortlist by its code; no account needed", operationId="getShownShortlist", security=[{}]
)
@shortlist_blueprint.response(200, ShownShortlist)
@shortlist_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_shown(code: str) -> Response:
    """A shortlist for whoever holds its code."""
    return jsonify(shortlisting.shown_shortlist(world().database, code))


add_record_routes(shortlist_blueprint, THINGS["shortlist"], ShortlistRead, None, name="Shortlist")


@shortlist_blueprint.route("/<uuid:record_id>", methods=["PUT"], parameters=[IF_MATCH])
@signed_in
@shortlist_blueprint.doc(
    summary="Fix what was found for a buyer; sending it again is harmless", operationId="putShortlist"
)
@shortlist_blueprint.arguments(ShortlistWrite)
@shortlist_blueprint.response(200, ShortlistRead, headers=ETAGS, description="It was fixed already")
@shortlist_blueprint.alt_response(201, schema=ShortlistRead, headers=ETAGS, description="Fixed")
@shortlist_blueprint.alt_response(403, "DEFAULT_ERROR")
@shortlist_blueprint.alt_response(409, "DEFAULT_ERROR")
def put_shortlist(fields: dict[str, Any], record_id: UUID) -> Response:
    """Fix what was found for a buyer as the grades stand, for the stones chosen."""
    here = world()
    recorded_at = fields.pop("recorded_at")
    return written(
        shortlisting.fix_shortlist(
            here.database, here.pools, here.clock, caller(), str(record_id), fields, recorded_at=recorded_at
        )
    )
