"""Protocols, their sheets, and the soundness rules."""

from typing import Any
from uuid import UUID

import marshmallow as ma
from flask import Response, request

from ..documents import protocol_sheet_pdf
from ..services import reading, signing_in
from ..services.things import THINGS
from .api import Blueprint
from .auth import caller, signed_in
from .records import add_record_routes
from .schemas.protocols import ProtocolRead, ProtocolWrite, RuleSetRead, RuleSetWrite
from .world import world

protocol_blueprint = Blueprint(
    "protocols", __name__, url_prefix="/api/v1/protocols", description="How trials are done."
)
rule_set_blueprint = Blueprint(
    "rule_sets", __name__, url_prefix="/api/v1/rule-sets", description="The club's soundness rules."
)

add_record_routes(protocol_blueprint, THINGS["protocol"], ProtocolRead, ProtocolWrite, name="Protocol")
add_record_routes(
    rule_set_blueprint, THINGS["rule_set"], RuleSetRead, RuleSetWrite, name="RuleSet", withdraw=False
)


class SheetQuery(ma.Schema):
    """The paper, and the version if it is not the present one."""

    class Meta:
        unknown = ma.EXCLUDE

    paper = ma.fields.String(load_default="a4", validate=ma.validate.OneOf(["a4", "letter"]))
    version = ma.fields.Integer(load_default=None, validate=ma.validate.Range(1, 2**31 - 1))


@protocol_blueprint.route("/<uuid:record_id>/sheet.pdf", methods=["GET"])
@signed_in
@protocol_blueprint.doc(summary="The protocol as a sheet to print", operationId="getProtocolSheet")
@protocol_blueprint.arguments(SheetQuery, location="query")
@protocol_blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/pdf")
@protocol_blueprint.alt_response(404, "DEFAULT_ERROR")
def get_sheet(query: dict[str, Any], record_id: UUID) -> Response:
    """The protocol as a sheet to print, with a code that leads back to it."""
    here, who = world(), caller()
    thing = THINGS["protocol"]
    if query["version"] is None:
        body = reading.get_record(here.database, who, thing, str(record_id))
    else:
        body = reading.record_at_version(here.database, who, thing, str(record_id), query["version"])
    _, club = signing_in.whoami(here.database, who)
    base = here.settings.public_url or request.host_url.rstrip("/")
    pdf = protocol_sheet_pdf(
        body,
        club_name=club["name"],
        url=f"{base}/protocols/{record_id}",
        paper=query["paper"],
        issued_on=here.clock().date(),
        renderer=here.renderer,
    )
    return Response(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="protocol-{record_id}-v{body["version"]}.pdf"'},
    )
