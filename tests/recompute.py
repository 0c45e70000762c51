"""Recompute every figure of a stone's review from the exported tables alone.

    python tests/recompute.py PACKAGE.zip STONE PURPOSE

STONE is a stone's code or id. The script reads the CSV files of the package and nothing else: no database, no service,
and none of the tables that were pooled already. It makes the inputs of the pooling from trials, blades, protocols,
check stones, inspections and stones, hands them to the pooling library (``whetpanel.core``), and works out what is
simple by itself: counts, states, corrected grades, residuals, flags, what is borrowed. Prints JSON.
"""

import csv
import io
import json
import math
import sys
import zipfile
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np

from whetpanel.core import pooling
from whetpanel.core.sign_priors import learn_from_pooled
from whetpanel.core.signs import SIGNS, average_signs

Row = dict[str, Any]
Tables = dict[str, list[Row]]

FROM_RECORDS = (
    "stones", "blades", "protocols", "protocol_scales", "check_stones", "check_grades", "inspections", "trials",
    "trial_grades", "trial_observations",
)  # fmt: skip
SIGN_SEED = 20_260_301
"""The method's own: it decides which stones are held out when the signs are put to the proof."""
FLAG_AT = 3.0
LEAST_SIGN = 0.5
"""A time or a count of nothing counts as half a unit, since their logarithms are compared."""


def read_package(path: Path) -> Tables:
    """The tables that are made from records, typed as their Table Schema says."""
    with zipfile.ZipFile(path) as package:
        descriptor = json.loads(package.read("datapackage.json"))
        schemas = {one["name"]: (one["path"], one["schema"]) for one in descriptor["resources"]}
        tables = {}
        for name in FROM_RECORDS:
            file, schema = schemas[name]
            types = {field["name"]: (field["type"], field.get("missingValues")) for field in schema["fields"]}
            text = package.read(file).decode("utf-8")
            rows = csv.DictReader(io.StringIO(text, newline=""))
            tables[name] = [{key: _typed(cell, *types[key]) for key, cell in row.items()} for row in rows]
    return tables


def _typed(cell: str, kind: str, missing: list[str] | None) -> Any:
    if cell in ([""] if missing is None else missing):
        return None
    # A number is read as JSON has it, so that 1 and 1.0 stay apart: the digest of the inputs tells them apart too.
    read = {
        "number": json.loads, "integer": int, "boolean": lambda text: text == "true", "array": json.loads,
        "object": json.loads,
    }  # fmt: skip
    return read.get(kind, str)(cell)


def _in_use(rows: Iterable[Row]) -> list[Row]:
    return [row for row in rows if row["withdrawn_at"] is None]


def _scales(tables: Tables, purpose: str) -> dict[str, tuple[Row, list[str]]]:
    """Each scale of the purpose with its reference steels. The protocol written last defines it."""
    found: dict[str, tuple[Row, list[str]]] = {}
    protocols = [one for one in _in_use(tables["protocols"]) if one["purpose"] == purpose]
    for protocol in sorted(protocols, key=lambda one: int(one["revision"])):
        for scale in tables["protocol_scales"]:
            if (scale["protocol_id"], scale["version"]) == (protocol["id"], protocol["version"]):
                steels = found[scale["scale"]][1] if scale["scale"] in found else []
                added = [steel for steel in protocol["reference_steels"] if steel not in steels]
                found[scale["scale"]] = (scale, steels + added)
    return dict(sorted(found.items()))


def _trials(tables: Tables, purpose: str) -> list[Row]:
    """The purpose's trials that are not withdrawn, with their steel and their grades; excluded ones too."""
    steel = {blade["id"]: blade["steel"] for blade in tables["blades"]}
    purposes = {protocol["id"]: protocol["purpose"] for protocol in tables["protocols"]}
    grades: dict[str, dict[str, float]] = defaultdict(dict)
    for row in tables["trial_grades"]:
        grades[row["trial_id"]][row["scale"]] = row["grade"]
    return [
        {**trial, "steel": steel[trial["blade_id"]], "grades": grades[trial["id"]]}
        for trial in _in_use(tables["trials"])
        if purposes[trial["protocol_id"]] == purpose
    ]


def _on_scale(grade: float, scale: Row) -> bool:
    steps = (grade - scale["low"]) / scale["step"]
    return bool(scale["low"] <= grade <= scale["high"] and abs(steps - round(steps)) < 1e-9)


