"""The shared vectors are what the service answers today; vitest runs the same files on the phone's side."""

import json
from pathlib import Path

import pytest
from tests.vectors.soundness_cases import CASES
from tests.vectors.write_vectors import PHONE_RULES, WRITERS, answer, plain

from whetpanel.core.soundness import DEFAULT_RULES

HERE = Path(__file__).parent


def near(expected, actual, path=""):
    """The two JSON values agree; numbers to 1 part in 10⁹, everything else exactly."""
    if isinstance(expected, dict):
        assert set(expected) == set(actual), path
        for key in expected:
            near(expected[key], actual[key], f"{path}.{key}")
    elif isinstance(expected, list):
        assert len(expected) == len(actual), path
        for i, (one, other) in enumerate(zip(expected, actual, strict=True)):
            near(one, other, f"{path}.{i}")
    elif isinstance(expected, float) and not isinstance(actual, bool):
        assert expected == pytest.approx(actual, rel=1e-9, abs=1e-9), path
    else:
        assert expected == actual, path


@pytest.mark.parametrize("name", WRITERS)
def test_the_vectors_are_current(name):
    """Each file holds what the service answers; run write_vectors after a change that is meant."""
    kept = json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))

    near(kept, json.loads(json.dumps(plain(WRITERS[name]()))))


def test_the_phone_carries_the_same_default_rules():
    assert [plain(rule.to_record()) for rule in DEFAULT_RULES] == json.loads(
        PHONE_RULES.read_text(encoding="utf-8")
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_just_the_rules_that_should_speak_do(case):
    """``speaks`` was written by hand from the trade's point of view, before the answer was known."""
    assert case["speaks"] == sorted(v["rule_id"] for v in answer(case)["verdicts"])


def test_every_default_rule_speaks_in_some_case():
    """No rule of the default set is dead."""
    assert {rule.id for rule in DEFAULT_RULES} == {rule for case in CASES for rule in case["speaks"]}
