"""One stone as the dealer reviews it."""

import inspect
from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, jsonify

from ..services import reviewing
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, JsonNumber, Moment, listed, needed_words, one_of, record_id, whole, words
from .pooled import MANY, PooledHead, PurposeQuery, ScaleHead, SignCheckRead, StoneGradeRead
from .schemas.common import FACES
from .schemas.trials import Excluded
from .world import world

review_blueprint = Blueprint(
    "review", __name__, url_prefix="/api/v1/stones", description="Review of a stone."
)


class EstimateRead(ma.Schema):
    """A grade and its 90 % interval, held inside the ends of the scale as the pooled grade is."""

    grade = JsonNumber(required=True)
    low90 = JsonNumber(required=True)
    high90 = JsonNumber(required=True)


class ReviewTrialRead(ma.Schema):
    """One trial of the stone on one scale, in the order in which trials were finished. Lengths in grades.

    ``state``: "counts" (pooled); "excluded" (left out, ``excluded`` says who, when and why); "off_scale" (a grade that
    the scale of today does not have); "not_yet" (came in after this result was made). Only one that counts has figures
    from expected to after; the others have severity, steel_lean and corrected where tester and steel are known.

    - reported: the grade as given.
    - severity: how far this tester grades below the panel, by the pooling of all stones.
    - steel_lean: how far stones come out higher with this steel than on average over the protocol's reference steels.
    - corrected: reported + severity − steel_lean, what the trial says of the stone over the reference steels.
    - expected: the mean of the grade that this tester was to be expected to give with this steel, by everything but
      this trial, held inside the ends of the scale.
    - residual: reported − expected.
    - standardised: the residual as a normal score: the normal quantile of the probability, without this trial, of a
      grade below the reported one plus half that of the reported one.
    - pull: the stone's pooled grade, before it is held inside the ends, with this trial minus without it, the reading
      of all other grades unchanged.
    - flag: "high" from a standardised residual of 3, "low" from −3, else "".
    - weight: how far the stone's pooled grade would follow if this trial alone had read one grade higher: the
      covariance of the stone's grade with the trial's expected grade times the precision with which the trial was
      read. Near 0 for a grade taken for a slip of the finger.
    - after: the stone's pooled grade once this trial and the stone's earlier ones were in. Only later trials of this
      stone are taken away; testers, steels and spreads are what is known today.
    """

    trial_id = record_id(required=True)
    tester_id = record_id(required=True, allow_none=True)
    blade_id = record_id(required=True)
    steel = words(40, required=True)
    face = one_of(*FACES, required=True)
    finished_at = Moment(required=True)
    reported = JsonNumber(required=True)
    state = one_of(
        reviewing.COUNTS, reviewing.EXCLUDED, reviewing.OFF_SCALE, reviewing.NOT_YET, required=True
    )
    excluded = ma.fields.Nested(Excluded, required=True, allow_none=True)
    severity = JsonNumber(required=True, allow_none=True)
    steel_lean = JsonNumber(required=True, allow_none=True)
    corrected = JsonNumber(required=True, allow_none=True)
    expected = JsonNumber(required=True, allow_none=True)
    residual = JsonNumber(required=True, allow_none=True)
    standardised = JsonNumber(required=True, allow_none=True)
    pull = JsonNumber(required=True, allow_none=True)
    flag = one_of("", "low", "high", required=True, allow_none=True)
    weight = JsonNumber(required=True, allow_none=True)
    after = ma.fields.Nested(EstimateRead, required=True, allow_none=True)


class ReviewSignsRead(ma.Schema):
    """Whether the signs set the stones' starting points, why or why not, and this stone's check if it contradicts."""

    used = JsonBool(required=True)
    reason = words(1000, required=True)
    check = ma.fields.Nested(SignCheckRead, required=True, allow_none=True)


class ReviewScaleRead(ScaleHead):
    """One scale of the stone.

    - stone: the pooled grade as in the list of pooled grades, None without evidence.
    - before: the grade to be expected of this stone before any trial of its own (an agreed grade is in from the start).
    - borrowed: 1 − the sum of its trials' weights: the part of the grade that rests on the club's other stones, an
      agreed grade and the signs.
    """

    method_version = needed_words(40)
    inputs_digest = words(64, required=True)
    n_trials = whole(0, MANY, required=True)
    n_off_scale = whole(0, MANY, required=True)
    converged = JsonBool(required=True)
    level = JsonNumber(required=True, allow_none=True)
    level_sd = JsonNumber(required=True, allow_none=True)
    level_note = words(1000, required=True)
    stone = ma.fields.Nested(StoneGradeRead, required=True, allow_none=True)
    signs = ma.fields.Nested(ReviewSignsRead, required=True)
    before = ma.fields.Nested(EstimateRead, required=True, allow_none=True)
    borrowed = JsonNumber(required=True, allow_none=True)
    trials = ma.fields.List(ma.fields.Nested(ReviewTrialRead), required=True)


class ReviewRead(PooledHead):
    """A stone's pooled grades with the account of every trial, all scales of a purpose."""

    stone_id = record_id(required=True)
    scales = listed(ma.fields.Nested(ReviewScaleRead), 100, required=True)


@review_blueprint.route("/<uuid:record_id>/review", methods=["GET"])
@signed_in
@review_blueprint.doc(
    summary="One stone's grades with the account of each trial",
    operationId="getReview",
    description="\n\n".join(
        inspect.cleandoc(one.__doc__ or "") for one in (ReviewScaleRead, ReviewTrialRead)
    ),
)
@review_blueprint.arguments(PurposeQuery, location="query")
@review_blueprint.response(200, ReviewRead)
@review_blueprint.alt_response(403, "DEFAULT_ERROR")
@review_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_review(query: dict[str, Any], record_id: UUID) -> Response:
    """One stone's grades with the account of each trial, for dealer and steward."""
    here = world()
    return jsonify(reviewing.review(here.database, here.pools, caller(), str(record_id), query["purpose"]))
