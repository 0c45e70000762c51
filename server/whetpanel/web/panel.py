"""The panel itself: how each tester grades, how far all agree, and what they should try next."""

from typing import Any

import marshmallow as ma
from flask import Response, jsonify

from ..services import agreeing, calibrating, planning
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, JsonNumber, Moment, listed, one_of, record_id, whole, words
from .pooled import MANY, PurposeQuery, ScaleHead, TesterRead
from .schemas.common import PURPOSES
from .world import world

panel_blueprint = Blueprint(
    "panel", __name__, url_prefix="/api/v1", description="Calibration, agreement and the plan of trials."
)


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


class CheckDriftRead(DriftRead):
    """The same on check stones. A tester is not told how many trials: that would tell which stones those are."""

    n_trials = whole(0, MANY, required=True, allow_none=True)


class CheckTrialRead(ma.Schema):
    """One trial of a check stone against the agreed grade: ``difference`` is reported less agreed, in scale units.

    The agreed grade stands for all reference steels, so what the steel does is in the difference too.
    """

    trial_id = record_id(required=True)
    stone_id = record_id(required=True)
    scale = words(40, required=True)
    steel = words(40, required=True)
    reported = JsonNumber(required=True)
    agreed = JsonNumber(required=True)
    agreed_sd = JsonNumber(required=True)
    difference = JsonNumber(required=True)
    finished_at = Moment(required=True)


class CalibratedTester(TesterRead):
    """A tester's severity, steadiness and drift, on all stones and on check stones.

    ``check_record``: every trial of a check stone; empty for a tester, who must not know the agreed grades.
    ``check_level``: where the tester's grades of check stones lie, on the whole; a tester is told this much.
    """

    drift_note = words(1000, required=True)
    drift = ma.fields.Nested(DriftRead, required=True, allow_none=True)
    check_drift = ma.fields.Nested(CheckDriftRead, required=True, allow_none=True)
    check_record = ma.fields.List(ma.fields.Nested(CheckTrialRead), required=True)
    check_level = one_of("too_few", "below", "level", "above", required=True)


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


class SettledTrial(ma.Schema):
    """A trial that the dealer has chosen."""

    tester_id = record_id(required=True)
    stone_id = record_id(required=True)
    steel = words(40, required=True)


class PlanWrite(ma.Schema):
    """How many trials to plan for, and under which limits. ``most_trials``: tester → how many; ``holders``: stone →
    testers who can try it now; ``blades``: tester → steels. Who or what is not listed has no limit. ``settled``: trials
    that come first whatever the limits, with their figures worked out; ``n`` counts them.
    """

    purpose = one_of(*PURPOSES, required=True)
    n = whole(1, 200, load_default=20)
    scale = words(40, load_default=None, allow_none=True)
    most_trials = ma.fields.Dict(keys=record_id(), values=whole(0, 1000), load_default=dict)
    holders = ma.fields.Dict(keys=record_id(), values=listed(record_id(), 200), load_default=dict)
    blades = ma.fields.Dict(keys=record_id(), values=listed(words(40), 40), load_default=dict)
    stone_ids = listed(record_id(), 2000, load_default=None, allow_none=True)
    settled = listed(ma.fields.Nested(SettledTrial), 200, load_default=list)


class PlannedTrialRead(ma.Schema):
    """One trial worth doing: what it is expected to take away of what stands in the way (grades², over all stones),
    the stone's half width on ``scale`` before and after, and in words why. ``links``: it makes groups of stones
    comparable. ``in_hands``: the tester has the stone.
    """

    tester_id = record_id(required=True)
    stone_id = record_id(required=True)
    steel = words(40, required=True)
    scale = words(40, required=True)
    expected_gain = JsonNumber(required=True)
    half_width_before = JsonNumber(required=True)
    half_width_after = JsonNumber(required=True)
    links = JsonBool(required=True)
    settled = JsonBool(required=True)
    in_hands = JsonBool(required=True)
    why = ma.fields.List(words(400), required=True)


class LeftOutRead(ma.Schema):
    """A stone that needs trials and something else first."""

    stone_id = record_id(required=True)
    because = words(4000, required=True)


class PlanRead(ma.Schema):
    """Trials in order of worth. ``scale``: the one on which most stones are too wide, planned for first. ``groups``: of
    stones that can be compared, more than one asks for linking trials. ``underway``: asked already, counted as done.
    """

    purpose = one_of(*PURPOSES, required=True)
    scale = words(40, required=True, allow_none=True)
    target_half_width = JsonNumber(required=True)
    groups = whole(0, MANY, required=True)
    underway = whole(0, MANY, required=True)
    trials = ma.fields.List(ma.fields.Nested(PlannedTrialRead), required=True)
    left_out = ma.fields.List(ma.fields.Nested(LeftOutRead), required=True)


@panel_blueprint.route("/plan", methods=["POST"])
@signed_in
@panel_blueprint.doc(summary="Which trials would teach most", operationId="planTrials")
@panel_blueprint.arguments(PlanWrite)
@panel_blueprint.response(200, PlanRead)
@panel_blueprint.alt_response(403, "DEFAULT_ERROR")
def plan_trials(fields: dict[str, Any]) -> Response:
    """Which trials would teach most, under limits; nothing is stored."""
    here = world()
    wish = planning.Wish(
        n=fields["n"],
        scale=fields["scale"],
        load={str(key): value for key, value in fields["most_trials"].items()},
        holders={str(key): [str(one) for one in value] for key, value in fields["holders"].items()},
        blades={str(key): value for key, value in fields["blades"].items()},
        stone_ids=None if fields["stone_ids"] is None else [str(one) for one in fields["stone_ids"]],
        settled=[(str(one["tester_id"]), str(one["stone_id"]), one["steel"]) for one in fields["settled"]],
    )
    return jsonify(planning.plan(here.database, here.pools, caller(), fields["purpose"], wish))


@panel_blueprint.route("/calibration", methods=["GET"])
@signed_in
@panel_blueprint.doc(summary="Testers' severity, steadiness and drift", operationId="getCalibration")
@panel_blueprint.arguments(PurposeQuery, location="query")
@panel_blueprint.response(200, CalibrationRead)
@panel_blueprint.alt_response(401, "DEFAULT_ERROR")
def get_calibration(query: dict[str, Any]) -> Response:
    """Testers' calibration; a tester sees the own one alone."""
    here = world()
    return jsonify(calibrating.calibration(here.database, here.pools, caller(), query["purpose"]))


@panel_blueprint.route("/agreement", methods=["GET"])
@signed_in
@panel_blueprint.doc(summary="How far the panel agrees", operationId="getAgreement")
@panel_blueprint.arguments(PurposeQuery, location="query")
@panel_blueprint.response(200, AgreementRead)
@panel_blueprint.alt_response(403, "DEFAULT_ERROR")
def get_agreement(query: dict[str, Any]) -> Response:
    """Alpha, ICC, Kendall's W and precision, by scale, as far as the trials allow."""
    here = world()
    return jsonify(agreeing.agreement(here.database, caller(), query["purpose"]))
