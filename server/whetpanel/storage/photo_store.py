"""Where photo bytes lie. A folder for one machine; another store can keep the same promise for many."""

import contextlib
import os
import tempfile
from pathlib import Path
from typing import Protocol

from .base import Database
from .photos import PhotoBytes


class PhotoStore(Protocol):
    """Bytes by club and name. Writing the same name again is harmless, since names are content hashes."""

    def put(self, club_id: str, name: str, content: bytes) -> None:
        """Keep the bytes, wholly or not at all."""

    def get(self, club_id: str, name: str) -> bytes | None:
        """The bytes, or None."""


class MemoryPhotoStore:
    """A store that forgets with the process; for tests."""

    def __init__(self) -> None:
        self._held: dict[tuple[str, str], bytes] = {}

    def put(self, club_id: str, name: str, content: bytes) -> None:
        """Keep the bytes."""
        self._held[club_id, name] = content

    def get(self, club_id: str, name: str) -> bytes | None:
        """The bytes, or None."""
        return self._held.get((club_id, name))


class TablePhotoStore:
    """Bytes in the database itself, so that every process on every machine that shares it sees every photo.

    A club's photos are some 150 kB each and written once, which a database bears well; in return one setting moves
    a service to many machines, and one backup holds everything.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def put(self, club_id: str, name: str, content: bytes) -> None:
        """Keep the bytes, in a transaction of their own."""
        with self._database.write() as session:
            session.merge(PhotoBytes(club_id=club_id, name=name, content=content))

    def get(self, club_id: str, name: str) -> bytes | None:
        """The bytes, or None."""
        with self._database.read() as session:
            row = session.get(PhotoBytes, (club_id, name))
            return None if row is None else row.content


class FolderPhotoStore:
    """A folder a club, a subfolder for the first two letters, a file a photo."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def _path(self, club_id: str, name: str) -> Path:
        return self.root / club_id / name[:2] / name

    def put(self, club_id: str, name: str, content: bytes) -> None:
        """Write to a temporary file and move it into place, so that a crash leaves no half photo."""
        path = self._path(club_id, name)
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(temporary).replace(path)
        except BaseException:
            with contextlib.suppress(FileNotFoundError):
                Path(temporary).unlink()
            raise

    def get(self, club_id: str, name: str) -> bytes | None:
        """The bytes, or None."""
        try:
            return self._path(club_id, name).read_bytes()
        except FileNotFoundError:
            return None


def photo_store(database_url: str, folder: Path, database: Database) -> PhotoStore:
    """A folder beside the embedded database; the database itself where others share it."""
    if database_url.startswith("sqlite"):
        return FolderPhotoStore(folder)
    return TablePhotoStore(database)
