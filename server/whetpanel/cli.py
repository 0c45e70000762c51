"""The ``whetpanel`` command: each of its words calls one service."""

import json
import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
import requests

from . import __version__, clock, files, logs, paths
from . import settings as settings_module
from .core.soundness import assess_stone_json
from .errors import Invalid
from .files.console import say_refusals
from .services.bundling import export_club, import_club
from .services.creating_clubs import create_club
from .services.describing import only_club
from .services.exporting import export_tables_of
from .settings import Settings
from .storage.base import Database, make_engine
from .storage.migrating import migrate, migrate_down
from .storage.photo_store import PhotoStore, photo_store

DEMO_CLUB = "alderbeck"
DEMO_STEWARD = "steward"
DEMO_STEWARD_PASSWORD = "wet-slate-steward"
"""As public as the members' demo passwords: the demo holds nothing but invented records."""


@click.group()
@click.version_option(__version__)
def main() -> None:
    """Whetpanel: a panel of sharpeners tests natural whetstones; the service pools their grades."""


def _serve(settings: Settings, host: str, port: int, workers: int, threads: int) -> None:
    """Run the service until it is stopped. Settings go to the workers by the environment they read anyway."""
    from granian import Granian
    from granian.constants import Interfaces

    for name in ("data_dir", "database_url", "demo", "log_requests"):
        os.environ[settings_module.env_name(name)] = str(getattr(settings, name))
    Granian(
        "whetpanel.cli:make_app",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        workers=workers,
        blocking_threads=threads,
        factory=True,
        log_access=False,
        websockets=False,
    ).serve()


def make_app() -> Any:
    """The application for a server's worker process."""
    from .app import create_app

    settings = settings_module.from_environment()
    logs.configure(settings.log_format)
    return create_app(settings)


_ADDRESS = (
    click.option(
        "--host", default="127.0.0.1", show_default=True, help="Address to listen on; 0.0.0.0 for phones."
    ),
    click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65_535)),
)


def _address(command: Callable[..., None]) -> Callable[..., None]:
    for option in reversed(_ADDRESS):
        command = option(command)
    return command


@main.command()
@_address
@click.option("--workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Processes.")
@click.option(
    "--threads", default=8, show_default=True, type=click.IntRange(1, 256), help="Threads a process."
)
@say_refusals
def serve(host: str, port: int, workers: int, threads: int) -> None:
    """Run the service; the database is brought up to date first."""
    settings = settings_module.from_environment()
    migrate(settings.database_url, paths.migrations_dir())
    _warn_if_empty(settings)
    click.echo(f"Whetpanel {__version__} at http://{host}:{port} (stop with Ctrl-C)")
    _serve(settings, host, port, workers, threads)


def _warn_if_empty(settings: Settings) -> None:
    database = Database(make_engine(settings.database_url))
    try:
        if only_club(database) is None:
            click.echo("There may be no club yet: whetpanel create-club makes one.")
    finally:
        database.dispose()


@main.command(name="migrate")
@click.option(
    "--down-to", metavar="REVISION", help="Go back to an earlier migration; base empties the database."
)
@say_refusals
def migrate_command(down_to: str | None) -> None:
    """Bring the database to the present shape."""
    settings = settings_module.from_environment()
    if down_to is None:
        migrate(settings.database_url, paths.migrations_dir())
    else:
        migrate_down(settings.database_url, paths.migrations_dir(), down_to)
    click.echo("The database is up to date." if down_to is None else f"The database is back at {down_to}.")


@main.command(name="create-club")
@click.argument("slug")
@click.option("--name", required=True, help="The club's full name.")
@click.option("--steward", "steward_name", required=True, help="Sign-in name of the first steward.")
@click.option("--steward-display-name", help="Name shown to others; default: the sign-in name.")
@click.option(
    "--password-env", metavar="VARIABLE", help="Environment variable with the password; default: asked for."
)
@say_refusals
def create_club_command(
    slug: str, name: str, steward_name: str, steward_display_name: str | None, password_env: str | None
) -> None:
    """Make a club with its first steward, three protocols and the soundness rules."""
    settings = settings_module.from_environment()
    password = (
        os.environ.get(password_env, "")
        if password_env
        else click.prompt("Password (12 characters or more)", hide_input=True, confirmation_prompt=True)
    )
    migrate(settings.database_url, paths.migrations_dir())
    database = Database(make_engine(settings.database_url))
    try:
        create_club(
            database, clock.now, settings, slug=slug, name=name, steward_name=steward_name,
            steward_display_name=steward_display_name or steward_name, password=password,
        )  # fmt: skip
    finally:
        database.dispose()
    click.echo(f"{name} is ready. Sign in as {steward_name}.")


