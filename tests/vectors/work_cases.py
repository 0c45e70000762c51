"""Cases of open work: inspections and repairs in, the list out. Phone and service answer them alike."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

from whetpanel.core.soundness import open_work

VECTORS = Path(__file__).with_name("work.json")


def _verdict(
    rule: str, urgency: str, finding: str | None = "f1", caution: str | None = None
) -> dict[str, Any]:
    return {
        "rule_id": rule, "finding_id": finding, "verdict": f"do {rule}", "urgency": urgency,
        "because": f"{rule} speaks", "caution": caution,
    }  # fmt: skip


def _look(name: str, *verdicts: dict[str, Any], **changes: Any) -> dict[str, Any]:
    return {
        "id": name, "stone_id": "s1", "face": "front", "inspected_at": "2026-03-01T10:00:00.000Z",
        "withdrawn": None, "verdicts": list(verdicts), **changes,
    }  # fmt: skip


def _repair(
    look: str, rule: str, outcome: str = "done", finding: str | None = "f1", **changes: Any
) -> dict[str, Any]:
    return {
        "inspection_id": look, "finding_id": finding, "rule_id": rule, "outcome": outcome,
        "id": f"r-{outcome}", "done_at": "2026-03-03T10:00:00.000Z", "withdrawn": None,
        **changes,
    }  # fmt: skip


GONE = {"at": "2026-03-05T10:00:00.000Z", "by": None, "reason": "a slip"}
LATER = "2026-03-02T10:00:00.000Z"
ALL_URGENCIES = [_verdict(f"r-{u}", u, f"f-{u}") for u in ("none", "watch", "soon", "before_use", "reject")]

CASES: list[dict[str, Any]] = [
    {"name": "nothing known", "inspections": [], "repairs": []},
    {"name": "only urgencies that ask for work", "inspections": [_look("i1", *ALL_URGENCIES)], "repairs": []},
    {
        "name": "the later look of a face counts, whatever the order of records",
        "inspections": [
            _look("i2", _verdict("seal", "soon"), inspected_at=LATER),
            _look("i1", _verdict("glue", "reject")),
        ],
        "repairs": [],
    },
    {
        "name": "two looks of the same moment: the later id counts",
        "inspections": [_look("i9", _verdict("seal", "soon")), _look("i10", _verdict("glue", "soon"))],
        "repairs": [],
    },
    {
        "name": "a withdrawn look says nothing, so the one before speaks again",
        "inspections": [
            _look("i1", _verdict("seal", "soon")),
            _look("i2", _verdict("glue", "reject"), inspected_at=LATER, withdrawn=GONE),
        ],
        "repairs": [],
    },
    {
        "name": "each face and each stone speaks for itself; most urgent first, then by stone and face",
        "inspections": [
            _look("i1", _verdict("seal", "soon"), stone_id="s2"),
            _look("i2", _verdict("glue", "reject"), stone_id="s2", face="back"),
            _look("i3", _verdict("trim", "soon"), face="back"),
            _look("i4", _verdict("lap", "before_use"), _verdict("dry", "soon", None)),
        ],
        "repairs": [],
    },
    {
        "name": "within one face: by finding, none before one, then by rule",
        "inspections": [
            _look(
                "i1", _verdict("b", "soon", "f2"), _verdict("a", "soon", "f2"), _verdict("z", "soon", "f1"),
                _verdict("y", "soon", None),
            )
        ],
        "repairs": [],
    },
    {
        "name": "a done repair becomes one fresh look, as urgent as the strictest verdict answered",
        "inspections": [
            _look("i1", _verdict("seal", "soon"), _verdict("glue", "before_use"), _verdict("trim", "soon"))
        ],
        "repairs": [_repair("i1", "seal"), _repair("i1", "glue")],
    },
    {
        "name": "of equally strict repairs the first verdict is named",
        "inspections": [_look("i1", _verdict("seal", "soon"), _verdict("glue", "soon"))],
        "repairs": [_repair("i1", "glue"), _repair("i1", "seal")],
    },
    {
        "name": "not needed closes and asks for nothing",
        "inspections": [_look("i1", _verdict("seal", "soon"), _verdict("glue", "before_use"))],
        "repairs": [_repair("i1", "seal", "not_needed")],
    },
    {
        "name": "a withdrawn repair answers nothing",
        "inspections": [_look("i1", _verdict("seal", "soon"))],
        "repairs": [_repair("i1", "seal", withdrawn=GONE)],
    },
    {
        "name": "a repair answers its own finding, rule and inspection only",
        "inspections": [
            _look("i1", _verdict("seal", "soon", "f1"), _verdict("seal", "soon", "f2"), _verdict("glue", "soon")),
        ],
        "repairs": [_repair("i1", "seal", finding="f1"), _repair("i0", "glue"), _repair("i1", "seal", finding=None)],
    },
    {
        "name": "a verdict on the whole face is answered without a finding",
        "inspections": [_look("i1", _verdict("lap", "before_use", None, "Keep it wet."))],
        "repairs": [_repair("i1", "lap", finding=None)],
    },
    {
        "name": "the next look clears what was repaired",
        "inspections": [
            _look("i1", _verdict("seal", "soon")),
            _look("i2", inspected_at=LATER),
        ],
        "repairs": [_repair("i1", "seal")],
    },
    {
        "name": "two answers to one verdict: the later one counts",
        "inspections": [_look("i1", _verdict("seal", "soon", caution="Fumes."))],
        "repairs": [_repair("i1", "seal", done_at="2026-03-04T10:00:00.000Z"), _repair("i1", "seal", "not_needed")],
    },
]  # fmt: skip


def work() -> dict[str, Any]:
    """Every case with the service's answer."""
    return {
        "cases": [
            {**case, "expect": [asdict(item) for item in open_work(case["inspections"], case["repairs"])]}
            for case in CASES
        ]
    }


if __name__ == "__main__":
    VECTORS.write_text(json.dumps(work(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
