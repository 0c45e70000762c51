"""A club of the size that the benchmarks speak of: filled through the API, and kept in a folder if one is given.

python -m tests.benchmarks.big_club FOLDER [--stones 2000] [--trials 20000]
"""

import argparse
import random
import shutil
import time
from pathlib import Path
from typing import Any

from sqlalchemy import select
from tests.conftest import Clock, ClubHouse, Person, new_id, open_house, sign_in, test_settings

from whetpanel.app import create_app
from whetpanel.documents.render import NullRenderer
from whetpanel.paths import migrations_dir
from whetpanel.storage.base import Database, make_engine
from whetpanel.storage.migrating import migrate
from whetpanel.storage.photo_store import MemoryPhotoStore
from whetpanel.storage.schema import Lot, Member

STEELS = ("white_carbon", "tungsten_alloy", "fine_stainless")


def address(folder: Path) -> str:
    """The database in a folder."""
    return f"sqlite:///{folder / 'club.sqlite3'}"


def fill(house: ClubHouse, n_stones: int, n_trials: int) -> list[str]:
    """Stones, trials of them by some sixty testers, and a look at nine in ten, through the API. Returns stones' ids."""
    rng = random.Random(1)
    testers = [house.testers[0], house.testers[1], house.testers[2]]
    testers += [house.member(f"more{n}", "tester") for n in range(57)]
    blades = [house.blade(steel) for steel in STEELS]
    stones = [house.stone() for _ in range(n_stones)]
    true = {stone: min(5.0, max(1.0, rng.gauss(3.2, 0.8))) for stone in stones}
    lean = {tester.id: rng.gauss(0, 0.3) for tester in testers}
    for n in range(n_trials):
        stone, tester = stones[n % n_stones], rng.choice(testers)
        grades = {
            scale: min(5.0, max(1.0, round(2 * (true[stone] - lean[tester.id] + rng.gauss(0, 0.4))) / 2))
            for scale in ("hardness", "fineness", "ease")
        }
        body = house.trial_body(stone, blades[n % 3], grades=grades)
        answer = tester.put(f"/trials/{new_id()}", body)
        assert answer.status_code == 201, answer.json
    for n, stone in enumerate(stones):
        if n % 10:
            looked = inspection(stone, fissured=n % 7 == 0)
            answer = rng.choice(testers).put(f"/inspections/{new_id()}", looked)
            assert answer.status_code == 201, answer.json
    return stones


def inspection(stone_id: str, *, fissured: bool) -> dict[str, Any]:
    """A look at the front of a stone; a fissure that catches the nail asks for work."""
    finding = {
        "id": new_id(),
        "kind": "fissure",
        "points": [{"x_mm": 0, "y_mm": 20}, {"x_mm": 30, "y_mm": 35}],
        "catches_nail": True,
    }
    return {
        "stone_id": stone_id,
        "face": "front",
        "thickness_mm": 25,
        "inspected_at": "2026-02-20T10:00:00Z",
        "water_uptake_s": 60,
        "findings": [finding] if fissured else [],
    }


def make(folder: Path, n_stones: int, n_trials: int) -> ClubHouse:
    """A new club in a folder, filled."""
    folder.mkdir(parents=True, exist_ok=True)
    migrate(address(folder), migrations_dir())
    house = open_house(address(folder), folder)
    fill(house, n_stones, n_trials)
    return house


def copy_of(kept: Path, folder: Path) -> ClubHouse:
    """A kept club, copied so that a benchmark can write to it, brought up to date and opened."""
    shutil.copytree(kept, folder, dirs_exist_ok=True)
    migrate(address(folder), migrations_dir())
    settings = test_settings(address(folder), folder)
    database = Database(make_engine(address(folder)))
    app = create_app(settings, database=database, photos=MemoryPhotoStore(), renderer=NullRenderer())
    with database.read() as session:
        ids = dict(session.execute(select(Member.sign_in_name, Member.id)).tuples().all())
        lot = session.execute(select(Lot.id).order_by(Lot.id)).scalars().first()

    def person(name: str) -> Person:
        return Person(app, ids[name], name, sign_in(app, name))

    house = ClubHouse(app, Clock(), person("steward"), database)
    house.dealer = person("dealer")
    house.testers = [person(f"tester{n}") for n in (1, 2, 3)]
    house.protocols = {one["purpose"]: one for one in house.steward.get("/protocols").json["items"]}
    house.lot_id = str(lot)
    return house


def main() -> None:
    """Fill a folder for later runs."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--stones", type=int, default=2000)
    parser.add_argument("--trials", type=int, default=20000)
    wanted = parser.parse_args()
    start = time.perf_counter()
    make(wanted.folder, wanted.stones, wanted.trials).database.dispose()
    print(f"{wanted.stones} stones, {wanted.trials} trials; filled in {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
