"""Lots, stones and blades."""

from uuid import UUID

from flask import Response

from ..services import reading
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .records import add_record_routes, items, list_of
from .schemas.common import LotListQuery
from .schemas.stones import BladeRead, BladeWrite, LotRead, LotWrite, StoneRead, StoneWrite
from .schemas.trials import TrialRead
from .world import world

lot_blueprint = Blueprint("lots", __name__, url_prefix="/api/v1/lots", description="Lots of stones.")
stone_blueprint = Blueprint("stones", __name__, url_prefix="/api/v1/stones", description="Whetstones.")
blade_blueprint = Blueprint("blades", __name__, url_prefix="/api/v1/blades", description="Reference blades.")

add_record_routes(lot_blueprint, THINGS["lot"], LotRead, LotWrite, name="Lot")
add_record_routes(stone_blueprint, THINGS["stone"], StoneRead, StoneWrite, query=LotListQuery, name="Stone")
add_record_routes(blade_blueprint, THINGS["blade"], BladeRead, BladeWrite, name="Blade")


@stone_blueprint.route("/<uuid:record_id>/trials", methods=["GET"])
@signed_in
@stone_blueprint.doc(summary="A stone's trials, for those who may see them", operationId="listTrialsOfStone")
@stone_blueprint.response(200, list_of(TrialRead, "TrialOfStone"))
@stone_blueprint.alt_response(403, "DEFAULT_ERROR")
@stone_blueprint.alt_response(404, "DEFAULT_ERROR")
def list_trials(record_id: UUID) -> Response:
    """A stone's trials: all for dealer and steward; for a tester once the tester's own is in."""
    return items(reading.trials_of_stone(world().database, caller(), str(record_id)))
