"""What a pooled table becomes on disk: four tables and one JSON file, all or none of them."""

import json
import secrets
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from whetpanel import __version__
from whetpanel.core.panel_tables import TrialTable
from whetpanel.core.pooling import PoolResult
from whetpanel.core.tables import write_table
from whetpanel.errors import Invalid

GRADES = ("scale", "stone", "grade", "lo90", "hi90", "sd", "trials", "testers", "group", "note")
BY_STEEL = ("scale", "stone", "steel", "grade", "lo90", "hi90", "sd", "trials")
TESTERS = ("scale", "tester", "severity", "severity_sd", "sigma", "weight", "trials", "note")
TRIALS = ("scale", "line", "trial", "stone", "tester", "steel", "grade", "residual", "pull", "flag")


@dataclass(frozen=True)
class Pooled:
    """One fit: a scale, for a purpose when the table has purposes."""

    purpose: str | None
    result: PoolResult
    rows: tuple[int, ...]  # of the table, in the order of result.trials


def _grade_rows(pooled: Pooled) -> Iterator[list[object]]:
    for s in pooled.result.stones:
        yield [
            pooled.result.scale.id, s.stone, s.grade, s.low90, s.high90, s.sd, s.n_trials, s.n_testers,
            s.group or None, s.note,
        ]  # fmt: skip


def _steel_rows(pooled: Pooled) -> Iterator[list[object]]:
    for s in pooled.result.stones:
        for k in s.by_steel:
            yield [
                pooled.result.scale.id, s.stone, k.steel, k.grade, k.low90, k.high90, k.sd, k.n_trials,
            ]  # fmt: skip


def _tester_rows(pooled: Pooled) -> Iterator[list[object]]:
    for r in pooled.result.testers:
        yield [
            pooled.result.scale.id, r.tester, r.severity, r.severity_sd, r.sigma, r.weight, r.n_trials,
            r.note,
        ]  # fmt: skip


def _trial_rows(pooled: Pooled, table: TrialTable) -> Iterator[list[object]]:
    scale = pooled.result.scale
    told = sorted(zip(pooled.rows, pooled.result.trials, strict=True), key=lambda pair: pair[0])
    for t, trial in told:
        yield [
            scale.id, table.lines[t], table.ids[t] if table.has_ids else None, table.stones[t],
            table.testers[t], table.steels[t], f"{table.grades[scale.id][t]:g}", trial.residual, trial.pull,
            trial.flag,
        ]  # fmt: skip


def _summary(pooled: Pooled) -> dict[str, Any]:
    """What result.json says of one fit."""
    r = pooled.result
    facts: dict[str, Any] = {
        "scale": r.scale.id,
        "low": r.scale.low,
        "high": r.scale.high,
        "step": r.scale.step,
        "inputs_digest": r.inputs_digest,
        "settings": asdict(r.settings),
        "convergence": {
            "converged": r.converged,
            "rounds": r.n_rounds,
            "unsettled_stones": r.arrays.unsettled,
        },
        "level": {"grade": r.level, "sd": r.level_sd, "note": r.absolute_level_note},
        "reference_steels": [
            name for name, w in zip(r.steel_names, r.arrays.reference.tolist(), strict=False) if w > 0
        ],
        "counts": {
            "trials": len(r.trial_ids),
            "stones": len(r.stone_names),
            "testers": len(r.tester_names),
            "steels": len(r.steel_names),
            "flagged_trials": int(np.count_nonzero(r.arrays.flag)),
        },
        "groups": [{"group": g.group, "stones": list(g.stones)} for g in r.groups],
        "proposed_links": [
            {"tester": link.tester, "stone": link.stone, "steel": link.steel} for link in r.proposed_links
        ],
    }
    return facts if pooled.purpose is None else {"purpose": pooled.purpose, **facts}


def rounded(value: Any) -> Any:
    """Six decimals everywhere: the same trials give the same bytes on another machine too."""
    if isinstance(value, float):
        return round(value, 6) + 0.0
    if isinstance(value, Mapping):
        return {key: rounded(v) for key, v in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(v) for v in value]
    return value


def to_json(value: Any) -> str:
    return json.dumps(rounded(value), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def result_texts(
    fits: Sequence[Pooled], table: TrialTable, input_sha256: Mapping[str, str]
) -> dict[str, str]:
    """File name to text. With more than one purpose each table begins with a column ``purpose``."""
    several = len({f.purpose for f in fits}) > 1

    def csv_text(header: Sequence[str], rows: Callable[[Pooled], Iterator[list[object]]]) -> str:
        lead = ["purpose"] if several else []
        return write_table(
            [*lead, *header], ([*([f.purpose] if several else []), *row] for f in fits for row in rows(f))
        )

    pooled = {f.result.scale.id for f in fits}
    facts = {
        "method_version": fits[0].result.method_version,
        "whetpanel_version": __version__,
        "input_sha256": dict(input_sha256),
        "columns_left_out": list(table.ignored),
        "trials": len(table.ids),
        "duplicate_lines": table.n_duplicates,
        "scales_without_grades": [s.id for s in table.scales if s.id not in pooled],
        "fits": [_summary(f) for f in fits],
    }
    return {
        "grades.csv": csv_text(GRADES, _grade_rows),
        "grades_by_steel.csv": csv_text(BY_STEEL, _steel_rows),
        "testers.csv": csv_text(TESTERS, _tester_rows),
        "trials.csv": csv_text(TRIALS, lambda f: _trial_rows(f, table)),
        "result.json": to_json(facts),
    }


def write_all(out_dir: Path, texts: Mapping[str, str]) -> None:
    """All files or none: they are written beside the folder first, and moved when all are there.

    Our own files of an earlier run are replaced; anything else in the folder stays.
    """
    if out_dir.exists() and not out_dir.is_dir():
        raise Invalid(f"{out_dir} is a file; --out names a folder.")
    try:
        out_dir.parent.mkdir(parents=True, exist_ok=True)
        scratch = out_dir.parent / f".{out_dir.name}-{secrets.token_hex(4)}"
        scratch.mkdir()
        try:
            for name, text in texts.items():
                (scratch / name).write_text(text, encoding="utf-8", newline="")
            if out_dir.exists():
                for name in texts:
                    (scratch / name).replace(out_dir / name)
            else:
                scratch.rename(out_dir)
        finally:
            shutil.rmtree(scratch, ignore_errors=True)
    except OSError as error:
        raise Invalid(f"{out_dir} cannot be written: {error.strerror}.") from None
