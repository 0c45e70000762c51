"""How far the panel agrees, by scale: on the same stone with the same steel."""

import math
from dataclasses import asdict, replace
from typing import Any

import numpy as np

from ..core.agreement import agreement_report, ratings_of_trials
from ..storage.base import Database
from .caller import DEALER, STEWARD, Caller
from .pool_inputs import gather

SEED = 5
N_RESAMPLES = 500
"""Enough for an interval shown to two decimals, and quick enough to wait for."""


def agreement(database: Database, caller: Caller, purpose: str) -> dict[str, Any]:
    """Alpha with its interval, ICC and Kendall's W on the largest complete part, repeatability where there are repeats.

    In a working club no tester tries everything, so the table has gaps; ``block`` names the testers who share the
    most stones, and how many. A unit is a stone with a steel: a stone may truly suit one steel and slip on another,
    and that is no disagreement.
    """
    caller.require(DEALER, STEWARD)
    with database.read() as session:
        inputs = gather(session, caller.club_id, purpose)
    scales = []
    for one in inputs:
        head = {"scale": one.scale["id"], "name": one.scale["name"], "n_ratings": len(one.grades)}
        if not one.grades:
            scales.append({**head, "report": None, "why_not": "No trial yet."})
            continue
        ratings = ratings_of_trials(
            [grade.stone for grade in one.grades],
            [grade.tester for grade in one.grades],
            [grade.steel for grade in one.grades],
            [grade.grade for grade in one.grades],
        )
        report = agreement_report(
            ratings, level="interval", rng=np.random.default_rng(SEED), n_resamples=N_RESAMPLES,
            largest_block=True,
        )  # fmt: skip
        if report.precision is not None:
            # One line a stone and steel is the report's own working; a club's would be thousands.
            report = replace(report, precision=replace(report.precision, levels=()))
        body = asdict(report)
        body["block"] = {"tester_ids": body.pop("block_raters"), "n_units": len(body.pop("block_units"))}
        if body["precision"] is not None:
            body["precision"].pop("levels")
        scales.append({**head, "report": _finite(body), "why_not": None})
    return {"purpose": purpose, "scales": scales}


def _finite(value: Any) -> Any:
    """JSON has no NaN: a figure that does not exist is null."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value
