"""How long the service takes for its main answers, as ratios to a bare endpoint in the same run.

    python -m tests.benchmarks.bench_service [--stones 2000] [--trials 20000] [--keep FOLDER]

Fills an embedded database straight through the services, then asks through the test client, so that neither the
network nor a server's queue is measured. A folder given by ``--keep`` is filled once and used again. Prints
milliseconds (median of several) and the ratio to ``/healthz``.
"""

import argparse
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import select
from tests.benchmarks.big_club import copy_of, make
from tests.conftest import ClubHouse, new_id

from whetpanel.storage.schema import Stone


def median_ms(ask: Callable[[], object], n: int) -> float:
    """Median over n asks, milliseconds."""
    times = []
    for _ in range(n):
        start = time.perf_counter()
        ask()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def club(wanted: argparse.Namespace, folder: Path) -> ClubHouse:
    """The club to ask: a new one, or a copy of the kept one."""
    if wanted.keep is None:
        return make(folder, wanted.stones, wanted.trials)
    if not wanted.keep.exists():
        make(wanted.keep, wanted.stones, wanted.trials).database.dispose()
    return copy_of(wanted.keep, folder)


def what_if(house: ClubHouse, only: str | None, of: str | None = None) -> object:
    """Ask what leaving one trial of a stone out would change."""
    trial = house.dealer.get(f"/stones/{only or of}/trials").json["items"][0]["id"]
    body = {"purpose": "knife", "exclude_trials": [trial], **({"stone_id": only} if only else {})}
    answer = house.dealer.post("/pooled/what-if", body)
    assert answer.status_code == 200, answer.json
    return answer


def main() -> None:
    """Fill, ask, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--stones", type=int, default=2000)
    parser.add_argument("--trials", type=int, default=20000)
    parser.add_argument("--keep", type=Path)
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    try:
        house = club(wanted, folder)
        with house.database.read() as session:
            stones = list(session.execute(select(Stone.id).order_by(Stone.id)).scalars())
        client = house.app.test_client()
        bare = median_ms(lambda: client.get("/healthz"), 50)
        start = time.perf_counter()
        house.dealer.get("/pooled?purpose=knife")
        first = 1000 * (time.perf_counter() - start)
        trial = house.trial_body(stones[0], house.blade("silver_steel"))
        print(f"{len(stones)} stones")
        print(f"{'answer':<44}{'ms':>10}{'x bare':>10}")
        rows: list[tuple[str, float]] = [
            ("GET /healthz (bare)", bare),
            ("PUT a trial", median_ms(lambda: house.testers[0].put(f"/trials/{new_id()}", trial), 20)),
            ("GET /changes, 500 records", median_ms(lambda: house.dealer.get("/changes?limit=500"), 10)),
            ("GET /stones, 500 records", median_ms(lambda: house.dealer.get("/stones?limit=500"), 10)),
            ("GET a stone's trials", median_ms(lambda: house.dealer.get(f"/stones/{stones[0]}/trials"), 20)),
            ("GET /pooled, first (three fits)", first),
            (
                "GET /pooled, behind new trials",
                median_ms(lambda: house.dealer.get("/pooled?purpose=knife"), 1),
            ),
        ]
        while house.dealer.get("/pooled?purpose=knife").json["behind"]:
            time.sleep(0.2)
        rows += [
            ("GET /pooled, kept", median_ms(lambda: house.dealer.get("/pooled?purpose=knife"), 5)),
            (
                "GET a stone's panel",
                median_ms(lambda: house.dealer.get(f"/stones/{stones[0]}/panel?purpose=knife"), 5),
            ),
            (
                "GET a stone's review",
                median_ms(lambda: house.dealer.get(f"/stones/{stones[0]}/review?purpose=knife"), 5),
            ),
            ("POST /pooled/what-if, one stone", median_ms(lambda: what_if(house, stones[0]), 3)),
            ("POST /pooled/what-if, all stones", median_ms(lambda: what_if(house, None, stones[0]), 3)),
            ("GET /board, kept", median_ms(lambda: house.dealer.get("/board?purpose=knife"), 9)),
            ("GET /work", median_ms(lambda: house.dealer.get("/work"), 3)),
            (
                "POST /plan, 50 trials",
                median_ms(lambda: house.dealer.post("/plan", {"purpose": "knife", "n": 50}), 1),
            ),
        ]
        for name, ms in rows:
            print(f"{name:<44}{ms:>10.1f}{ms / bare:>10.1f}")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