def _signs(tables: Tables, trials: list[Row]) -> dict[str, dict[str, float]]:
    """Stone → sign → mean of what was noted beside the grades, in the order of the records' ids."""
    noted: dict[str, list[tuple[str, float]]] = defaultdict(list)
    stone_of = {trial["id"]: trial["stone_id"] for trial in trials if trial["excluded_at"] is None}
    of_trials = {"water_uptake_s", "mud_shade", "metal_share", "strokes_to_mud"}
    for row in tables["trial_observations"]:
        if row["trial_id"] in stone_of and row["observation"] in of_trials and row["number"] is not None:
            noted[row["observation"]].append((stone_of[row["trial_id"]], row["number"]))
    for look in _in_use(tables["inspections"]):
        if look["water_uptake_s"] is not None:
            noted["water_uptake_s"].append((look["stone_id"], look["water_uptake_s"]))
    for stone in _in_use(tables["stones"]):
        if stone["mass_g"] is not None:
            size = stone["length_mm"] * stone["width_mm"] * stone["thickness_mm"]
            noted["bulk_density_g_cm3"].append((stone["id"], 1000 * stone["mass_g"] / size))
    names = sorted({stone for pairs in noted.values() for stone, _ in pairs})
    means: dict[str, dict[str, float]] = {name: {} for name in names}
    for sign in SIGNS:
        pairs = noted[sign.name]
        least = LEAST_SIGN if sign.logged else -math.inf
        column = average_signs(
            [names.index(stone) for stone, _ in pairs], [max(value, least) for _, value in pairs], len(names),
            logged=sign.logged,
        )  # fmt: skip
        for name, mean in zip(names, column.tolist(), strict=True):
            if math.isfinite(mean):
                means[name][sign.name] = mean
    return means


def _pool(
    tables: Tables, purpose: str, scale: Row, steels: list[str], trials: list[Row]
) -> tuple[pooling.PoolResult | None, Any]:
    counted = [
        pooling.TrialGrade(one["id"], one["stone_id"], one["created_by"], one["steel"], one["grades"][scale["scale"]])
        for one in trials
        if one["excluded_at"] is None and scale["scale"] in one["grades"]
        and _on_scale(one["grades"][scale["scale"]], scale)
    ]  # fmt: skip
    stone_of = {
        one["id"]: one["stone_id"] for one in _in_use(tables["check_stones"]) if one["purpose"] == purpose
    }
    anchors = [
        pooling.Anchor(stone_of[row["check_stone_id"]], row["grade"], row["sd"])
        for row in tables["check_grades"]
        if row["check_stone_id"] in stone_of and row["scale"] == scale["scale"]
    ]
    if not counted and not anchors:
        return None, None
    given = {
        "scale": pooling.GradeScale(scale["scale"], scale["low"], scale["high"], scale["step"]),
        "reference_steels": steels,
        "anchors": anchors,
    }
    fit = pooling.pool_grades(counted, **given)
    signs = learn_from_pooled(fit, _signs(tables, trials), rng=np.random.default_rng(SIGN_SEED))
    if signs.shift:
        fit = pooling.pool_grades(counted, **given, prior_mean=signs.shift)
    return fit, signs


@dataclass(frozen=True)
class Pooled:
    """One scale of a purpose, pooled from the tables."""

    scale: Row
    trials: list[Row]
    fit: pooling.PoolResult | None
    signs: Any
    accounts: dict[str, Any]


def pool_purpose(tables: Tables, purpose: str) -> list[Pooled]:
    """Every scale of a purpose."""
    trials = _trials(tables, purpose)
    times = {one["id"]: datetime.fromisoformat(one["finished_at"]).timestamp() for one in trials}
    made = []
    for scale, steels in _scales(tables, purpose).values():
        fit, signs = _pool(tables, purpose, scale, steels, trials)
        accounts = {} if fit is None else {one.stone: one for one in pooling.account_for(fit, times)}
        made.append(Pooled(scale, trials, fit, signs, accounts))
    return made


def review(pooled: list[Pooled], stone_id: str, purpose: str) -> Row:
    """The figures of ``GET /stones/<id>/review?purpose=``, by the same names."""
    return {
        "stone_id": stone_id,
        "purpose": purpose,
        "method_version": pooling.METHOD_VERSION,
        "scales": [_review_scale(one, stone_id) for one in pooled],
    }


