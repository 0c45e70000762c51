"""Pooled grades."""

from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, jsonify

from ..services import agreeing, calibrating, planning, pooling
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
    flag = one_of("", "low", "high", required=True)


class GroupRead(ma.Schema):
    """Stones that can be compared with each other; more than one group means that trials must link them."""

    group = whole(1, MANY, required=True)
    stone_ids = ma.fields.List(record_id(), required=True)


class LinkRead(ma.Schema):
    """A trial that would help to make separate groups comparable."""

    tester_id = record_id(required=True)
    stone_id = record_id(required=True)
    steel = words(40, required=True)


class SignEffectRead(ma.Schema):
    """How far the grade moves with one standard deviation of a sign."""

    name = words(40, required=True)
    per_sd = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)
    n_seen = whole(0, MANY, required=True)


class SignCheckRead(ma.Schema):
    """A stone whose grade and signs disagree: what the signs foretell, and how far the grade lies from it."""

    stone_id = record_id(required=True)
    foretold = JsonNumber(required=True)
    foretold_sd = JsonNumber(required=True)
    gap = JsonNumber(required=True)
    z = JsonNumber(required=True)
    leading = words(40, required=True, allow_none=True)


class SignsRead(ma.Schema):
    """Whether the signs (water uptake, density, mud) set the stones' starting points, and why or why not."""

    used = JsonBool(required=True)
    reason = words(1000, required=True)
    effects = ma.fields.List(ma.fields.Nested(SignEffectRead), required=True)
    checks = ma.fields.List(ma.fields.Nested(SignCheckRead), required=True)


class ScaleHead(ma.Schema):
    """A graded scale."""

    scale = words(40, required=True)
    name = words(60, required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)
    step = JsonNumber(required=True)


class PooledScaleBase(ScaleHead):
    """What the list and the page of one stone share."""

    method_version = needed_words(40)
    inputs_digest = words(64, required=True)
    n_trials = whole(0, MANY, required=True)
    n_off_scale = whole(0, MANY, required=True)
    converged = JsonBool(required=True)
    level = JsonNumber(required=True, allow_none=True)
    level_note = words(1000, required=True)
    stones = ma.fields.List(ma.fields.Nested(StoneGradeRead), required=True)
    signs = ma.fields.Nested(SignsRead, required=True)


class PooledScaleRead(PooledScaleBase):
    """One scale of a purpose, all stones."""

    testers = ma.fields.List(ma.fields.Nested(TesterRead), required=True)
    groups = ma.fields.List(ma.fields.Nested(GroupRead), required=True)
    proposed_links = ma.fields.List(ma.fields.Nested(LinkRead), required=True)


class PanelScaleRead(PooledScaleBase):
    """One scale of a purpose, one stone, with its trials' readings."""

    trials = ma.fields.List(ma.fields.Nested(TrialReadingRead), required=True)


class PooledHead(ma.Schema):
    """What a result stands for. ``behind``: newer records are being pooled; look again shortly."""

    purpose = one_of(*PURPOSES, required=True)
    method_version = needed_words(40)
    revision = whole(0, 2**31 - 1, required=True)
    computed_at = Moment(required=True)
    behind = JsonBool(required=True)


class PooledRead(PooledHead):
    """The pooled grades of a purpose, all scales."""

    scales = listed(ma.fields.Nested(PooledScaleRead), 100, required=True)


class PanelRead(PooledHead):
    """The pooled grades of one stone, all scales."""

    scales = listed(ma.fields.Nested(PanelScaleRead), 100, required=True)


class WhatIf(ma.Schema):
    """Which trials to leave out, for once."""

    purpose = one_of(*PURPOSES, required=True)
    exclude_trials = listed(record_id(), 200, required=True)


class DriftPoint(ma.Schema):
    """One trial of a drift chart: the moving average and its limits."""

    trial_id = record_id(required=True)
    z = JsonNumber(required=True)
    low = JsonNumber(required=True)
    high = JsonNumber(required=True)


class DriftRead(ma.Schema):
    """Whether a tester's severity moves (EWMA of the residuals; below zero is more severe)."""

    state = one_of("too_few", "steady", "moved", required=True)
    n_trials = whole(0, MANY, required=True)
    since = whole(0, MANY, required=True, allow_none=True)
    moved_by = JsonNumber(required=True, allow_none=True)
    note = words(1000, required=True)
    points = ma.fields.List(ma.fields.Nested(DriftPoint), required=True)


class CalibratedTester(TesterRead):
    """A tester's severity, steadiness and drift, on all stones and on check stones."""

    drift_note = words(1000, required=True)
    drift = ma.fields.Nested(DriftRead, required=True, allow_none=True)
    check_drift = ma.fields.Nested(DriftRead, required=True, allow_none=True)


class CalibrationScale(ScaleHead):
    """One scale."""

    testers = ma.fields.List(ma.fields.Nested(CalibratedTester), required=True)


class CalibrationRead(ma.Schema):
    """Testers' calibration for a purpose."""

    purpose = one_of(*PURPOSES, required=True)
    revision = whole(0, 2**31 - 1, required=True)
    behind = JsonBool(required=True)
    scales = listed(ma.fields.Nested(CalibrationScale), 100, required=True)


class AgreementScale(ma.Schema):
    """One scale's figures, or why there are none."""

    scale = words(40, required=True)
    name = words(60, required=True)
    n_ratings = whole(0, MANY, required=True)
    report = ma.fields.Dict(required=True, allow_none=True)
    why_not = words(400, required=True, allow_none=True)


