"""Where photo bytes lie. A folder for one machine; another store can keep the same promise for many."""

import contextlib
import os
import tempfile
from pathlib import Path
from typing import Protocol


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
