"""The descriptor of an export: Data Package version 2 with a Table Schema for each table.

Standards: Data Package 2.0 and Table Schema 2.0, https://datapackage.org/standard/ (open standards).
"""

from collections.abc import Mapping, Sequence
from typing import Any

from .shape import Column, Table

PROFILES = "https://datapackage.org/profiles/2.0"

_TYPES = {
    "id": "string", "text": "string", "number": "number", "whole": "integer", "yes_no": "boolean",
    "moment": "datetime", "day": "date", "list": "array", "object": "object",
}  # fmt: skip


def _field(column: Column, unique: bool) -> dict[str, Any]:
    described = column.words if not column.unit else f"{column.words} Unit: {column.unit}."
    constraints: dict[str, Any] = {}
    # An empty text that somebody left empty is a value; an empty cell elsewhere is none.
    plain_text = column.kind == "text" and not column.maybe
    if not column.maybe:
        constraints["required"] = True
    if unique:
        constraints["unique"] = True
    if column.among:
        constraints["enum"] = list(column.among)
    field: dict[str, Any] = {
        "name": column.name,
        "type": _TYPES[column.kind],
        "title": column.title,
        "description": described,
    }
    if column.kind == "id":
        field["format"] = "uuid"
    if plain_text:
        field["missingValues"] = []
    if constraints:
        field["constraints"] = constraints
    return field


def table_schema(table: Table) -> dict[str, Any]:
    """The table's columns as the open standard has them."""
    return {
        "$schema": f"{PROFILES}/tableschema.json",
        "fields": [_field(column, table.key == (column.name,)) for column in table.columns],
        "missingValues": [""],
        "primaryKey": list(table.key),
        **(
            {
                "foreignKeys": [
                    {
                        "fields": list(link.columns),
                        "reference": {
                            "fields": list(link.to),
                            **({} if link.table == table.name else {"resource": link.table}),
                        },
                    }
                    for link in table.links
                ]
            }
            if table.links
            else {}
        ),
    }


def data_package(
    tables: Sequence[Table], files: Mapping[str, tuple[int, str]], about: Mapping[str, Any]
) -> dict[str, Any]:
    """The descriptor. ``files``: path → size in bytes and SHA-256; ``about``: what is said of the whole."""
    resources = []
    for table in tables:
        path = f"data/{table.name}.csv"
        n_bytes, sha256 = files[path]
        resources.append(
            {
                "$schema": f"{PROFILES}/dataresource.json",
                "name": table.name,
                "type": "table",
                "title": table.name.replace("_", " ").capitalize(),
                "description": table.words,
                "path": path,
                "scheme": "file",
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "bytes": n_bytes,
                "hash": f"sha256:{sha256}",
                "dialect": {
                    "$schema": f"{PROFILES}/tabledialect.json",
                    "delimiter": ",",
                    "lineTerminator": "\r\n",
                    "quoteChar": '"',
                    "doubleQuote": True,
                    "header": True,
                },
                "schema": table_schema(table),
            }
        )
    return {"$schema": f"{PROFILES}/datapackage.json", **about, "resources": resources}
