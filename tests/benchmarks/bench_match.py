"""How long a dealer waits for stones to a wish in a large club, when its pooled results are kept.

python -m tests.benchmarks.bench_match [--keep FOLDER]

Prints the median of nine asks for one blade to six, in milliseconds and as a ratio to the bare ``/healthz``; "hard":
nothing fits well, so that fewer stones can be left unweighed.
"""

import argparse
import shutil
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

from tests.benchmarks.big_club import copy_of, make

STEELS = ("white_carbon", "s_100cr6", "fine_stainless", "tungsten_alloy", "s_x153crmov12", None)


def wish(n_blades: int, *, hard: bool) -> dict[str, Any]:
    """A wish with so many blades, tried and untried steels in turn."""
    bevels = ("ordinary", "wide", "narrow")
    blades = [{"name": f"b{n}", "steel": STEELS[n], "bevel": bevels[n % 3]} for n in range(n_blades)]
    return {
        "purpose": "knife",
        "blades": blades,
        "finish": "new_bevel" if hard else "clean",
        "skill": "learning" if hard else "practised",
        "owned": {"system": "jis", "number": 1000},
    }


def main() -> None:
    """Fill or copy, pool once, ask, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--keep", type=Path)
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    try:
        if wanted.keep is not None and not wanted.keep.exists():
            make(wanted.keep, 2000, 20000).database.dispose()
        house = make(folder, 2000, 20000) if wanted.keep is None else copy_of(wanted.keep, folder)
        house.dealer.get("/pooled?purpose=knife")
        while house.dealer.get("/pooled?purpose=knife").json["behind"]:
            time.sleep(0.2)
        client = house.app.test_client()

        def median_ms(ask: Any, n: int) -> float:
            times = []
            for _ in range(n):
                start = time.perf_counter()
                ask()
                times.append(1000 * (time.perf_counter() - start))
            return statistics.median(times)

        bare = median_ms(lambda: client.get("/healthz"), 50)
        print(f"{'answer':<34}{'ms':>10}{'x bare':>10}")
        print(f"{'GET /healthz (bare)':<34}{bare:>10.1f}{1:>10.1f}")
        for hard in (False, True):
            for n in range(1, 7):
                body = wish(n, hard=hard)
                answer = house.dealer.post("/match", body)
                assert answer.status_code == 200, answer.json
                ms = median_ms(lambda body=body: house.dealer.post("/match", body), 9)
                name = f"POST /match, {n} blades{', hard' if hard else ''}, best {answer.json['best']:.2f}"
                print(f"{name:<34}{ms:>10.1f}{ms / bare:>10.1f}", flush=True)
        print(f"{answer.json['n_considered']} of {answer.json['n_stones']} stones weighed")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


if __name__ == "__main__":
    main()
