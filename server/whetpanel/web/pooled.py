"""Pooled grades."""

from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, jsonify

from ..services import pooling
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, JsonNumber, Moment, listed, needed_words, one_of, record_id, whole, words
from .schemas.common import PURPOSES
from .world import world

pooled_blueprint = Blueprint("pooled", __name__, url_prefix="/api/v1", description="Pooled grades.")

MANY = 1_000_000


class PurposeQuery(ma.Schema):
    """For which purpose."""

    class Meta:
        unknown = ma.EXCLUDE

    purpose = one_of(*PURPOSES, required=True)


class SteelGradeRead(ma.Schema):
    """The pooled grade of a stone with one steel."""

    steel = words(40, required=True)
    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    sd = JsonNumber(required=True)
    n_trials = whole(0, MANY, required=True)


class StoneGradeRead(ma.Schema):
    """A stone's pooled grade, its 90 % interval and the evidence it rests on."""

    stone_id = record_id(required=True)
    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    sd = JsonNumber(required=True)
    n_trials = whole(0, MANY, required=True)
    n_testers = whole(0, MANY, required=True)
    n_steels = whole(0, MANY, required=True)
    group = whole(-1, MANY, required=True)
    at_end = one_of("low", "high", required=True, allow_none=True)
    note = words(1000, required=True, allow_none=True)
    by_steel = ma.fields.List(ma.fields.Nested(SteelGradeRead), required=True)


class TesterRead(ma.Schema):
    """A tester's severity (grades this much below the panel) and steadiness (sigma), both in scale units."""

    tester_id = record_id(required=True)
    severity = JsonNumber(required=True)
    severity_low90 = JsonNumber(required=True)
    severity_high90 = JsonNumber(required=True)
    severity_sd = JsonNumber(required=True)
    sigma = JsonNumber(required=True)
    sigma_low90 = JsonNumber(required=True)
    sigma_high90 = JsonNumber(required=True)
    weight = JsonNumber(required=True)
    n_trials = whole(0, MANY, required=True)
    note = words(1000, required=True, allow_none=True)


class TrialReadingRead(ma.Schema):
    """How one trial stands to the rest: its residual, and how far leaving it out would move the stone."""

    trial_id = record_id(required=True)
    residual = JsonNumber(required=True)
    standardised = JsonNumber(required=True)
    pull = JsonNumber(required=True)
    flag = words(40, required=True, allow_none=True)


class PooledScaleRead(ma.Schema):
    """One scale of a purpose."""

    scale = words(40, required=True)
    name = words(60, required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)
    step = JsonNumber(required=True)
    inputs_digest = needed_words(64)
    method_version = needed_words(40)
    converged = JsonBool(required=True)
    n_off_scale = whole(0, MANY, required=True)
    stones = ma.fields.List(ma.fields.Nested(StoneGradeRead), required=True)
    testers = ma.fields.List(ma.fields.Nested(TesterRead), required=True)
    trials = ma.fields.List(ma.fields.Nested(TrialReadingRead), required=True)


class PooledRead(ma.Schema):
    """The pooled grades of a purpose, all scales."""

    purpose = one_of(*PURPOSES, required=True)
    method_version = needed_words(40)
    revision = whole(0, 2**31 - 1, required=True)
    computed_at = Moment(required=True)
    scales = listed(ma.fields.Nested(PooledScaleRead), 100, required=True)


@pooled_blueprint.route("/pooled", methods=["GET"])
@signed_in
@pooled_blueprint.doc(summary="Pooled grades with intervals and evidence", operationId="getPooled")
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, PooledRead)
@pooled_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_pooled(query: dict[str, Any]) -> Response:
    """Pooled grades: all stones for dealer and steward, for a tester the stones that tester has tried."""
    here = world()
    return jsonify(pooling.pooled_grades(here.database, here.clock, caller(), query["purpose"]))


@pooled_blueprint.route("/stones/<uuid:record_id>/panel", methods=["GET"])
@signed_in
@pooled_blueprint.doc(summary="The pooled grades of one stone", operationId="getPanel")
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, PooledRead)
@pooled_blueprint.alt_response(403, "DEFAULT_ERROR")
@pooled_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_panel(query: dict[str, Any], record_id: UUID) -> Response:
    """The pooled grades of one stone."""
    here = world()
    return jsonify(
        pooling.panel_of_stone(here.database, here.clock, caller(), str(record_id), query["purpose"])
    )