class AgreementRead(ma.Schema):
    """How far the panel agrees."""

    purpose = one_of(*PURPOSES, required=True)
    scales = listed(ma.fields.Nested(AgreementScale), 100, required=True)


class PlanWrite(ma.Schema):
    """How many trials to plan for, and under which limits. ``most_trials``: tester → how many; ``holders``: stone →
    testers who can try it now; ``blades``: tester → steels. Who or what is not listed has no limit.
    """

    purpose = one_of(*PURPOSES, required=True)
    n = whole(1, 200, load_default=20)
    scale = words(40, load_default=None, allow_none=True)
    most_trials = ma.fields.Dict(keys=record_id(), values=whole(0, 1000), load_default=dict)
    holders = ma.fields.Dict(keys=record_id(), values=listed(record_id(), 200), load_default=dict)
    blades = ma.fields.Dict(keys=record_id(), values=listed(words(40), 40), load_default=dict)
    stone_ids = listed(record_id(), 2000, load_default=None, allow_none=True)


class PlannedTrialRead(ma.Schema):
    """One trial worth doing: what it is expected to gain (grades²), and the stone's half width before and after."""

    tester_id = record_id(required=True)
    stone_id = record_id(required=True)
    steel = words(40, required=True)
    expected_gain = JsonNumber(required=True)
    half_width_before = JsonNumber(required=True)
    half_width_after = JsonNumber(required=True)


class PlanRead(ma.Schema):
    """Trials in order of worth, for the scale on which most stones are still too wide unless another was asked for."""

    purpose = one_of(*PURPOSES, required=True)
    scale = words(40, required=True, allow_none=True)
    target_half_width = JsonNumber(required=True)
    trials = ma.fields.List(ma.fields.Nested(PlannedTrialRead), required=True)


@pooled_blueprint.route("/plan", methods=["POST"])
@signed_in
@pooled_blueprint.doc(summary="Which trials would teach most", operationId="planTrials")
@pooled_blueprint.arguments(PlanWrite)
@pooled_blueprint.response(200, PlanRead)
@pooled_blueprint.alt_response(403, "DEFAULT_ERROR")
def plan_trials(fields: dict[str, Any]) -> Response:
    """Which trials would teach most, under limits; nothing is stored."""
    here = world()
    return jsonify(
        planning.plan(
            here.database, here.pools, caller(), fields["purpose"], n=fields["n"], scale=fields["scale"],
            load={str(key): value for key, value in fields["most_trials"].items()},
            holders={str(key): [str(one) for one in value] for key, value in fields["holders"].items()},
            blades={str(key): value for key, value in fields["blades"].items()},
            stone_ids=None if fields["stone_ids"] is None else [str(one) for one in fields["stone_ids"]],
        )
    )  # fmt: skip


@pooled_blueprint.route("/pooled", methods=["GET"])
@signed_in
@pooled_blueprint.doc(summary="Pooled grades with intervals and evidence", operationId="getPooled")
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, PooledRead)
@pooled_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_pooled(query: dict[str, Any]) -> Response:
    """Pooled grades: all stones for dealer and steward, for a tester the stones that tester has tried."""
    here = world()
    return jsonify(pooling.pooled_grades(here.database, here.pools, caller(), query["purpose"]))


@pooled_blueprint.route("/stones/<uuid:record_id>/panel", methods=["GET"])
@signed_in
@pooled_blueprint.doc(
    summary="The pooled grades of one stone, with each trial's pull", operationId="getPanel"
)
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, PanelRead)
@pooled_blueprint.alt_response(403, "DEFAULT_ERROR")
@pooled_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_panel(query: dict[str, Any], record_id: UUID) -> Response:
    """The pooled grades of one stone."""
    here = world()
    return jsonify(
        pooling.panel_of_stone(here.database, here.pools, caller(), str(record_id), query["purpose"])
    )


@pooled_blueprint.route("/pooled/what-if", methods=["POST"])
@signed_in
@pooled_blueprint.doc(summary="Pooled grades as they would be without some trials", operationId="whatIf")
@pooled_blueprint.arguments(WhatIf)
@pooled_blueprint.response(200, PooledRead)
@pooled_blueprint.alt_response(403, "DEFAULT_ERROR")
def what_if(fields: dict[str, Any]) -> Response:
    """Pooled grades as they would be without some trials; nothing is stored."""
    here = world()
    exclude = [str(one) for one in fields["exclude_trials"]]
    return jsonify(pooling.what_if(here.database, here.pools, caller(), fields["purpose"], exclude))


@pooled_blueprint.route("/calibration", methods=["GET"])
@signed_in
@pooled_blueprint.doc(summary="Testers' severity, steadiness and drift", operationId="getCalibration")
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, CalibrationRead)
@pooled_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_calibration(query: dict[str, Any]) -> Response:
    """Testers' calibration; a tester sees the own one alone."""
    here = world()
    return jsonify(calibrating.calibration(here.pools, caller(), query["purpose"]))


@pooled_blueprint.route("/agreement", methods=["GET"])
@signed_in
@pooled_blueprint.doc(summary="How far the panel agrees", operationId="getAgreement")
@pooled_blueprint.arguments(PurposeQuery, location="query")
@pooled_blueprint.response(200, AgreementRead)
@pooled_blueprint.alt_response(403, "DEFAULT_ERROR")
def get_agreement(query: dict[str, Any]) -> Response:
    """Alpha, ICC, Kendall's W and precision, by scale, as far as the trials allow."""
    here = world()
    return jsonify(agreeing.agreement(here.database, caller(), query["purpose"]))
