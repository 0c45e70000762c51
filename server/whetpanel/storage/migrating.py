"""Bringing a database to the present shape, and back."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

from .base import make_engine


def _config(migrations: Path) -> Config:
    config = Config()
    config.set_main_option("script_location", str(migrations).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _run(engine: Engine, migrations: Path, target: str, *, up: bool) -> None:
    config = _config(migrations)
    with engine.connect().execution_options(whetpanel_writes=True) as connection:
        # Rebuilding a table drops the old one, which SQLite would refuse while rows point to it. Each migration
        # checks what it must; foreign keys hold again for every connection opened afterwards.
        if engine.dialect.name == "sqlite":
            connection.exec_driver_sql("COMMIT")
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
            connection.exec_driver_sql("BEGIN IMMEDIATE")
        config.attributes["connection"] = connection
        if up:
            command.upgrade(config, target)
        else:
            command.downgrade(config, target)
        connection.commit()


def migrate(database_url: str, migrations: Path, target: str = "head") -> None:
    """Bring the database up to a migration; nothing happens if it is there already."""
    if database_url.startswith("sqlite:///"):
        Path(database_url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
    engine = make_engine(database_url)
    try:
        _run(engine, migrations, target, up=True)
    finally:
        engine.dispose()


def migrate_down(database_url: str, migrations: Path, target: str) -> None:
    """Take the database back to an earlier migration."""
    engine = make_engine(database_url)
    try:
        _run(engine, migrations, target, up=False)
    finally:
        engine.dispose()


def newest(migrations: Path) -> str | None:
    """The migration that the code expects."""
    return ScriptDirectory.from_config(_config(migrations)).get_current_head()
