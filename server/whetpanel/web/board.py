"""The lot board."""

from typing import Any

import marshmallow as ma
from flask import Response, jsonify

from ..core.standing import STATES
from ..services import board
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, one_of, record_id, whole, words
from .pooled import MANY, PurposeQuery
from .schemas.common import PURPOSES
from .schemas.offers import OFFER_STATES
from .world import world

board_blueprint = Blueprint("board", __name__, url_prefix="/api/v1", description="Where every stone stands.")


class BoardQuery(PurposeQuery):
    """For which purpose, and of which lot."""

    lot_id = record_id(load_default=None)


class BoardStoneRead(ma.Schema):
    """One stone: its state, what stands in its way, each a sentence with what to do, and what else to know."""

    stone_id = record_id(required=True)
    state = one_of(*STATES, required=True)
    blocks = ma.fields.List(words(2000), required=True)
    remarks = ma.fields.List(words(2000), required=True)
    n_trials = whole(0, MANY, required=True)
    n_testers = whole(0, MANY, required=True)
    n_open_work = whole(0, MANY, required=True)
    n_asked = whole(0, MANY, required=True)
    n_overdue = whole(0, MANY, required=True)
    holder_id = record_id(required=True, allow_none=True)
    slip_id = record_id(required=True, allow_none=True)
    moved = JsonBool(required=True)
    offer_state = one_of(*OFFER_STATES, required=True, allow_none=True)


class BoardRead(ma.Schema):
    """Where every stone stands for a purpose; ``counts`` and what follows leave sold stones out."""

    purpose = one_of(*PURPOSES, required=True)
    revision = whole(0, 2**31 - 1, required=True)
    behind = JsonBool(required=True)
    counts = ma.fields.Dict(keys=one_of(*STATES), values=whole(0, MANY), required=True)
    n_sold = whole(0, MANY, required=True)
    n_to_reissue = whole(0, MANY, required=True)
    n_asked = whole(0, MANY, required=True)
    n_overdue = whole(0, MANY, required=True)
    stones = ma.fields.List(ma.fields.Nested(BoardStoneRead), required=True)


@board_blueprint.route("/board", methods=["GET"])
@signed_in
@board_blueprint.doc(summary="Where every stone stands, and what stands in its way", operationId="getBoard")
@board_blueprint.arguments(BoardQuery, location="query")
@board_blueprint.response(200, BoardRead)
@board_blueprint.alt_response(403, "DEFAULT_ERROR")
def get_board(query: dict[str, Any]) -> Response:
    """Every stone's state for a purpose, worked out from records; dealers and stewards only."""
    here = world()
    lot_id = query["lot_id"]
    return jsonify(
        board.board(here.database, here.pools, here.clock, caller(), query["purpose"], lot_id and str(lot_id))
    )
