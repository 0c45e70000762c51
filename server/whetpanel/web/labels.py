"""Labels with QR codes, to be printed and stuck on stones."""

from typing import Any

import marshmallow as ma
from flask import Response, request
from marshmallow.validate import Length, OneOf

from ..documents import LABEL_LAYOUTS, Paper
from ..services import labelling
from .api import Blueprint
from .auth import caller, signed_in
from .fields import record_id, whole
from .world import world

label_blueprint = Blueprint(
    "labels", __name__, url_prefix="/api/v1/labels", description="Labels to print and stick on stones."
)

_NAMES = list(dict.fromkeys(layout.name for layout in LABEL_LAYOUTS))
_MOST_SKIPPED = max(layout.n_labels for layout in LABEL_LAYOUTS) - 1


class LabelsWrite(ma.Schema):
    """Which stones, in which order, on which sheets; ``skip`` labels of the first sheet are used already."""

    stone_ids = ma.fields.List(
        record_id(),
        required=True,
        validate=Length(
            min=1,
            max=labelling.MOST_LABELS,
            error="Choose between {min} and {max} stones at once.",
        ),
    )
    paper = ma.fields.String(required=True, validate=OneOf([str(paper) for paper in Paper]))
    layout = ma.fields.String(load_default=None, allow_none=True, validate=OneOf([*_NAMES, None]))
    skip = whole(0, _MOST_SKIPPED, load_default=0)


@label_blueprint.route("", methods=["POST"])
@signed_in
@label_blueprint.doc(summary="Labels for stones, as sheets to print", operationId="printLabels")
@label_blueprint.arguments(LabelsWrite)
@label_blueprint.response(200, {"type": "string", "format": "binary"}, content_type="application/pdf")
@label_blueprint.alt_response(403, "DEFAULT_ERROR")
def print_labels(fields: dict[str, Any]) -> Response:
    """Labels for stones, each with a code that leads to its page; nothing is stored."""
    here = world()
    pdf = labelling.print_labels(
        here.database,
        here.renderer,
        caller(),
        [str(stone_id) for stone_id in fields["stone_ids"]],
        paper=fields["paper"],
        layout=fields["layout"],
        skip=fields["skip"],
        base_url=here.settings.public_url or request.host_url.rstrip("/"),
    )
    return Response(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": 'inline; filename="stone-labels.pdf"'},
    )
