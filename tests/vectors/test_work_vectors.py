"""The shared cases of open work are what the service answers today; vitest runs them on the phone's side."""

import json

import pytest
from tests.vectors.work_cases import VECTORS, work

from whetpanel.core.soundness.work import ASKS_FOR_WORK

KEPT = json.loads(VECTORS.read_text(encoding="utf-8"))


def test_the_vectors_are_current() -> None:
    """Run ``python -m tests.vectors.work_cases`` after a change that is meant."""
    assert KEPT == json.loads(json.dumps(work()))


@pytest.mark.parametrize("case", KEPT["cases"], ids=lambda case: case["name"])
def test_every_asking_verdict_of_a_last_look_is_open_or_answered(case: dict) -> None:
    """Counted by hand, the other way round: nothing that asks for work is lost between the list and the repairs."""
    looks = [one for one in case["inspections"] if one["withdrawn"] is None]
    last = {}
    for one in sorted(looks, key=lambda one: (one["inspected_at"], one["id"])):
        last[one["stone_id"], one["face"]] = one
    asking = {
        (look["id"], verdict["finding_id"], verdict["rule_id"])
        for look in last.values()
        for verdict in look["verdicts"]
        if verdict["urgency"] in ASKS_FOR_WORK
    }
    repaired = {
        (one["inspection_id"], one["finding_id"], one["rule_id"])
        for one in case["repairs"]
        if one["withdrawn"] is None
    }
    listed = {
        (item["inspection_id"], item["finding_id"], item["rule_id"])
        for item in case["expect"]
        if item["rule_id"] is not None
    }

    assert asking - repaired == listed
