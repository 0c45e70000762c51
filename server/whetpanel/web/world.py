"""What a view needs from outside, in one place: the database, the photos, the clock, the settings, the printer."""

from dataclasses import dataclass
from typing import cast

from flask import Flask, current_app

from ..clock import Clock
from ..documents.render import Renderer
from ..services.pool_desk import PoolDesk
from ..settings import Settings
from ..storage.base import Database
from ..storage.photo_store import PhotoStore


@dataclass(frozen=True)
class World:
    """Passed in by create_app, so that a test passes another."""

    settings: Settings
    database: Database
    photos: PhotoStore
    clock: Clock
    renderer: Renderer
    pools: PoolDesk


def set_world(app: Flask, world: World) -> None:
    """Give an application its world."""
    app.extensions["whetpanel"] = world


def world() -> World:
    """The world of the running application."""
    return cast(World, current_app.extensions["whetpanel"])