@main.command()
@_address
@click.option("--fresh", is_flag=True, help="Start from an empty demo club again.")
@say_refusals
def demo(host: str, port: int, fresh: bool) -> None:
    """Run the service with an invented demo club, filled through the API when it is new."""
    base = settings_module.from_environment()
    folder = base.data_dir / "demo"
    settings = base.with_(
        data_dir=folder,
        database_url=f"sqlite:///{folder / 'whetpanel.sqlite3'}",
        demo=True,
        log_requests=False,
    )
    if fresh:
        shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True, exist_ok=True)
    migrate(settings.database_url, paths.migrations_dir())
    loaded = folder / "loaded"
    _make_demo_club(settings)
    address = f"http://{'127.0.0.1' if host == '0.0.0.0' else host}:{port}"
    if not loaded.exists():
        click.echo("Filling the demo club through the API; this takes some seconds.")
        threading.Thread(target=_load_demo, args=(address, loaded), name="demo-loader", daemon=True).start()
    else:
        _say_demo(loaded.read_text(), address)
    _serve(settings, host, port, workers=1, threads=8)


def _make_demo_club(settings: Settings) -> None:
    """The demo club with its steward, if it is not there yet."""
    database = Database(make_engine(settings.database_url))
    try:
        if only_club(database) is None:
            create_club(
                database, clock.now, settings, slug=DEMO_CLUB, name="Alderbeck Panel (invented)",
                steward_name=DEMO_STEWARD, steward_display_name="Demo steward",
                password=DEMO_STEWARD_PASSWORD, invented=True,
            )  # fmt: skip
    finally:
        database.dispose()


def _say_demo(members: str, address: str) -> None:
    click.echo(members)
    click.echo(f"The steward signs in as {DEMO_STEWARD} with {DEMO_STEWARD_PASSWORD}.")
    click.echo(f"The demo club is ready: open {address} (stop with Ctrl-C)")


def _load_demo(address: str, loaded: Path) -> None:
    """Wait for the service, then run the loader as the outside program that it is."""
    for _ in range(200):
        try:
            if requests.get(f"{address}/healthz", timeout=2).ok:
                break
        except requests.ConnectionError:
            time.sleep(0.1)
    run = subprocess.run(
        [
            sys.executable, str(paths.seed_dir() / "load.py"), "--url", address, "--club", DEMO_CLUB,
            "--steward", DEMO_STEWARD, "--password-env", "DEMO_STEWARD_PASSWORD",
        ],
        env={**os.environ, "DEMO_STEWARD_PASSWORD": DEMO_STEWARD_PASSWORD},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    if run.returncode != 0:
        click.echo(f"The demo club could not be filled:\n{run.stdout}{run.stderr}", err=True)
        return
    loaded.write_text(run.stdout)
    _say_demo(run.stdout, address)


@main.command()
@click.argument("stone_json", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@say_refusals
def assess(stone_json: Path) -> None:
    """Judge a stone from a JSON file with its sizes, findings and readings; nothing is stored."""
    try:
        body = json.loads(stone_json.read_text(encoding="utf-8"))
    except ValueError as error:
        raise Invalid(f"{stone_json.name} is not JSON: {error}") from None
    click.echo(json.dumps(assess_stone_json(body), indent=2, ensure_ascii=False))


@main.command()
@click.argument("path", type=click.Path(dir_okay=False, path_type=Path))
def openapi(path: Path) -> None:
    """Write the API's description to a file."""
    from .app import create_app
    from .web.api import description

    path.write_text(description(create_app(Settings(database_url="sqlite://"))), encoding="utf-8")


def _database_and_photos() -> tuple[Database, PhotoStore]:
    settings = settings_module.from_environment()
    migrate(settings.database_url, paths.migrations_dir())
    database = Database(make_engine(settings.database_url))
    return database, photo_store(settings.database_url, settings.photos_dir, database)


@main.command(name="export-club")
@click.argument("slug")
@click.argument("bundle", type=click.Path(dir_okay=False, path_type=Path))
@say_refusals
def export_club_command(slug: str, bundle: Path) -> None:
    """Write a whole club to a file: records with all their states, sign-ins, photos. Keep it as you keep a back-up."""
    database, photos = _database_and_photos()
    try:
        manifest = export_club(database, photos, slug, bundle)
    finally:
        database.dispose()
    click.echo(f"{bundle.name}: {manifest['n_entries']} states of records, {manifest['n_photos']} photos.")
    for name in manifest["missing_photos"]:
        click.echo(f"The bytes of photo {name} are missing.", err=True)


@main.command(name="export-tables")
@click.argument("slug")
@click.argument("package", type=click.Path(dir_okay=False, path_type=Path))
@say_refusals
def export_tables_command(slug: str, package: Path) -> None:
    """Write a club's records and pooled grades to a file as open tables: CSV, JSON and a data dictionary."""
    database, _photos = _database_and_photos()
    try:
        about = export_tables_of(database, slug, package)
    finally:
        database.dispose()
    click.echo(
        f"{package.name}: {sum(about['n_rows'].values())} rows in {len(about['n_rows'])} tables, "
        f"revision {about['revision']}. Begin with its DICTIONARY.md."
    )


@main.command(name="import-club")
@click.argument("bundle", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@say_refusals
def import_club_command(bundle: Path) -> None:
    """Bring a club from such a file into this service."""
    database, photos = _database_and_photos()
    try:
        manifest = import_club(database, photos, bundle)
    finally:
        database.dispose()
    click.echo(
        f"{manifest['slug']} is here: {manifest['n_entries']} states of records, {manifest['n_photos']} photos."
    )


for _command in files.commands:
    main.add_command(_command)

if __name__ == "__main__":
    main()
