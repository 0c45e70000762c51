"""What may be told of a service to somebody who is not signed in."""

from typing import Any

from sqlalchemy import select, text

from ..storage.base import Database
from ..storage.schema import Club


def only_club(database: Database) -> dict[str, Any] | None:
    """The club of a service that has just one, so that its members need not name it; else nothing is told."""
    with database.read() as session:
        clubs = session.execute(select(Club).limit(2)).scalars().all()
    if len(clubs) != 1:
        return None
    return {"slug": clubs[0].slug, "name": clubs[0].name, "invented": clubs[0].invented}


def database_answers(database: Database) -> None:
    """Raise if the database cannot be asked."""
    with database.read() as session:
        session.execute(text("SELECT 1"))
