"""The data dictionary: every table and column in words, made from the same list as the tables."""

from collections.abc import Sequence

from .shape import Column, Table

_KINDS = {
    "id": "id (UUID)", "text": "text", "number": "number", "whole": "whole number", "yes_no": "true or false",
    "moment": "moment (RFC 3339, UTC)", "day": "day (ISO 8601)", "list": "list (JSON)", "object": "object (JSON)",
}  # fmt: skip

_HEAD = """\
# Data dictionary

What the files of this export hold. `datapackage.json` says the same to programs, by the open standards Data Package 2.0
and Table Schema 2.0 (<https://datapackage.org>).

- `data/` has one CSV file for each table: UTF-8, commas, a header line, lines ending in CR LF (RFC 4180).
- `records/` has the same records as JSON, one array for each kind, as the API serves them.
- Tables that are made from no record are computed (see the end of this file): the records of this
  export were pooled afresh, and figures are rounded to six decimals. Everything else is as it was written.
- An empty cell means that nothing is known, except in columns of text that are marked as always there: there it is an
  empty text. Where a text may be missing, an empty one and a missing one are the same.
- Withdrawn records and trials that were left out of pooling are here too, with who, when and why.
- **Beware when you open a file in a spreadsheet.** Text stands exactly as a member wrote it. Some spreadsheets take
  text that begins with `=`, `+`, `-`, `@`, a tab or a line break for a formula and run it. Import the columns as text,
  or read the files with a program. The export does not change such text: it would no longer be what was written.
- **The files name the club's members and say what stones cost.** Keep them as you keep the club's books. Passwords are
  not in them, nor the bytes of photos; both are in the whole-club bundle, which is made for moving a club.
"""


def _line(column: Column) -> str:
    kind = _KINDS[column.kind]
    if column.among:
        kind = "one of " + ", ".join(f"`{value}`" if value else "nothing" for value in column.among)
    there = "may be empty" if column.maybe else "always there"
    return f"| `{column.name}` | {kind} | {column.unit or '—'} | {there} | {column.words} |"


def _table(table: Table) -> str:
    lines = [
        f"## {table.name}",
        "",
        table.words,
        "",
        "Key: " + ", ".join(f"`{name}`" for name in table.key) + ".",
        *(
            f"`{'`, `'.join(link.columns)}` → {table.name if link.table == '' else link.table}"
            f" (`{'`, `'.join(link.to)}`)."
            for link in table.links
        ),
        "",
        "| column | kind | unit | | meaning |",
        "| --- | --- | --- | --- | --- |",
        *(_line(column) for column in table.columns),
        "",
    ]
    return "\n".join(lines)


def dictionary(tables: Sequence[Table]) -> str:
    """The whole dictionary as Markdown."""
    return "\n".join([_HEAD, *(_table(table) for table in tables)])
