"""Runs the migrations against the database of the settings, or against a connection that is handed in."""

from alembic import context

from whetpanel.settings import from_environment
from whetpanel.storage.base import make_engine
from whetpanel.storage.schema import Base
from whetpanel.storage.types import UtcDateTime


def _render_item(kind, item, _context):
    # A migration must read the same in ten years: it names plain types, never this project's own.
    if kind == "type" and isinstance(item, UtcDateTime):
        return "sa.DateTime(timezone=True)"
    return False


def _run(connection):
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        # SQLite cannot alter most of a table in place; in batch mode Alembic makes a new one
        # and moves the rows.
        render_as_batch=connection.dialect.name == "sqlite",
        transaction_per_migration=True,
        render_item=_render_item,
    )
    with context.begin_transaction():
        context.run_migrations()


given = context.config.attributes.get("connection")
if given is not None:
    _run(given)
else:
    engine = make_engine(from_environment().database_url)
    with engine.connect() as connection:
        _run(connection)
        connection.commit()
    engine.dispose()
