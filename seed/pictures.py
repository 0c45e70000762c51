"""Which photos the demo club has, and their drawing ahead of need."""

from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from .faces import Photo, face_photo
from .inspections import FOUND, Look
from .mud import mud_photo, side_photo
from .stones import Stone
from .trials import Trial

SIDES = ("QUA-01", "QUA-04", "TAR-03")


@dataclass(frozen=True)
class Shot:
    """A photo to be drawn: what it will show, and how to draw it."""

    view: str
    draw: Callable[[], Photo]


def stone_shots(stone: Stone) -> list[Shot]:
    """The working face with what was found at intake; every marked face; the side of a few layered stones."""
    face, found = stone.working_face, FOUND.get(stone.code, ())
    shots = [Shot(face, partial(face_photo, stone, face, found, "Working face, wet"))]
    for mark in stone.marks:
        words = {"stamp": "Quarry stamp", "natural_skin": "Natural skin"}[mark.kind]
        shots.append(Shot(mark.face, partial(face_photo, stone, mark.face, (), words)))
    if stone.code in SIDES:
        shots.append(Shot("side", partial(side_photo, stone, "Long side, wet")))
    return shots


def look_shots(look: Look) -> list[Shot]:
    """A second look has its own photo where something has changed; the first shares the stone's."""
    if not look.own_photo:
        return []
    return [Shot(look.face, partial(face_photo, look.stone, look.face, look.findings, "After the repair"))]


def trial_shots(trial: Trial) -> list[Shot]:
    if not trial.mud_photo:
        return []
    shade = int(trial.observations["mud_shade"])
    return [Shot("mud", partial(mud_photo, trial.stone, shade, "Mud after the first strokes"))]


class Darkroom:
    """Draws photos on two threads while the loader is busy elsewhere. Off, it has no photos at all."""

    def __init__(self, *, on: bool) -> None:
        self._pool = ThreadPoolExecutor(max_workers=2) if on else None
        self._trays: dict[str, list[Future[Photo]]] = {}

    def order(self, key: str, shots: Iterable[Shot]) -> None:
        if self._pool is not None:
            self._trays[key] = [self._pool.submit(shot.draw) for shot in shots]

    def collect(self, key: str) -> list[Photo]:
        """The photos ordered under this key, waiting for the last of them; each key is collected once."""
        return [future.result() for future in self._trays.pop(key, [])]

    def close(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
