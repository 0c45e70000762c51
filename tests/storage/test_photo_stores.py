"""Every photo store keeps one promise: what is put is got, whole, by club and name."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import ClubHouse
from whetpanel.storage.photo_store import FolderPhotoStore, MemoryPhotoStore, PhotoStore, TablePhotoStore

MAKERS: dict[str, Callable[[ClubHouse, Path], PhotoStore]] = {
    "memory": lambda house, folder: MemoryPhotoStore(),
    "folder": lambda house, folder: FolderPhotoStore(folder / "photos"),
    "table": lambda house, folder: TablePhotoStore(house.database),
}


@pytest.mark.parametrize("kind", MAKERS)
def test_what_is_put_is_got(house: ClubHouse, tmp_path: Path, kind: str) -> None:
    """Twice is harmless; another club or name finds nothing."""
    store = MAKERS[kind](house, tmp_path)
    club = house.dealer.get("/club").json["id"]
    name = "ab" + "0" * 62

    store.put(club, name, b"\x00\xff picture")
    store.put(club, name, b"\x00\xff picture")

    assert b"\x00\xff picture" == store.get(club, name)
    assert store.get(club, "cd" + "0" * 62) is None
    assert store.get("0195a000-0000-7000-8000-000000000009", name) is None


def test_a_broken_write_leaves_no_half_photo(tmp_path: Path) -> None:
    """The folder store moves a finished file into place, or nothing."""
    store = FolderPhotoStore(tmp_path)

    with pytest.raises(TypeError):
        store.put("club", "ab12", "not bytes")  # type: ignore[arg-type]

    assert store.get("club", "ab12") is None
    assert [] == [path for path in tmp_path.rglob("*") if path.is_file()]
