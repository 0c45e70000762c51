"""The three tables that a panel keeps in files: trials, check stones, ratings."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from whetpanel.core.agreement import Level, Ratings, make_ratings
from whetpanel.core.pooling import GradeScale
from whetpanel.core.tables import Faults, Table, need_columns, read_number, read_table, text_column
from whetpanel.errors import Invalid

FloatArray = NDArray[np.float64]

KEYS = ("stone", "tester", "steel")
# Columns that a table of trials may carry along and that are no graded scale.
KNOWN = ("trial", "purpose", "date", "started_at", "finished_at", "face", "thickness_mm", "blade", "notes")
CHECK_KNOWN = ("date", "agreed_on", "notes")
RATING_COLUMNS = ("unit", "rater", "value")


def _off(value: float, scale: GradeScale) -> str | None:
    """Why a grade is not on its scale, or None when it is."""
    steps = (value - scale.low) / scale.step
    if scale.low - 1e-9 <= value <= scale.high + 1e-9 and abs(steps - round(steps)) < 1e-6:
        return None
    return f"{value:g} is not on the scale {scale.low:g} to {scale.high:g} in steps of {scale.step:g}."


@dataclass(frozen=True)
class TrialTable:
    """A table of trials, one entry per trial in every tuple.

    ``grades`` has one (n_trials,) array per scale, NaN where the cell was empty. ``ids`` are the
    ``trial`` column, or ranks by content where there is none, so that they, and all that is computed
    from them, do not depend on the order of lines. ``purposes`` is None without such a column.
    ``n_duplicates`` counts lines that repeat a trial's id with the same content and count once.
    """

    ids: tuple[str, ...]
    lines: tuple[int, ...]
    stones: tuple[str, ...]
    testers: tuple[str, ...]
    steels: tuple[str, ...]
    purposes: tuple[str, ...] | None
    scales: tuple[GradeScale, ...]
    grades: Mapping[str, FloatArray]
    ignored: tuple[str, ...]
    has_ids: bool
    n_duplicates: int


@dataclass(frozen=True)
class CheckStone:
    """One line of a table of check stones: the agreed grade by scale, and the sd of each of them."""

    stone: str
    purpose: str | None
    grades: Mapping[str, float]
    sd: float


def parse_scale(text: str) -> GradeScale:
    """A scale from ``name=low:high:step``, for instance ``fineness=0:10:1``.

    Raises Invalid when the text has another form or the numbers make no scale.
    """
    name, equals, rest = text.partition("=")
    parts = [part.strip() for part in rest.split(":")]
    if not equals or not name.strip() or len(parts) != 3:
        raise Invalid(f"--scale {text}: write name=low:high:step, for instance fineness=0:10:1.")
    numbers = [read_number(part) for part in parts]
    for number in numbers:
        if isinstance(number, str):
            raise Invalid(f"--scale {text}: {number}")
    low, high, step = (float(n) for n in numbers)
    return GradeScale(name.strip(), low, high, step)


def _scale_columns(
    table: Table, scales: Mapping[str, GradeScale], ignore: Collection[str], faults: Faults
) -> list[GradeScale]:
    for name in scales:
        if name not in table.header:
            faults.add(1, name, "a scale was given for this column, and the column is missing.")
        elif name in ignore:
            faults.add(1, name, "the column is both a scale and ignored.")
        elif name in KEYS:
            faults.add(1, name, "this column cannot be a scale.")
    for name in ignore:
        if name not in table.header or name in KEYS:
            faults.add(1, name, "there is no such column to ignore.")
    skip = {*KEYS, *ignore, *(k for k in KNOWN if k not in scales)}
    names = [c for c in table.header if c and c not in skip]
    if not names:
        faults.add(1, "(grades)", "there is no graded column beside stone, tester and steel.")
    return [scales.get(name) or GradeScale(name) for name in names]


def _grade_column(
    table: Table, scale: GradeScale, given: bool, what: str, faults: Faults, *, on_step: bool = True
) -> FloatArray:
    """(n_rows,) grades of one column, NaN where empty."""
    j = table.header.index(scale.id)
    values = np.full(len(table.rows), np.nan)
    wrong: list[tuple[int, str]] = []
    n_good, n_words = 0, 0
    for t, (line, cells) in enumerate(table.rows):
        if not cells[j]:
            continue
        number = read_number(cells[j])
        if isinstance(number, str):
            n_words += 1
            wrong.append((line, number))
            continue
        off = _off(number, scale)
        if off and not on_step and scale.low <= number <= scale.high:
            off = None
        if off:
            wrong.append((line, off))
        else:
            n_good += 1
            values[t] = number
    if wrong and not n_good and not given:
        # A whole column of anything else is a column we do not know, not that many mistakes.
        line, why = wrong[0]
        hint = "" if n_words else f" or give its scale with --scale {scale.id}=low:high:step"
        faults.add(line, scale.id, f"{why} If this column holds no {what}, add --ignore {scale.id}{hint}.")
        return values
    for line, why in wrong:
        faults.add(line, scale.id, why)
    return values


def _duplicates(table: Table, kept: Sequence[str], faults: Faults) -> list[int]:
    """Rows to keep: of lines with one trial id and the same content, the first."""
    at = table.header.index("trial")
    columns = [table.header.index(name) for name in kept]
    first: dict[str, tuple[int, tuple[str, ...]]] = {}
    rows = []
    for t, (line, cells) in enumerate(table.rows):
        content = tuple(cells[j] for j in columns)
        if not cells[at]:
            continue  # told by the column's own check
        if cells[at] not in first:
            first[cells[at]] = (line, content)
            rows.append(t)
        elif first[cells[at]][1] != content:
            told = first[cells[at]][0]
            faults.add(
                line, "trial", f"trial {cells[at]} was told otherwise on line {told}; keep one of them."
            )
    return rows


def parse_trials(
    text: str,
    *,
    name: str = "trials",
    scales: Mapping[str, GradeScale] | None = None,
    ignore: Collection[str] = (),
) -> TrialTable:
    """Trials from CSV with the columns stone, tester, steel and one column per graded scale.

    An empty grade is no grade. Columns of KNOWN are carried along; any other column is a graded scale,
    1 to 5 by halves unless ``scales`` says otherwise, so a column of something else is refused with
    the advice to ignore it. A ``trial`` column names each trial, and the same trial twice counts once.

    Raises Invalid naming line and column of the first faults, of at most twenty.
    """
    scales = scales or {}
    faults = Faults(name)
    table = read_table(text, name, faults)
    need_columns(table, KEYS, faults)
    graded = _scale_columns(table, scales, ignore, faults)
    faults.refuse_if_any()
    if not table.rows:
        raise Invalid(f"{name}, line 2: there is no trial below the header.")
    columns = {key: text_column(table, key, faults) for key in KEYS}
    grades = {s.id: _grade_column(table, s, s.id in scales, "grades", faults) for s in graded}
    purposes = None
    if "purpose" in table.header and "purpose" not in ignore and "purpose" not in scales:
        purposes = text_column(table, "purpose", faults)
    has_ids = "trial" in table.header and "trial" not in ignore and "trial" not in scales
    ids: tuple[str, ...]
    rows = list(range(len(table.rows)))
    if has_ids:
        ids = text_column(table, "trial", faults)
        same = [*KEYS, *(["purpose"] if purposes is not None else []), *grades]
        rows = _duplicates(table, same, faults)
    else:
        content = [
            (
                *(columns[k][t] for k in KEYS),
                purposes[t] if purposes else "",
                *(grades[s.id][t] for s in graded),
            )
            for t in rows
        ]
        order = sorted(rows, key=lambda t: tuple(str(part) for part in content[t]))
        width = len(str(len(rows)))
        rank = {t: r for r, t in enumerate(order, start=1)}
        ids = tuple(f"{rank[t]:0{width}}" for t in rows)
    faults.refuse_if_any()
    carried = [k for k in KNOWN if k in table.header and k not in ("trial", "purpose") and k not in scales]
    return TrialTable(
        ids=tuple(ids[t] for t in rows),
        lines=tuple(table.rows[t][0] for t in rows),
        stones=tuple(columns["stone"][t] for t in rows),
        testers=tuple(columns["tester"][t] for t in rows),
        steels=tuple(columns["steel"][t] for t in rows),
        purposes=None if purposes is None else tuple(purposes[t] for t in rows),
        scales=tuple(graded),
        grades={key: values[rows] for key, values in grades.items()},
        ignored=tuple(sorted({*ignore, *carried})),
        has_ids=has_ids,
        n_duplicates=len(table.rows) - len(rows),
    )


def parse_check_stones(
    text: str, *, scales: Sequence[GradeScale], name: str = "check stones"
) -> tuple[CheckStone, ...]:
    """Check stones from CSV with the columns stone, sd and any of the scales; purpose may be named.

    An agreed grade lies between the ends of its scale, on a step or not; an empty cell is no agreement
    on that scale. Raises Invalid naming line and column.
    """
    faults = Faults(name)
    table = read_table(text, name, faults)
    need_columns(table, ("stone", "sd"), faults)
    by_name = {s.id: s for s in scales}
    for column in table.header:
        if column and column not in {"stone", "sd", "purpose", *CHECK_KNOWN, *by_name}:
            faults.add(1, column, f"there is no such scale in the trials ({', '.join(by_name)}).")
    here = [by_name[c] for c in table.header if c in by_name]
    if not here:
        faults.add(1, "(grades)", f"there is none of the scales in the trials ({', '.join(by_name)}).")
    faults.refuse_if_any()
    stones = text_column(table, "stone", faults)
    purposes = text_column(table, "purpose", faults) if "purpose" in table.header else None
    grades = {s.id: _grade_column(table, s, True, "grades", faults, on_step=False) for s in here}
    sd_at = table.header.index("sd")
    found: list[CheckStone] = []
    first: dict[tuple[str, str | None], int] = {}
    for t, (line, cells) in enumerate(table.rows):
        sd = read_number(cells[sd_at]) if cells[sd_at] else "the cell is empty."
        if isinstance(sd, str):
            faults.add(line, "sd", sd)
            continue
        if sd <= 0:
            faults.add(line, "sd", "the sd of an agreed grade is above zero: no agreement is exact.")
        key = (stones[t], purposes[t] if purposes else None)
        if first.setdefault(key, line) != line:
            faults.add(line, "stone", f"{stones[t]} already stands on line {first[key]}; keep one of them.")
        agreed = {s.id: float(grades[s.id][t]) for s in here if np.isfinite(grades[s.id][t])}
        found.append(CheckStone(stones[t], key[1], agreed, sd))
    faults.refuse_if_any()
    return tuple(found)


def parse_ratings(text: str, *, level: Level, name: str = "ratings", ignore: Collection[str] = ()) -> Ratings:
    """Ratings from CSV with the columns unit, rater, value; an empty value is no rating.

    Values are numbers; at the nominal level they may be words, and are then all taken as words. Other
    columns are refused unless named in ``ignore``. Raises Invalid naming line and column.
    """
    faults = Faults(name)
    table = read_table(text, name, faults)
    need_columns(table, RATING_COLUMNS, faults)
    for column in table.header:
        if column and column not in (*RATING_COLUMNS, *ignore):
            faults.add(1, column, f"the column is unknown. If it may be left out, add --ignore {column}.")
    for column in ignore:
        if column not in table.header or column in RATING_COLUMNS:
            faults.add(1, column, "there is no such column to ignore.")
    faults.refuse_if_any()
    units, raters = text_column(table, "unit", faults), text_column(table, "rater", faults)
    at = table.header.index("value")
    given = [t for t, (_, cells) in enumerate(table.rows) if cells[at]]
    numbers = [read_number(table.rows[t][1][at]) for t in given]
    words = any(isinstance(number, str) for number in numbers)
    if words and level != "nominal":
        for t, number in zip(given, numbers, strict=True):
            if isinstance(number, str):
                faults.add(table.rows[t][0], "value", f"{number} Words need --level nominal.")
    if level == "ratio":
        for t, number in zip(given, numbers, strict=True):
            if isinstance(number, float) and number < 0:
                faults.add(table.rows[t][0], "value", "the ratio level needs values of zero and above.")
    faults.refuse_if_any()
    if not given:
        raise Invalid(f"{name}, line 2, column value: there is no rating below the header.")
    values = [table.rows[t][1][at] for t in given] if words else [float(n) for n in numbers]
    return make_ratings([units[t] for t in given], [raters[t] for t in given], values)
