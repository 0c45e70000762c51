"""Inspections."""

from ..services.things import THINGS
from .api import Blueprint
from .records import add_record_routes
from .schemas.common import StoneListQuery
from .schemas.inspections import InspectionRead, InspectionWrite

inspection_blueprint = Blueprint(
    "inspections",
    __name__,
    url_prefix="/api/v1/inspections",
    description="Inspections, findings and verdicts.",
)

add_record_routes(
    inspection_blueprint, THINGS["inspection"], InspectionRead, InspectionWrite, query=StoneListQuery,
    name="Inspection",
)  # fmt: skip
