"""Which photos the demo club has, and their drawing ahead of need."""

from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor

from .faces import Photo, face_photo
from .inspections import FOUND, Look
from .mud import mud_photo, side_photo
from .stones import Stone
from .trials import Trial

SIDES = ("QUA-01", "QUA-04", "TAR-03")


def stone_jobs(stone: Stone) -> list[Callable[[], Photo]]:
    """The working face with what was found at intake; every marked face; the side of a few layered stones."""
    other = {"front": "back", "back": "front"}[stone.working_face]
    found = FOUND.get(stone.code, ())
    jobs = [lambda: face_photo(stone, stone.working_face, found, "Working face, wet")]
    for mark in stone.marks:
        words = {"stamp": "Quarry stamp", "natural_skin": "Natural skin"}[mark.kind]
        jobs.append(lambda words=words: face_photo(stone, other, (), words))  # type: ignore[misc]
    if stone.code in SIDES:
        jobs.append(lambda: side_photo(stone, "Long side, wet"))
    return jobs


def look_jobs(look: Look) -> list[Callable[[], Photo]]:
    """A second look has a photo of its own where something has changed."""
    if not look.own_photo:
        return []
    return [lambda: face_photo(look.stone, look.face, look.findings, "After the repair")]


def trial_jobs(trial: Trial) -> list[Callable[[], Photo]]:
    if not trial.mud_photo:
        return []
    shade = int(trial.observations["mud_shade"])
    return [lambda: mud_photo(trial.stone, shade, "Mud after the first strokes")]


class Darkroom:
    """Draws photos on two threads while the loader is busy elsewhere. Off, it has no photos at all."""

    def __init__(self, *, on: bool) -> None:
        self._pool = ThreadPoolExecutor(max_workers=2) if on else None
        self._trays: dict[str, list[Future[Photo]]] = {}

    def order(self, key: str, jobs: Iterable[Callable[[], Photo]]) -> None:
        if self._pool is not None:
            self._trays[key] = [self._pool.submit(job) for job in jobs]

    def collect(self, key: str) -> list[Photo]:
        """The photos ordered under this key, waiting for the last of them; each key is collected once."""
        return [future.result() for future in self._trays.pop(key, [])]

    def close(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
