"""What taking a large club's tables away costs: time against reading its records through the API, and memory.

    python -m tests.benchmarks.bench_export [--stones 2000] [--trials 20000] [--keep FOLDER]

The club is that of bench_service. Prints the rows and bytes of the package, the seconds of its parts with their ratio
to walking all records by ``/changes`` in the same run, and how far the process has grown at its largest.
"""

import argparse
import io
import resource
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.benchmarks.bench_service import club

from whetpanel.services import exporting


def seconds(act: Callable[[], Any]) -> tuple[float, Any]:
    """How long it took, and what it gave."""
    start = time.perf_counter()
    given = act()
    return time.perf_counter() - start, given


def peak_mb() -> float:
    """The largest this process has been, MB (Linux counts in KiB)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Fill, take away, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--stones", type=int, default=2000)
    parser.add_argument("--trials", type=int, default=20000)
    parser.add_argument("--keep", type=Path)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        house = club(wanted, Path(name))

        def walk() -> int:
            after, n = 0, 0
            while True:
                page = house.dealer.get(f"/changes?after={after}&limit=1000").json
                after, n = page["next_after"], n + len(page["changes"])
                if not page["more"]:
                    return n

        changes_s, n_records = seconds(walk)
        before = peak_mb()
        made = exporting.pool_scale
        pooled_s = [0.0]

        def timed(inputs: Any) -> Any:
            took, one = seconds(lambda: made(inputs))
            pooled_s[0] += took
            return one

        exporting.pool_scale = timed
        target = io.BytesIO()
        club_id = house.dealer.get("/club").json["id"]
        whole_s, about = seconds(lambda: exporting.write_tables(house.database, club_id, target))
        print(
            f"{n_records} records; {sum(about['n_rows'].values())} rows, {len(target.getvalue()) / 1e6:.1f} MB packed"
        )
        for table in ("trials", "pooled_grades", "trial_readings"):
            print(f"  of them {about['n_rows'][table]} in {table}")
        print(f"walking /changes   {changes_s:8.1f} s  1")
        print(f"export, whole      {whole_s:8.1f} s  {whole_s / changes_s:.1f}")
        print(f"  of it pooling    {pooled_s[0]:8.1f} s  {pooled_s[0] / changes_s:.1f}")
        print(f"  of it the rest   {whole_s - pooled_s[0]:8.1f} s  {(whole_s - pooled_s[0]) / changes_s:.1f}")
        print(
            f"grown by           {peak_mb() - before:8.0f} MB over {before:.0f} MB, the package itself in it"
        )
        house.database.dispose()


if __name__ == "__main__":
    main()
