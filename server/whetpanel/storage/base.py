"""Declarative base, and sessions that read or write."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Engine, MetaData, create_engine, event
from sqlalchemy.orm import DeclarativeBase, Session, sessionmaker

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """Every table's base; constraints are named, so that a migration can name them too."""

    metadata = MetaData(naming_convention=NAMING)


def make_engine(database_url: str) -> Engine:
    """An engine for SQLite or PostgreSQL.

    SQLite is put in WAL mode, so that readers never wait for a writer, and syncs at every commit: a record
    that was answered must survive a pulled plug, and a club's few writes a second can afford the flush.
    """
    if not database_url.startswith("sqlite"):
        return create_engine(database_url, pool_pre_ping=True, pool_size=10, max_overflow=20)
    engine = create_engine(database_url, connect_args={"timeout": 30})

    @event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _record: Any) -> None:
        # The driver's own transaction control is switched off: it would begin late and deferred, and a
        # reader that turns writer in a deferred transaction can fail at once instead of waiting its turn.
        connection.isolation_level = None
        cursor = connection.cursor()
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.execute("PRAGMA foreign_keys=ON")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _on_begin(connection: Any) -> None:
        writes = connection.get_execution_options().get("whetpanel_writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


class Database:
    """The engine and the two ways to use it."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._readers = sessionmaker(engine, expire_on_commit=False)
        self._writers = sessionmaker(engine.execution_options(whetpanel_writes=True), expire_on_commit=False)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that sees one consistent state and writes nothing."""
        with self._readers() as session:
            yield session

    @contextmanager
    def snapshot(self) -> Iterator[Session]:
        """A session that sees one state from its first read to its last, however many reads it makes.

        SQLite gives that to every transaction; PostgreSQL only to those that ask, and without it a copy of a club
        taken in pages could hold a trial of a stone that an earlier page did not know yet.
        """
        with self._readers() as session:
            if self.engine.dialect.name != "sqlite":
                session.connection(execution_options={"isolation_level": "REPEATABLE READ"})
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session whose whole block is one transaction: it commits at the end, or nothing has happened."""
        with self._writers.begin() as session:
            yield session

    def dispose(self) -> None:
        """Close every connection."""
        self.engine.dispose()
