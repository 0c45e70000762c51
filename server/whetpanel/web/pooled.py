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
    level_sd = JsonNumber(required=True, allow_none=True)
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
    """Which trials to leave out, and which excluded ones to take in, for once. With ``stone_id`` only that stone is
    answered, in a large club some kilobytes instead of megabytes; its scales then name no testers, groups or links.
    """

    purpose = one_of(*PURPOSES, required=True)
    exclude_trials = listed(record_id(), 200, load_default=list)
    include_trials = listed(record_id(), 200, load_default=list)
    stone_id = record_id(load_default=None, allow_none=True)


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
@pooled_blueprint.alt_response(404, "DEFAULT_ERROR")
def what_if(fields: dict[str, Any]) -> Response:
    """Pooled grades as they would be without some trials; nothing is stored."""
    here = world()
    return jsonify(
        pooling.what_if(
            here.database, here.pools, caller(), fields["purpose"],
            exclude=[str(one) for one in fields["exclude_trials"]],
            include=[str(one) for one in fields["include_trials"]],
            stone_id=None if fields["stone_id"] is None else str(fields["stone_id"]),
        )
    )  # fmt: skip
