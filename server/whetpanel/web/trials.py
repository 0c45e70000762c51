"""Trials and check stones."""

from typing import Any
from uuid import UUID

from flask import Response

from ..services import writing
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .records import ETAGS, add_record_routes, written
from .schemas.common import Reason, StoneListQuery
from .schemas.trials import CheckStoneRead, CheckStoneWrite, TrialRead, TrialWrite
from .world import world

trial_blueprint = Blueprint("trials", __name__, url_prefix="/api/v1/trials", description="Trials and grades.")
check_stone_blueprint = Blueprint(
    "check_stones", __name__, url_prefix="/api/v1/check-stones", description="Stones with agreed grades."
)

add_record_routes(trial_blueprint, THINGS["trial"], TrialRead, TrialWrite, query=StoneListQuery, name="Trial")
add_record_routes(
    check_stone_blueprint, THINGS["check_stone"], CheckStoneRead, CheckStoneWrite, query=StoneListQuery,
    name="CheckStone",
)  # fmt: skip


@trial_blueprint.route("/<uuid:record_id>/exclude", methods=["POST"])
@signed_in
@trial_blueprint.doc(summary="Leave a trial out of pooling, with a reason", operationId="excludeTrial")
@trial_blueprint.arguments(Reason)
@trial_blueprint.response(200, TrialRead, headers=ETAGS)
@trial_blueprint.alt_response(403, "DEFAULT_ERROR")
@trial_blueprint.alt_response(404, "DEFAULT_ERROR")
def exclude_trial(fields: dict[str, Any], record_id: UUID) -> Response:
    """Leave a trial out of pooling, with a reason; the trial stays."""
    here = world()
    return written(
        writing.exclude_trial(here.database, here.clock, caller(), str(record_id), fields["reason"])
    )


@trial_blueprint.route("/<uuid:record_id>/include", methods=["POST"])
@signed_in
@trial_blueprint.doc(summary="Count an excluded trial again", operationId="includeTrial")
@trial_blueprint.response(200, TrialRead, headers=ETAGS)
@trial_blueprint.alt_response(403, "DEFAULT_ERROR")
@trial_blueprint.alt_response(404, "DEFAULT_ERROR")
def include_trial(record_id: UUID) -> Response:
    """Count an excluded trial again."""
    here = world()
    return written(writing.exclude_trial(here.database, here.clock, caller(), str(record_id), None))
