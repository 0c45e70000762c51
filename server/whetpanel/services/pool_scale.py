"""One scale from its inputs to its pooled grades as JSON values: the fit, and what the signs say of it."""

import math
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from ..core import pooling
from ..core.signs import SIGNS, SignsAnswer, average_signs, learn_from_signs
from .pool_inputs import Inputs

SEED = 20_260_301
"""Fixed, so that the same records give the same folds and the same answer."""


@dataclass(frozen=True)
class PooledScale:
    """``result`` is served with the list; ``readings``, one a trial, only where somebody asks for them."""

    result: dict[str, Any]
    readings: list[dict[str, Any]]
    pool: pooling.PoolResult | None


def _sign_table(inputs: Inputs, stones: tuple[str, ...]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """(n_stones, n_signs) means of what was noted; NaN where nothing was."""
    place = {stone: n for n, stone in enumerate(stones)}
    columns = []
    for sign in SIGNS:
        noted = [(place[stone], value) for stone, value in inputs.signs.get(sign.name, []) if stone in place]
        codes = np.array([code for code, _ in noted], dtype=np.int64)
        values = np.array([value for _, value in noted], dtype=np.float64)
        columns.append(average_signs(codes, values, len(stones), logged=sign.logged))
    return np.column_stack(columns)


def _fit(
    inputs: Inputs, warm: pooling.WarmState | None, prior_mean: dict[str, float] | None
) -> pooling.PoolResult:
    scale = inputs.scale
    return pooling.pool_grades(
        inputs.grades,
        scale=pooling.GradeScale(scale["id"], scale["low"], scale["high"], scale["step"]),
        reference_steels=inputs.reference_steels,
        anchors=inputs.anchors,
        warm=warm,
        prior_mean=prior_mean,
    )


def _learn(inputs: Inputs, fit: pooling.PoolResult) -> SignsAnswer:
    arrays = fit.arrays
    tested = arrays.n_trials > 0
    return learn_from_signs(
        _sign_table(inputs, fit.stone_names),
        np.where(tested, arrays.estimate, math.nan),
        np.where(tested, arrays.sd, math.nan),
        rng=np.random.default_rng(SEED),
        prior_mean=fit.level,
        prior_sd=fit.scale.unit * math.sqrt(arrays.fit.state.hyper.tau2),
        unit=fit.scale.unit,
    )


def pool_scale(inputs: Inputs, warm: pooling.WarmState | None = None) -> PooledScale:
    """Pool one scale. The signs set each stone's starting point only where held-out stones prove that they help."""
    if not inputs.grades and not inputs.anchors:
        return PooledScale(_nothing_yet(inputs), [], None)
    fit = _fit(inputs, warm, None)
    signs = _learn(inputs, fit)
    if signs.used and signs.prior_mean is not None:
        shift = {
            stone: float(mean - fit.level)
            for stone, mean in zip(fit.stone_names, signs.prior_mean, strict=True)
            if math.isfinite(mean)
        }
        fit = _fit(inputs, fit.warm, shift)
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
            "signs": _sign_body(signs, fit),
        },
        [asdict(reading) for reading in fit.trials],
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


def _sign_body(signs: SignsAnswer, fit: pooling.PoolResult) -> dict[str, Any]:
    return {
        "used": signs.used,
        "reason": signs.reason,
        "effects": [asdict(effect) for effect in signs.effects],
        "checks": [
            {
                "stone_id": fit.stone_names[check.stone],
                "foretold": check.foretold,
                "foretold_sd": check.foretold_sd,
                "gap": check.gap,
                "z": check.z,
                "leading": check.leading,
            }
            for check in signs.checks
            if check.contradicts
        ],
    }
