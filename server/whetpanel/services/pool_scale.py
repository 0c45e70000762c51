"""One scale from its inputs to its pooled grades as JSON values: the fit, and what the signs say of it."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any

import numpy as np

from ..core import pooling
from ..core.drift import Drift, drift_of_pooled
from ..core.pooling.posterior import stone_posteriors
from ..core.sign_priors import SignPriors, learn_from_pooled
from .pool_inputs import Inputs

SEED = 20_260_301
"""Fixed, so that the same records give the same folds and the same answer."""

PLACES = 6


@dataclass(frozen=True)
class PooledScale:
    """One scale as it was pooled; ``pool`` is None without any evidence. Each body is worked out when it is asked for:
    a plan wants none of them, a slip only the first.
    """

    inputs: Inputs
    pool: pooling.PoolResult | None
    signs: SignPriors | None

    @cached_property
    def result(self) -> dict[str, Any]:
        """What the list of pooled grades serves."""
        if self.pool is None or self.signs is None:
            return _nothing_yet(self.inputs)
        return _result(self.pool, self.signs, self.inputs)

    @cached_property
    def readings(self) -> dict[str, Any]:
        """Each stone's account, see ``_readings``."""
        return {"steels": {}, "stones": {}} if self.pool is None else _readings(self.pool, self.inputs)

    @cached_property
    def drifts(self) -> dict[str, Any]:
        """Each tester's drift, by id."""
        return {} if self.pool is None else _drifts(self.pool, self.inputs)

    @cached_property
    def posteriors(self) -> dict[str, Any]:
        """Each stone's law, see ``_posteriors``; only for what is computed from it."""
        return {} if self.pool is None else _posteriors(self.pool)

    def for_stone(self, stone_id: str) -> dict[str, Any]:
        """The result with a single stone in it; what only the list needs is neither worked out nor served."""
        if self.pool is None or self.signs is None:
            return _nothing_yet(self.inputs)
        signs = _sign_body(self.signs)
        signs["checks"] = [check for check in signs["checks"] if check["stone_id"] == stone_id]
        stones = [_stone_body(stone) for stone in self.pool.stones if stone.stone == stone_id]
        return {
            **_fitted_head(self.inputs, self.pool),
            "stones": stones, "testers": [], "groups": [], "proposed_links": [], "signs": signs,
        }  # fmt: skip


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
        return PooledScale(inputs, None, None)
    fit = _fit(inputs, warm, None, stones)
    signs = learn_from_pooled(fit, inputs.signs, rng=np.random.default_rng(SEED))
    if signs.shift:
        fit = _fit(inputs, fit.warm, signs.shift, stones)
    return PooledScale(inputs, fit, signs)


def _result(fit: pooling.PoolResult, signs: SignPriors, inputs: Inputs) -> dict[str, Any]:
    return {
        **_fitted_head(inputs, fit),
        "stones": [_stone_body(stone) for stone in fit.stones],
        "testers": [_renamed(asdict(tester), "tester") for tester in fit.testers],
        "groups": [{"group": one.group, "stone_ids": list(one.stones)} for one in fit.groups],
        "proposed_links": [
            {"tester_id": link.tester, "stone_id": link.stone, "steel": link.steel}
            for link in fit.proposed_links
        ],
        "signs": _sign_body(signs),
    }


def _stone_body(stone: pooling.StoneGrade) -> dict[str, Any]:
    # ``asdict`` copies every value by a general rule; over thousands of stones that took longer than the fit.
    body = _renamed(dict(vars(stone)), "stone")
    body["by_steel"] = [dict(vars(one)) for one in stone.by_steel]
    return body


def _fitted_head(inputs: Inputs, fit: pooling.PoolResult) -> dict[str, Any]:
    return {
        **_head(inputs),
        "inputs_digest": fit.inputs_digest,
        "converged": fit.converged,
        "level": fit.level,
        "level_sd": fit.level_sd,
        "level_note": fit.absolute_level_note,
    }


def _readings(fit: pooling.PoolResult, inputs: Inputs) -> dict[str, Any]:
    """``steels``: how far each leans, in grades; ``stones``: by id, what was expected before, and each trial's account.

    To a millionth of a grade: far below what a fit settles to, and half the room.
    """
    return {
        "steels": {steel: round(lean, PLACES) for steel, lean in pooling.steel_leans(fit).items()},
        "stones": {
            account.stone: {
                "before": vars(account.before),
                "borrowed": account.borrowed,
                "trials": [{**vars(trial), "after": vars(trial.after)} for trial in account.trials],
            }
            for account in pooling.account_for(fit, inputs.times, places=PLACES)
        },
    }


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
        "level_sd": None,
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


def _posteriors(fit: pooling.PoolResult) -> dict[str, Any]:
    """Each stone's law over its grades with all steels: means, and the covariance's lower triangle row by row."""
    laws = stone_posteriors(fit.arrays)
    rows, columns = np.tril_indices(laws.mean.shape[1])
    means = laws.mean.round(PLACES).tolist()
    triangles = laws.cov[:, rows, columns].round(2 + PLACES).tolist()
    return {
        "steels": list(fit.steel_names),
        "new_steel_var": laws.new_steel_var,
        "stones": {
            name: [mean, triangle]
            for name, mean, triangle in zip(fit.stone_names, means, triangles, strict=True)
        },
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
