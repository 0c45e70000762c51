"""Measures agreement in a table of ratings."""

from collections.abc import Collection
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from whetpanel.core.agreement import Level, agreement_report
from whetpanel.core.panel_tables import parse_ratings
from whetpanel.files.reading import read_text
from whetpanel.files.results import rounded

BOOTSTRAP_SEED = 5
N_RESAMPLES = 2000


def agreement_file(
    ratings_csv: Path,
    level: Level = "interval",
    *,
    ignore: Collection[str] = (),
    n_resamples: int = N_RESAMPLES,
    seed: int = BOOTSTRAP_SEED,
) -> dict[str, Any]:
    """Every figure of agreement that a table of ratings allows, as JSON-ready values.

    Repeatability is given over all units; ``by_unit`` has each unit by itself. The bootstrap is drawn
    with a stated seed, so that the same file gives the same answer. Raises Invalid, naming line and
    column.
    """
    ratings = parse_ratings(read_text(ratings_csv), level=level, name=ratings_csv.name, ignore=ignore)
    report = agreement_report(ratings, level=level, rng=np.random.default_rng(seed), n_resamples=n_resamples)
    facts: dict[str, Any] = asdict(report)
    facts["level"] = level
    facts["alpha"]["seed"] = seed
    precision = facts.pop("precision")
    if precision is not None:
        by_unit = [{"unit": p.pop("level"), **_in_raters(p)} for p in precision.pop("levels")]
        precision = {**_in_raters(precision), "by_unit": by_unit}
    facts["repeatability"] = precision
    if "precision" in facts["why_not"]:
        facts["why_not"]["repeatability"] = facts["why_not"].pop("precision")
    order = ("level", "n_units", "n_raters", "n_ratings", "n_repeats", "alpha", "icc", "kendall_w")
    answer: dict[str, Any] = rounded({key: facts[key] for key in (*order, "repeatability", "why_not")})
    return answer


def _in_raters(precision: dict[str, Any]) -> dict[str, Any]:
    """The standard's laboratories and levels, in the words of the table: raters and units."""
    words = {"n_labs": "n_raters", "n_levels": "n_units", "n_results": "n_ratings"}
    return {words.get(key, key): value for key, value in precision.items()}
