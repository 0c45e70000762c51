"""The tables of an export: which there are, what each column means, and how a record becomes rows.

One list of columns makes the CSV files, their Table Schemas and the data dictionary, so that none of them can say
other than the rest.
"""

from .bench import BENCH_TABLES
from .club import CLUB_TABLES
from .dictionary import dictionary
from .package import data_package, table_schema
from .pooled import POOLED_TABLES
from .shape import Column, Table, cells
from .trade import OTHER_TABLES, TRADE_TABLES

TABLES: tuple[Table, ...] = (*CLUB_TABLES, *BENCH_TABLES, *TRADE_TABLES, *OTHER_TABLES, *POOLED_TABLES)

__all__ = ["TABLES", "Column", "Table", "cells", "data_package", "dictionary", "table_schema"]
