"""Offers, and what members agree to."""

from ..services.things import THINGS
from .api import Blueprint
from .records import add_record_routes
from .schemas.common import StoneListQuery
from .schemas.offers import ConsentRead, ConsentWrite, OfferRead, OfferWrite

offer_blueprint = Blueprint(
    "offers", __name__, url_prefix="/api/v1/offers", description="What stones cost and fetch."
)
consent_blueprint = Blueprint(
    "consents", __name__, url_prefix="/api/v1/consents", description="What members agree to."
)

add_record_routes(offer_blueprint, THINGS["offer"], OfferRead, OfferWrite, query=StoneListQuery, name="Offer")
add_record_routes(
    consent_blueprint, THINGS["consent"], ConsentRead, ConsentWrite, name="Consent", withdraw=False
)
