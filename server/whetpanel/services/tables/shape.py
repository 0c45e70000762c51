"""Columns and tables as values, and a record's cells as text."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Kind = Literal["id", "text", "number", "whole", "yes_no", "moment", "day", "list", "object"]
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Column:
    """One column. ``maybe``: the cell may be empty, which means that nothing is known. ``at``: where the value lies
    in the record if not under the column's own name, such as "withdrawn.at".
    """

    name: str
    kind: Kind
    words: str
    unit: str = ""
    maybe: bool = False
    among: tuple[str, ...] = ()
    at: str = ""

    @property
    def title(self) -> str:
        """The name as a person reads it."""
        return self.name.replace("_", " ").capitalize()

    def value(self, row: Row) -> Any:
        """The value of this column in a record or in a part of one."""
        if not self.at:
            return row[self.name]
        found: Any = row
        for step in self.at.split("."):
            if found is None:
                return None
            found = found[step]
        return found


@dataclass(frozen=True)
class Link:
    """These columns name a row of another table by its columns."""

    columns: tuple[str, ...]
    table: str
    to: tuple[str, ...] = ("id",)


def whole_record(record: Row) -> Iterable[Row]:
    """One row a record."""
    return (record,)


@dataclass(frozen=True)
class Table:
    """One table. ``source`` names the records it is made from: a kind of record, or what exporting makes beside them.

    ``elsewhere`` says which fields of the record stand in other tables, so that nothing can be forgotten.
    """

    name: str
    source: str
    words: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    links: tuple[Link, ...] = ()
    rows: Callable[[Row], Iterable[Row]] = whole_record
    elsewhere: Mapping[str, str] = field(default_factory=dict)


def cell(value: Any) -> str:
    """A value as it stands in a CSV file. Text stands as it was written, whatever a spreadsheet may make of it."""
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return str(value)


def cells(table: Table, row: Row) -> list[str]:
    """A row's cells in the order of the table's columns."""
    return [cell(column.value(row)) for column in table.columns]


# ---- short ways to write a column down


def ident(name: str, words: str, *, maybe: bool = False, at: str = "") -> Column:
    """A record's id (UUID)."""
    return Column(name, "id", words, maybe=maybe, at=at)


def text(name: str, words: str, *, maybe: bool = False, at: str = "") -> Column:
    """Words as somebody wrote them, or a short name."""
    return Column(name, "text", words, maybe=maybe, at=at)


def among(name: str, values: Iterable[str], words: str, *, maybe: bool = False) -> Column:
    """One of a few words."""
    return Column(name, "text", words, maybe=maybe, among=tuple(values))


def number(name: str, words: str, unit: str = "", *, maybe: bool = False, at: str = "") -> Column:
    """A number."""
    return Column(name, "number", words, unit, maybe, at=at)


def whole(name: str, words: str, unit: str = "", *, maybe: bool = False, at: str = "") -> Column:
    """A whole number."""
    return Column(name, "whole", words, unit, maybe, at=at)


def yes_no(name: str, words: str, *, maybe: bool = False) -> Column:
    """True or false."""
    return Column(name, "yes_no", words, maybe=maybe)


def moment(name: str, words: str, *, maybe: bool = False, at: str = "") -> Column:
    """A moment in UTC."""
    return Column(name, "moment", words, maybe=maybe, at=at)


def day(name: str, words: str, *, maybe: bool = False) -> Column:
    """A day."""
    return Column(name, "day", words, maybe=maybe)


RECORD = (
    whole("version", "How often the record was written; its entity tag."),
    whole("revision", "The club's counter at the last write."),
    moment("recorded_at", "When the device recorded it.", maybe=True),
    ident("created_by", "The member who made it.", maybe=True),
    moment("created_at", "When the service took it first."),
    ident("updated_by", "The member who wrote it last.", maybe=True),
    moment("updated_at", "When the service took it last."),
    moment(
        "withdrawn_at",
        "When it was taken out of use; empty while it is in use.",
        maybe=True,
        at="withdrawn.at",
    ),
    ident("withdrawn_by", "The member who took it out of use.", maybe=True, at="withdrawn.by"),
    text("withdrawn_reason", "Why it was taken out of use.", maybe=True, at="withdrawn.reason"),
)
"""What every record carries."""

ID = ident("id", "The record's id.")

WRITERS = (
    Link(("created_by",), "members"),
    Link(("updated_by",), "members"),
    Link(("withdrawn_by",), "members"),
)


def record_table(
    name: str,
    source: str,
    words: str,
    *columns: Column,
    links: tuple[Link, ...] = (),
    elsewhere: Mapping[str, str] | None = None,
) -> Table:
    """One row a record: its id, its own columns, and what every record carries."""
    return Table(
        name, source, words, (ID, *columns, *RECORD), ("id",), (*links, *WRITERS), elsewhere=elsewhere or {}
    )


def parts_of(name: str, owner: str, *also: str) -> Callable[[Row], Iterable[Row]]:
    """One row for each part in a record's list, with its place (from 1) and the owner's id under ``owner``."""

    def rows(record: Row) -> Iterable[Row]:
        for n, part in enumerate(record[name], start=1):
            yield {**part, owner: record["id"], "position": n, **{key: record[key] for key in also}}

    return rows


POSITION = whole("position", "Place in the record's list, from 1.")
