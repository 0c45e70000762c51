"""Reads the published tables in tests/data; where each comes from is in SOURCES.md beside them."""

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

DATA = Path(__file__).resolve().parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of ``name``.csv as text."""
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def table(name: str) -> NDArray[np.float64]:
    """The numbers of ``name``.csv without its first column and header; an empty cell is NaN."""
    return np.array([[float(v) if v else np.nan for v in list(row.values())[1:]] for row in rows(name)])
