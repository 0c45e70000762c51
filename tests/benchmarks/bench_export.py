"""What taking a large club's tables away costs: the processor's time against reading its records, and memory.

    python -m tests.benchmarks.bench_export [--stones 2000] [--trials 20000] [--keep FOLDER]

The club is that of bench_service. Prints the rows and bytes of the package; the processor's seconds with their ratio
to walking all records by ``/changes`` in the same run; and how far the process has grown at its largest.
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
from tests.conftest import ClubHouse

from whetpanel.services.exporting import write_tables


def busy(act: Callable[[], Any]) -> tuple[float, Any]:
    """The processor's seconds, so that neighbours on the machine do not count; and what it gave."""
    start = time.process_time()
    given = act()
    return time.process_time() - start, given


def peak_mb() -> float:
    """The largest this process has been, MB (Linux counts in KiB)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def walk(house: ClubHouse) -> int:
    """Read every record, as a program does that follows the club; how many there are."""
    after, n = 0, 0
    while True:
        page = house.dealer.get(f"/changes?after={after}&limit=1000").json
        after, n = page["next_after"], n + len(page["changes"])
        if not page["more"]:
            return n


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
        walk_s, n_records = busy(lambda: walk(house))
        before = peak_mb()
        target = io.BytesIO()
        club_id = house.dealer.get("/club").json["id"]
        export_s, about = busy(lambda: write_tables(house.database, club_id, target))
        rows = about["n_rows"]
        print(f"{n_records} records; {sum(rows.values())} rows, {len(target.getvalue()) / 1e6:.1f} MB packed")
        for table in ("trials", "pooled_grades", "trial_readings"):
            print(f"  of them {rows[table]} in {table}")
        print(f"walking /changes  {walk_s:7.1f} s  1")
        print(f"export            {export_s:7.1f} s  {export_s / walk_s:.1f}")
        print(
            f"grown by          {peak_mb() - before:7.0f} MB over {before:.0f} MB, the package itself in it"
        )
        house.database.dispose()


if __name__ == "__main__":
    main()