def _review_scale(pooled: Pooled, stone_id: str) -> Row:
    scale, trials, fit, signs = pooled.scale, pooled.trials, pooled.fit, pooled.signs
    graded = [one for one in trials if one["excluded_at"] is None and scale["scale"] in one["grades"]]
    on = [one for one in graded if _on_scale(one["grades"][scale["scale"]], scale)]
    told: Row = {
        "scale": scale["scale"],
        **{key: scale[key] for key in ("name", "low", "high", "step")},
        "n_trials": len(on),
        "n_off_scale": len(graded) - len(on),
        "trials": [],
    }
    own = [one for one in trials if one["stone_id"] == stone_id and scale["scale"] in one["grades"]]
    own.sort(key=lambda one: (one["finished_at"], one["id"]))
    if fit is None:
        return told
    account = pooled.accounts.get(stone_id)
    leans = pooling.steel_leans(fit)
    severity = {one.tester: one.severity for one in fit.testers}
    figures = {one.trial_id: one for one in account.trials} if account else {}
    check = None if signs is None else signs.checks.get(stone_id)
    told |= {
        "inputs_digest": fit.inputs_digest,
        "converged": fit.converged,
        "level": fit.level,
        "level_sd": fit.level_sd,
        "level_note": fit.absolute_level_note,
        "stone": _stone(fit, stone_id, [one for one in on if one["stone_id"] == stone_id]),
        "signs": {
            "used": signs.answer.used,
            "reason": signs.answer.reason,
            "check": None
            if check is None or not check.contradicts
            else {name: getattr(check, name) for name in ("foretold", "foretold_sd", "gap", "z", "leading")},
        },
        "before": None if account is None else _estimate(account.before),
        "borrowed": None if account is None else 1.0 - sum(one.weight for one in figures.values()),
        "trials": [_trial(one, scale, figures.get(one["id"]), severity, leans) for one in own],
    }
    return told


def _estimate(estimate: Any) -> Row:
    return {name: getattr(estimate, name) for name in ("grade", "low90", "high90")}


def _stone(fit: pooling.PoolResult, stone_id: str, own: list[Row]) -> Row | None:
    """The pooled grade from the library; what rests on how many is counted here."""
    found = next((one for one in fit.stones if one.stone == stone_id), None)
    if found is None:
        return None
    return {
        **{
            name: getattr(found, name)
            for name in ("grade", "low90", "high90", "sd", "group", "at_end", "note")
        },
        "n_trials": len(own),
        "n_testers": len({one["created_by"] for one in own}),
        "n_steels": len({one["steel"] for one in own}),
        "by_steel": [
            {
                **{name: getattr(cell, name) for name in ("steel", "grade", "low90", "high90", "sd")},
                "n_trials": sum(one["steel"] == cell.steel for one in own),
            }
            for cell in found.by_steel
        ],
    }


def _trial(trial: Row, scale: Row, account: Any, severity: dict[str, float], leans: dict[str, float]) -> Row:
    reported = trial["grades"][scale["scale"]]
    excluded = None
    if trial["excluded_at"] is not None:
        excluded = {
            "at": trial["excluded_at"],
            "by": trial["excluded_by"],
            "reason": trial["excluded_reason"],
        }
    state = "excluded" if excluded else "counts" if _on_scale(reported, scale) else "off_scale"
    lean, severe = leans.get(trial["steel"]), severity.get(trial["created_by"])
    counts = state == "counts"
    z = account.standardised if counts else None
    return {
        "trial_id": trial["id"],
        "tester_id": trial["created_by"],
        **{name: trial[name] for name in ("blade_id", "steel", "face", "finished_at")},
        "reported": reported,
        "state": state,
        "excluded": excluded,
        "severity": severe,
        "steel_lean": lean,
        "corrected": None if severe is None or lean is None else reported + severe - lean,
        "expected": account.expected if counts else None,
        "residual": reported - account.expected if counts else None,
        "standardised": z,
        "pull": account.pull if counts else None,
        "flag": None if z is None else "high" if z >= FLAG_AT else "low" if z <= -FLAG_AT else "",
        "weight": account.weight if counts else None,
        "after": _estimate(account.after) if counts else None,
    }


def main(package: str, stone: str, purpose: str) -> None:
    tables = read_package(Path(package))
    wanted = [one["id"] for one in tables["stones"] if stone in (one["id"], one["code"])]
    if not wanted:
        raise SystemExit(f"There is no stone {stone} in {package}.")
    told = review(pool_purpose(tables, purpose), wanted[-1], purpose)
    print(json.dumps(told, indent=1, ensure_ascii=False))


if __name__ == "__main__":
    if len(sys.argv) != 4:
        raise SystemExit("usage: recompute.py PACKAGE.zip STONE PURPOSE")
    main(*sys.argv[1:])
