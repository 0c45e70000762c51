"""How long the service takes for its main answers, as ratios to a bare endpoint in the same run.

    python -m tests.benchmarks.bench_service [--stones 2000] [--trials 20000]

Fills an embedded database straight through the services, then asks through the test client, so that neither the
network nor a server's queue is measured. Prints milliseconds (median of several) and the ratio to ``/healthz``.
"""

import argparse
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.conftest import ClubHouse, new_id, open_house

from whetpanel.paths import migrations_dir
from whetpanel.storage.migrating import migrate
from whetpanel.storage.schema import Trial

STEELS = ("white_carbon", "tungsten_alloy", "fine_stainless")


def fill(house: ClubHouse, n_stones: int, n_trials: int) -> list[str]:
    """Stones, and trials of them by some sixty testers, through the API. Returns the stones' ids."""
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
    return stones


def median_ms(ask: Callable[[], object], n: int) -> float:
    """Median over n asks, milliseconds."""
    times = []
    for _ in range(n):
        start = time.perf_counter()
        ask()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    """Fill, ask, print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--stones", type=int, default=2000)
    parser.add_argument("--trials", type=int, default=20000)
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    try:
        url = f"sqlite:///{folder / 'club.sqlite3'}"
        migrate(url, migrations_dir())
        house = open_house(url, folder)
        start = time.perf_counter()
        stones = fill(house, wanted.stones, wanted.trials)
        filling = time.perf_counter() - start
        client = house.app.test_client()
        bare = median_ms(lambda: client.get("/healthz"), 50)
        start = time.perf_counter()
        house.dealer.get("/pooled?purpose=knife")
        first = 1000 * (time.perf_counter() - start)
        trial = house.trial_body(stones[0], house.blade("silver_steel"))
        print(f"{wanted.stones} stones, {wanted.trials} trials ({Trial.__tablename__}); filled in {filling:.0f} s")
        print(f"{'answer':<44}{'ms':>10}{'x bare':>10}")
        rows: list[tuple[str, float]] = [
            ("GET /healthz (bare)", bare),
            ("PUT a trial", median_ms(lambda: house.testers[0].put(f"/trials/{new_id()}", trial), 20)),
            ("GET /changes, 500 records", median_ms(lambda: house.dealer.get("/changes?limit=500"), 10)),
            ("GET /stones, 500 records", median_ms(lambda: house.dealer.get("/stones?limit=500"), 10)),
            ("GET a stone's trials", median_ms(lambda: house.dealer.get(f"/stones/{stones[0]}/trials"), 20)),
            ("GET /pooled, first (three fits)", first),
            ("GET /pooled, behind new trials", median_ms(lambda: house.dealer.get("/pooled?purpose=knife"), 1)),
        ]
        while house.dealer.get("/pooled?purpose=knife").json["behind"]:
            time.sleep(0.2)
        rows += [
            ("GET /pooled, kept", median_ms(lambda: house.dealer.get("/pooled?purpose=knife"), 5)),
            ("GET a stone's panel", median_ms(lambda: house.dealer.get(f"/stones/{stones[0]}/panel?purpose=knife"), 5)),
            ("GET /work", median_ms(lambda: house.dealer.get("/work"), 3)),
            ("POST /plan, 50 trials", median_ms(lambda: house.dealer.post("/plan", {"purpose": "knife", "n": 50}), 1)),
        ]
        for name, ms in rows:
            print(f"{name:<44}{ms:>10.1f}{ms / bare:>10.1f}")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
