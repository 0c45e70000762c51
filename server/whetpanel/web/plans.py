"""Assignments and hand-overs."""

from ..services.things import THINGS
from .api import Blueprint
from .records import add_record_routes
from .schemas.common import StoneListQuery
from .schemas.plans import AssignmentRead, AssignmentWrite, HandOverRead, HandOverWrite

assignment_blueprint = Blueprint(
    "assignments", __name__, url_prefix="/api/v1/assignments", description="Trials asked of testers."
)
hand_over_blueprint = Blueprint(
    "hand_overs", __name__, url_prefix="/api/v1/hand-overs", description="Who has which stone."
)

add_record_routes(
    assignment_blueprint, THINGS["assignment"], AssignmentRead, AssignmentWrite, query=StoneListQuery,
    name="Assignment",
)  # fmt: skip
add_record_routes(
    hand_over_blueprint,
    THINGS["hand_over"],
    HandOverRead,
    HandOverWrite,
    query=StoneListQuery,
    name="HandOver",
)
