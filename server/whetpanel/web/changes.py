"""Everything that changed since a revision: what a phone follows."""

from typing import Any

import marshmallow as ma
from flask import Response, jsonify

from ..services import reading
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .fields import JsonBool, one_of, record_id, whole
from .world import world

change_blueprint = Blueprint(
    "changes", __name__, url_prefix="/api/v1/changes", description="What changed since a revision."
)

FAR = 2**31 - 1


class ChangesQuery(ma.Schema):
    """The last revision you have, and how many changes you take at once."""

    class Meta:
        unknown = ma.EXCLUDE

    after = ma.fields.Integer(load_default=0, validate=ma.validate.Range(0, FAR))
    limit = ma.fields.Integer(load_default=500, validate=ma.validate.Range(1, 1000))


class Change(ma.Schema):
    """One record in its present state."""

    thing = one_of(*THINGS, required=True)
    id = record_id(required=True)
    revision = whole(1, FAR, required=True)
    record = ma.fields.Dict(required=True)


class ChangesRead(ma.Schema):
    """A page of changes. Ask again with ``next_after`` while ``more`` is true."""

    changes = ma.fields.List(ma.fields.Nested(Change), required=True)
    next_after = whole(0, FAR, required=True)
    more = JsonBool(required=True)
    view = one_of("tester", "dealer", "steward", required=True)


@change_blueprint.route("", methods=["GET"])
@signed_in
@change_blueprint.doc(summary="What changed since a revision", operationId="listChanges")
@change_blueprint.arguments(ChangesQuery, location="query")
@change_blueprint.response(200, ChangesRead)
@change_blueprint.alt_response(401, "DEFAULT_ERROR")
def list_changes(query: dict[str, Any]) -> Response:
    """What changed since a revision, withdrawn records too, each once and in its present state."""
    found = reading.changes_after(world().database, caller(), query["after"], query["limit"])
    return jsonify(
        {
            "changes": found.entries,
            "next_after": found.next_after,
            "more": found.more,
            "view": caller().view,
        }
    )
