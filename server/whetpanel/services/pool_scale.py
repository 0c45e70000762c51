"""One scale from its inputs to its pooled grades as JSON values: the fit, and what the signs say of it."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from ..core import pooling
from ..core.drift import Drift, drift_of_pooled
from ..core.sign_priors import SignPriors, learn_from_pooled
from .pool_inputs import Inputs

SEED = 20_260_301
"""Fixed, so that the same records give the same folds and the same answer."""


@dataclass(frozen=True)
class PooledScale:
    """``result`` is served with the list; ``readings`` (one a trial) and ``drifts`` (by tester id) on request."""

    result: dict[str, Any]
    readings: list[dict[str, Any]]
    drifts: dict[str, Any]
    pool: pooling.PoolResult | None


def _fit(
    inputs: Inputs,
    warm: pooling.WarmState | None,
    prior_mean: Mapping[str, float] | None,
    stones: Sequence[str],
) -> pooling.PoolResult:
    scale = inputs.scale
    return pooling.pool_grades(
        inputs.grades,
        scale=pooling.GradeScale(scale["id"], scale["low"], scale["high"], scale["step"]),
        reference_steels=inputs.reference_steels,
        anchors=inputs.anchors,
        stones=stones,
        warm=warm,
        prior_mean=prior_mean,
    )


def pool_scale(
    inputs: Inputs, warm: pooling.WarmState | None = None, stones: Sequence[str] = ()
) -> PooledScale:
    """Pool one scale. The signs set each stone's starting point only where held-out stones prove that they help.

    ``stones``: further stones to report, tried or not.
    """
    if not inputs.grades and not inputs.anchors:
        return PooledScale(_nothing_yet(inputs), [], {}, None)
    fit = _fit(inputs, warm, None, stones)
    signs = learn_from_pooled(fit, inputs.signs, rng=np.random.default_rng(SEED))
    if signs.shift:
        fit = _fit(inputs, fit.warm, signs.shift, stones)
    return PooledScale(
        {
            **_head(inputs),
            "inputs_digest": fit.inputs_digest,
            "converged": fit.converged,
            "level": fit.level,
            "level_note": fit.absolute_level_note,
            "stones": [_renamed(asdict(stone), "stone") for stone in fit.stones],
            "testers": [_renamed(asdict(tester), "tester") for tester in fit.testers],
            "groups": [{"group": one.group, "stone_ids": list(one.stones)} for one in fit.groups],
            "proposed_links": [
                {"tester_id": link.tester, "stone_id": link.stone, "steel": link.steel}
                for link in fit.proposed_links
            ],
            "signs": _sign_body(signs),
        },
        [asdict(reading) for reading in fit.trials],
        _drifts(fit, inputs),
        fit,
    )


def _head(inputs: Inputs) -> dict[str, Any]:
    scale = inputs.scale
    return {
        "scale": scale["id"],
        "name": scale["name"],
        "low": scale["low"],
        "high": scale["high"],
        "step": scale["step"],
        "method_version": pooling.METHOD_VERSION,
        "n_trials": len(inputs.grades),
        "n_off_scale": inputs.n_off_scale,
    }


def _nothing_yet(inputs: Inputs) -> dict[str, Any]:
    return {
        **_head(inputs),
        "inputs_digest": "",
        "converged": True,
        "level": None,
        "level_note": "No trial yet.",
        "stones": [],
        "testers": [],
        "groups": [],
        "proposed_links": [],
        "signs": {"used": False, "reason": "No trial yet.", "effects": [], "checks": []},
    }


def _renamed(body: dict[str, Any], name: str) -> dict[str, Any]:
    """The engine speaks of names; the wire of ids."""
    body[f"{name}_id"] = body.pop(name)
    return body


def _sign_body(signs: SignPriors) -> dict[str, Any]:
    answer = signs.answer
    return {
        "used": answer.used,
        "reason": answer.reason,
        "effects": [asdict(effect) for effect in answer.effects],
        "checks": [
            {
                "stone_id": stone,
                "foretold": check.foretold,
                "foretold_sd": check.foretold_sd,
                "gap": check.gap,
                "z": check.z,
                "leading": check.leading,
            }
            for stone, check in signs.checks.items()
            if check.contradicts
        ],
    }


def _drifts(fit: pooling.PoolResult, inputs: Inputs) -> dict[str, Any]:
    ids = fit.trial_ids
    return {
        tester: {
            "note": drift.note,
            "all": _drift(drift.all_stones, [ids[n] for n in drift.order]),
            "check": _drift(drift.check_stones, [ids[n] for n in drift.check_order]),
        }
        for tester, drift in drift_of_pooled(fit, inputs.times).items()
    }


def _drift(drift: Drift, trial_ids: list[str]) -> dict[str, Any]:
    chart = drift.chart
    return {
        "state": drift.state,
        "n_trials": drift.n_trials,
        "since": drift.since,
        "moved_by": drift.moved_by,
        "note": drift.note,
        "points": [
            {"trial_id": trial, "z": z, "low": low, "high": high}
            for trial, z, low, high in zip(
                trial_ids, chart.z.tolist(), chart.low.tolist(), chart.high.tolist(), strict=True
            )
        ],
    }
