"""Repairs, lappings, open work, and judging a stone without storing anything."""

from dataclasses import asdict
from typing import Any

from flask import Response, jsonify

from ..core.soundness import assess_stone_json
from ..services import working
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .protocols import rule_set_blueprint
from .records import add_record_routes
from .schemas.common import StoneListQuery
from .schemas.repairs import (
    AssessmentRead,
    AssessWrite,
    LappingRateRead,
    LappingRead,
    LappingWrite,
    RepairRead,
    RepairWrite,
    RulesPreviewRead,
    RulesPreviewWrite,
    WorkListRead,
)  # fmt: skip
from .world import world

repair_blueprint = Blueprint(
    "repairs", __name__, url_prefix="/api/v1/repairs", description="What was done to stones."
)
lapping_blueprint = Blueprint(
    "lappings", __name__, url_prefix="/api/v1/lappings", description="Lappings and the club's lapping rate."
)
work_blueprint = Blueprint(
    "work", __name__, url_prefix="/api/v1", description="Open work, and judging a stone."
)


@lapping_blueprint.route("/rate", methods=["GET"])
@signed_in
@lapping_blueprint.doc(summary="The club's own lapping rate", operationId="getLappingRate")
@lapping_blueprint.response(200, LappingRateRead)
@lapping_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_rate() -> Response:
    """Preston's coefficient from the logged lappings; a stated first guess while there are none."""
    return jsonify(asdict(working.lapping_rate(world().database, caller())))


add_record_routes(
    repair_blueprint, THINGS["repair"], RepairRead, RepairWrite, query=StoneListQuery, name="Repair"
)
add_record_routes(
    lapping_blueprint, THINGS["lapping"], LappingRead, LappingWrite, query=StoneListQuery, name="Lapping"
)


@work_blueprint.route("/work", methods=["GET"])
@signed_in
@work_blueprint.doc(summary="What is still to be done to the stones", operationId="listWork")
@work_blueprint.response(200, WorkListRead)
@work_blueprint.alt_response(401, "DEFAULT_ERROR")
def list_work() -> Response:
    """Open work, most urgent first; it follows from inspections and repairs."""
    return jsonify({"items": working.work_list(world().database, caller())})


@work_blueprint.route("/assess", methods=["POST"])
@signed_in
@work_blueprint.doc(summary="Judge a stone; nothing is stored", operationId="assessStone")
@work_blueprint.arguments(AssessWrite)
@work_blueprint.response(200, AssessmentRead)
@work_blueprint.alt_response(422, "DEFAULT_ERROR")
def assess_stone(fields: dict[str, Any]) -> Response:
    """Geometry, verdicts with reasons, lapping plan and usable face; by the same path as stored inspections."""
    return jsonify(assess_stone_json({name: value for name, value in fields.items() if value is not None}))


@rule_set_blueprint.route("/preview", methods=["POST"])
@signed_in
@rule_set_blueprint.doc(
    summary="What other rules would say of the present stones", operationId="previewRules"
)
@rule_set_blueprint.arguments(RulesPreviewWrite)
@rule_set_blueprint.response(200, RulesPreviewRead)
@rule_set_blueprint.alt_response(403, "DEFAULT_ERROR")
def preview_rules(fields: dict[str, Any]) -> Response:
    """What other rules would say of the present stones; nothing is stored."""
    return jsonify(working.preview_rules(world().database, caller(), fields["rules"]))
