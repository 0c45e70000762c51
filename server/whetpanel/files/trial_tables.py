"""Pools a table of trials and writes the answer to a folder."""

import hashlib
import threading
import time
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from whetpanel.core.panel_tables import CheckStone, TrialTable, parse_check_stones, parse_trials
from whetpanel.core.pooling import Anchor, GradeScale, PoolResult, TrialGrade, pool_grades
from whetpanel.errors import Invalid
from whetpanel.files.reading import read_text
from whetpanel.files.results import Pooled, result_texts, write_all

# A fit that ends before this needs no word on the terminal.
QUIET_S = 1.0


def _rows(table: TrialTable, scale: GradeScale, purpose: str | None) -> list[int]:
    """Rows with a grade on the scale, of the purpose if the table has purposes."""
    graded = np.flatnonzero(np.isfinite(table.grades[scale.id])).tolist()
    return [t for t in graded if table.purposes is None or table.purposes[t] == purpose]


def _pool_one(
    table: TrialTable,
    rows: Sequence[int],
    scale: GradeScale,
    purpose: str | None,
    checks: Sequence[CheckStone],
    reference_steels: Sequence[str],
) -> Pooled:
    grades = table.grades[scale.id]
    trials = [
        TrialGrade(table.ids[t], table.stones[t], table.testers[t], table.steels[t], float(grades[t]))
        for t in rows
    ]
    anchors = [
        Anchor(c.stone, c.grades[scale.id], c.sd)
        for c in checks
        if scale.id in c.grades and (c.purpose is None or purpose is None or c.purpose == purpose)
    ]
    result = pool_grades(
        trials, scale=scale, anchors=anchors, reference_steels=list(reference_steels) or None
    )
    row_of = {table.ids[t]: t for t in rows}
    return Pooled(purpose, result, tuple(row_of[trial_id] for trial_id in result.trial_ids))


@contextmanager
def _told(what: str, say: Callable[[str], None] | None) -> Iterator[None]:
    """While a fit runs, say once a second how long it has; nothing when ``say`` is None or it is quick."""
    if say is None:
        yield
        return
    done, started = threading.Event(), time.monotonic()

    def tick() -> None:
        while not done.wait(QUIET_S):
            say(f"\r{what}: {time.monotonic() - started:.0f} s")

    thread = threading.Thread(target=tick, daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()
        if time.monotonic() - started >= QUIET_S:
            say(f"\r{what}: done in {time.monotonic() - started:.1f} s\n")


def _purposes(table: TrialTable, purpose: str | None, name: str) -> list[str | None]:
    if table.purposes is None:
        if purpose is not None:
            raise Invalid(f"{name} has no column purpose, so --purpose cannot choose one.")
        return [None]
    found = sorted(set(table.purposes))
    if purpose is None:
        return list(found)
    if purpose not in found:
        raise Invalid(f"{name} has no trial for the purpose {purpose}; it has {', '.join(found)}.")
    return [purpose]


def pool_files(
    trials_csv: Path,
    out_dir: Path,
    check_stones_csv: Path | None = None,
    *,
    ignore: Collection[str] = (),
    scales: Sequence[GradeScale] = (),
    purpose: str | None = None,
    reference_steels: Sequence[str] = (),
    say: Callable[[str], None] | None = None,
) -> tuple[PoolResult, ...]:
    """Pool every scale of a table of trials and write the answer to a folder.

    Writes ``grades.csv``, ``grades_by_steel.csv``, ``testers.csv``, ``trials.csv`` and ``result.json``.
    A table with a ``purpose`` column is pooled by purpose, since razor and knife people do not mean the
    same by "hard"; with more than one purpose each CSV begins with a column ``purpose``. ``say`` takes
    words on progress for a terminal.

    Returns the fits in the order written. Raises Invalid, naming line and column, before anything is
    written.
    """
    text = read_text(trials_csv)
    twice = {s.id for s in scales if sum(other.id == s.id for other in scales) > 1}
    if twice:
        raise Invalid(f"The scale {sorted(twice)[0]} is given twice.")
    with _told(f"Reading {trials_csv.name}", say):
        table = parse_trials(text, name=trials_csv.name, scales={s.id: s for s in scales}, ignore=ignore)
    checks: tuple[CheckStone, ...] = ()
    digests = {"trials": hashlib.sha256(text.encode()).hexdigest()}
    if check_stones_csv is not None:
        check_text = read_text(check_stones_csv)
        checks = parse_check_stones(check_text, scales=table.scales, name=check_stones_csv.name)
        digests["check_stones"] = hashlib.sha256(check_text.encode()).hexdigest()
    unknown = sorted(set(reference_steels) - set(table.steels))
    if unknown:
        raise Invalid(f"{trials_csv.name} has no trial with the reference steel {unknown[0]}.")
    if out_dir.exists() and not out_dir.is_dir():
        raise Invalid(f"{out_dir} is a file; --out names a folder.")

    fits: list[Pooled] = []
    for chosen in _purposes(table, purpose, trials_csv.name):
        for scale in table.scales:
            rows = _rows(table, scale, chosen)
            if not rows:
                continue  # a protocol may carry a scale that nobody has graded yet
            label = scale.id if chosen is None else f"{scale.id} ({chosen})"
            with _told(f"Pooling {label}, {len(rows)} grades", say):
                fits.append(_pool_one(table, rows, scale, chosen, checks, reference_steels))
    if not fits:
        raise Invalid(f"{trials_csv.name} has no grade at all. Nothing was written.")

    with _told(f"Writing {out_dir}", say):
        write_all(out_dir, result_texts(fits, table, digests))
    return tuple(f.result for f in fits)
