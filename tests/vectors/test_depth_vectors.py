"""The shared cases of worn faces are what the service answers today; vitest runs them on the phone's side."""

import json

from tests.vectors.depth_cases import VECTORS, depth


def test_the_vectors_are_current() -> None:
    """Run ``python -m tests.vectors.depth_cases`` after a change that is meant."""
    kept = json.loads(VECTORS.read_text(encoding="utf-8"))

    assert kept == json.loads(json.dumps(depth()))
