"""CSV text to cells and back. A fault names its line and column, and then nothing is read at all.

Only text comes in here; opening files is the business of ``whetpanel.files``.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from whetpanel.errors import FieldError, Invalid

MOST_FAULTS = 20
"""A table with every line wrong should not print every line."""

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+")


class Faults:
    """Collects what is wrong with one table, and refuses it as a whole."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.found: list[tuple[int, str | None, str]] = []

    def add(self, line: int, column: str | None, message: str) -> None:
        self.found.append((line, column, message))

    def refuse_if_any(self) -> None:
        """Raise Invalid with the first MOST_FAULTS in the order of lines; nothing when all is well."""
        if not self.found:
            return
        in_order = sorted(self.found, key=lambda fault: fault[0])[:MOST_FAULTS]
        errors = [
            FieldError(f"{self.name}, line {line}" + (f", column {column}" if column else ""), message)
            for line, column, message in in_order
        ]
        more = len(self.found) - 1
        follow = "" if not more else f" {more} more {'fault follows' if more == 1 else 'faults follow'}."
        raise Invalid(f"{errors[0].field}: {errors[0].message}{follow} Nothing was written.", errors)


@dataclass(frozen=True)
class Table:
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]  # (line, cells), every row as wide as the header


def _records(text: str, name: str) -> Iterator[tuple[int, list[str]]]:
    """(first line, cells) of every record that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise Invalid(
                f"{name}, line {line}: this is not CSV ({error}). Look for a lone quotation mark. "
                "Nothing was written."
            ) from None
        if any(cell.strip() for cell in cells):
            yield line, [cell.strip() for cell in cells]


def read_table(text: str, name: str, faults: Faults) -> Table:
    records = _records(text.removeprefix("\ufeff"), name)
    line, header = next(records, (1, []))
    if not header:
        raise Invalid(f"{name}, line 1: the file is empty; its first line names the columns.")
    if len(header) == 1 and re.search(r"[;\t]", header[0]):
        raise Invalid(
            f"{name}, line {line}: the columns are not separated by commas. Save the file as CSV with commas."
        )
    for j, column in enumerate(header):
        if not column:
            faults.add(line, str(j + 1), "the column has no name.")
        elif column in header[:j]:
            faults.add(line, column, "two columns have this name.")
    rows = []
    for at, cells in records:
        if len(cells) == len(header):
            rows.append((at, tuple(cells)))
        else:
            beyond = header[len(cells)] if len(cells) < len(header) else str(len(header) + 1)
            faults.add(at, beyond, f"the line has {len(cells)} cells, the header {len(header)}.")
    return Table(tuple(header), tuple(rows))


def need_columns(table: Table, columns: Iterable[str], faults: Faults) -> None:
    for column in columns:
        if column not in table.header:
            near = [c for c in table.header if c.lower() == column]
            hint = f" (you have {near[0]})" if near else ""
            faults.add(1, column, f"the column is missing{hint}.")


def read_number(cell: str) -> float | str:
    """The number, or what is wrong with it."""
    if _NUMBER.fullmatch(cell):
        value = float(cell)
        return value if np.isfinite(value) else f"{cell} is too large."
    if _DECIMAL_COMMA.fullmatch(cell):
        return f"{cell} has a decimal comma; write a point."
    return f"“{cell}” is not a number."


def text_column(table: Table, name: str, faults: Faults) -> tuple[str, ...]:
    j = table.header.index(name)
    for line, cells in table.rows:
        if not cells[j]:
            faults.add(line, name, "the cell is empty.")
    return tuple(cells[j] for _, cells in table.rows)


def write_table(header: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """CSV text with the given header; None is an empty cell, floats have four decimals, lines end in \\n.

    Four decimals are far below what any panel can know, and far above what the last bit of a
    processor's arithmetic can change, so that the same trials give the same bytes.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, float):
        if not np.isfinite(value):
            raise ValueError("a figure that is not finite must not reach a table")
        return f"{value + 0.0:.4f}".replace("-0.0000", "0.0000") if abs(value) < 5e-5 else f"{value:.4f}"
    return value
