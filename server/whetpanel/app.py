"""The application: its world, its errors, its blueprints, in that order."""

import structlog
from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from . import clock
from . import settings as settings_module
from .clock import Clock
from .documents.render import Renderer, TypstRenderer
from .logs import begin_request, end_request
from .services.pool_desk import PoolDesk
from .settings import Settings
from .storage.base import Database, make_engine
from .storage.photo_store import PhotoStore, photo_store
from .web import api, errors, pages
from .web.board import board_blueprint
from .web.changes import change_blueprint
from .web.clubs import club_blueprint, member_blueprint
from .web.docs import doc_blueprint
from .web.exporting import export_blueprint
from .web.inspections import inspection_blueprint
from .web.invitations import invitation_blueprint, joining_blueprint
from .web.labels import label_blueprint
from .web.matching import match_blueprint, shortlist_blueprint
from .web.offers import consent_blueprint, offer_blueprint
from .web.panel import panel_blueprint
from .web.photos import photo_blueprint
from .web.plans import assignment_blueprint, hand_over_blueprint
from .web.pooled import pooled_blueprint
from .web.protocols import protocol_blueprint, rule_set_blueprint
from .web.public import public_blueprint
from .web.repairs import lapping_blueprint, repair_blueprint, work_blueprint
from .web.reviewing import review_blueprint
from .web.sessions import service_blueprint, session_blueprint
from .web.slips import published_blueprint, slip_blueprint
from .web.stones import blade_blueprint, lot_blueprint, stone_blueprint
from .web.trials import check_stone_blueprint, trial_blueprint
from .web.world import World, set_world

BLUEPRINTS = (
    service_blueprint, session_blueprint, club_blueprint, member_blueprint, lot_blueprint, stone_blueprint,
    blade_blueprint, protocol_blueprint, rule_set_blueprint, inspection_blueprint, trial_blueprint,
    check_stone_blueprint, photo_blueprint, change_blueprint, pooled_blueprint, panel_blueprint,
    repair_blueprint, lapping_blueprint, work_blueprint,
    invitation_blueprint, joining_blueprint, slip_blueprint, published_blueprint,
    assignment_blueprint, hand_over_blueprint, offer_blueprint, consent_blueprint, export_blueprint, board_blueprint,
    label_blueprint, review_blueprint, match_blueprint, shortlist_blueprint,
)  # fmt: skip

log = structlog.get_logger()


def create_app(
    settings: Settings | None = None,
    *,
    database: Database | None = None,
    photos: PhotoStore | None = None,
    now: Clock = clock.now,
    renderer: Renderer | None = None,
) -> Flask:
    """The service as a WSGI application. The database must be migrated already."""
    settings = settings or settings_module.from_environment()
    app = Flask("whetpanel", static_folder=None)
    # A photo is the largest thing anyone sends; JSON is held to its own limit by the request hook.
    app.config["MAX_CONTENT_LENGTH"] = settings.photo_max_bytes + 1
    app.config["LOG_REQUESTS"] = settings.log_requests
    app.json.sort_keys = False  # type: ignore[attr-defined]
    app.url_map.strict_slashes = False
    database = database or Database(make_engine(settings.database_url))
    set_world(
        app,
        World(
            settings=settings,
            database=database,
            photos=photos or photo_store(settings.database_url, settings.photos_dir, database),
            clock=now,
            renderer=renderer or TypstRenderer(),
            pools=PoolDesk(database, now),
        ),
    )
    rest = api.configure(app)
    errors.register(app)
    for blueprint in BLUEPRINTS:
        rest.register_blueprint(blueprint)
    app.register_blueprint(doc_blueprint)
    app.register_blueprint(public_blueprint)
    app.register_blueprint(pages.page_blueprint)
    app.before_request(begin_request)
    app.before_request(api.hold_json_to_its_limit)
    app.after_request(pages.secure_headers)
    app.after_request(end_request)
    if settings.trusted_proxies:
        n = settings.trusted_proxies
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=n, x_proto=n, x_host=n)  # type: ignore[method-assign]
    return app
