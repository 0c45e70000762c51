"""A stone is in one state, and the board says why. The precedence is common practice, no source."""

from dataclasses import replace
from datetime import UTC, datetime

import hypothesis.strategies as st
import pytest
from hypothesis import given

from whetpanel.core.depth import FaceGone
from whetpanel.core.readiness import Readiness
from whetpanel.core.soundness.rules import URGENCIES
from whetpanel.core.soundness.work import INSPECT_AGAIN, SET_ASIDE, WorkItem, open_work, put_aside
from whetpanel.core.standing import (
    STATES,
    StandingSlip,
    StoneFacts,
    moved_grades,
    standing,
)

GOOD = Readiness(())
WANTING = Readiness(("2 of 3 testers have tried it: ask 1 more.",))
UNTRIED = Readiness(("Nobody has tried this stone for this purpose yet: ask for a first trial.",))
FRONT = frozenset({"front"})
TRIED = StoneFacts(GOOD, inspected=FRONT, tried=FRONT)
"""Inspected and tried as the club asks for."""


def item(verdict: str, urgency: str, face: str = "front") -> WorkItem:
    return WorkItem(
        "s1",
        face,
        "i1",
        "f1",
        None if verdict == INSPECT_AGAIN else "r1",
        verdict,
        urgency,
        "A leaf lifts",
        None,
    )


SEAL = item("seal sides", "soon")
GLUE = item("glue before lapping", "before_use")
REJECT = item(SET_ASIDE, "reject")
LOOK = item(INSPECT_AGAIN, "soon")
WORN = FaceGone("front", 1.4, False, datetime(2026, 3, 1, tzinfo=UTC))
MOVED = StandingSlip(
    moved_grades([{"scale": "hardness", "name": "Hardness", "grade": 3.0, "step": 0.5}], {"hardness": 3.6})
)

CASES = {
    "new": (StoneFacts(UNTRIED), "to_inspect", "Nobody has inspected the front yet"),
    "inspected, untried": (StoneFacts(UNTRIED, inspected=FRONT), "in_trial", "ask for a first trial"),
    "only the other face was looked at": (
        replace(TRIED, inspected=frozenset({"back"})), "to_inspect", "The front was tried but never inspected",
    ),
    "the front bears a stamp, so the back is graded": (
        StoneFacts(UNTRIED, inspected=frozenset({"back"}), marked=FRONT), "in_trial", "first trial",
    ),
    "the front bears a stamp and only it was looked at": (
        StoneFacts(UNTRIED, inspected=FRONT, marked=FRONT), "to_inspect", "the back",
    ),
    "both faces bear marks": (
        StoneFacts(UNTRIED, inspected=FRONT, marked=frozenset({"front", "back"})), "in_trial", "first trial",
    ),
    "too few testers": (replace(TRIED, readiness=WANTING), "in_trial", "2 of 3 testers"),
    "worn since": (replace(TRIED, to_confirm=(WORN,)), "in_trial", "1.4 mm are gone from the front"),
    "lapped since": (
        replace(TRIED, to_confirm=(replace(WORN, lapped=True),)), "in_trial", "1.4 mm are lapped off the front",
    ),
    "nothing in the way": (TRIED, "ready", None),
    "lesser work": (replace(TRIED, work=(SEAL,)), "ready", None),
    "published": (replace(TRIED, slip=StandingSlip()), "published", None),
    "published with a reason": (replace(TRIED, readiness=WANTING, slip=StandingSlip()), "published", None),
    "moved since": (replace(TRIED, slip=MOVED), "ready", "hardness from 3.0 to 3.6: issue the slip anew"),
    "moved, and the rule not met any more": (
        replace(TRIED, slip=MOVED, readiness=WANTING), "in_trial", "issue the slip anew",
    ),
    "published, worn since": (replace(TRIED, slip=StandingSlip(), to_confirm=(WORN,)), "in_trial", "1.4 mm"),
    "published, to be looked at again": (
        replace(TRIED, slip=StandingSlip(), work=(LOOK,)), "to_inspect", "Inspect again (front)",
    ),
    "published, then a leaf lifts": (
        replace(TRIED, slip=StandingSlip(), work=(GLUE,)), "to_repair", "Glue before lapping (front): A leaf lifts.",
    ),
    "to repair and to look at": (replace(TRIED, work=(LOOK, GLUE)), "to_repair", "Glue before lapping"),
    "a verdict sets it aside": (replace(TRIED, work=(REJECT, GLUE)), "set_aside", "Set aside (front): A leaf lifts."),
    "it was put aside": (
        replace(TRIED, work=(item(INSPECT_AGAIN, "reject"),), put_aside=(REJECT,)), "set_aside", "It lies aside",
    ),
    "kept back": (replace(TRIED, kept_back="Promised to a friend"), "set_aside", "Kept back: Promised to a friend."),
    "kept back, untried and unseen": (StoneFacts(UNTRIED, kept_back="x"), "set_aside", "Kept back"),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_the_state_and_its_first_reason(name: str) -> None:
    """What asks for most comes first, and is said first."""
    facts, state, first = CASES[name]

    stands = standing(facts)

    assert state == stands.state
    if first is None:
        assert () == stands.blocks
    else:
        assert first in stands.blocks[0]


def test_what_may_wait_is_told_beside() -> None:
    """Lesser work holds nothing up; what a standing slip lacks today is worth knowing."""
    lesser = standing(replace(TRIED, work=(SEAL,)))
    slip = standing(replace(TRIED, readiness=WANTING, slip=StandingSlip()))

    assert ["Seal sides (front): A leaf lifts. Publishing need not wait for it."] == list(lesser.remarks)
    assert list(WANTING.blocks) == list(slip.remarks)


def test_everything_in_the_way_is_said_at_once() -> None:
    """Whoever repairs the stone also learns that it wants a tester."""
    blocks = standing(replace(TRIED, readiness=WANTING, work=(GLUE, LOOK), to_confirm=(WORN,))).blocks

    assert 4 == len(blocks)
    assert all(block.endswith(".") for block in blocks)


items = st.builds(
    item,
    st.sampled_from(["seal sides", "lap", "relieve below the face", INSPECT_AGAIN, SET_ASIDE]),
    st.sampled_from(["soon", "before_use", "reject"]),
    st.sampled_from(["front", "back"]),
)
faces = st.frozensets(st.sampled_from(["front", "back"]))
facts_drawn = st.builds(
    StoneFacts,
    readiness=st.sampled_from([GOOD, WANTING, UNTRIED]),
    work=st.lists(items, max_size=3).map(tuple),
    put_aside=st.sampled_from([(), (REJECT,)]),
    inspected=faces,
    marked=faces,
    tried=faces,
    to_confirm=st.sampled_from([(), (WORN,)]),
    slip=st.sampled_from([None, StandingSlip(), MOVED]),
    kept_back=st.sampled_from([None, "A reason"]),
)


@given(facts_drawn)
def test_a_stone_is_in_exactly_one_state_and_never_held_up_without_a_word(facts: StoneFacts) -> None:
    """Ready and published are the states that need no reason; every other has one."""
    stands = standing(facts)

    assert 1 == sum(stands.state == state for state in STATES)
    if stands.state == "ready":
        assert all("issue the slip anew" in block for block in stands.blocks)
    elif stands.state == "published":
        assert () == stands.blocks
    else:
        assert stands.blocks


@given(facts_drawn, st.sampled_from(["set aside", "lap", "relieve below the face"]))
def test_a_verdict_that_rejects_the_stone_never_leaves_it_ready(facts: StoneFacts, verdict: str) -> None:
    """Nor published: it goes aside, whatever else is known."""
    assert "set_aside" == standing(replace(facts, work=(*facts.work, item(verdict, "reject")))).state


verdicts = st.lists(
    st.tuples(
        st.sampled_from(["r1", "r2", "r3"]), st.sampled_from(URGENCIES), st.sampled_from(["lap", SET_ASIDE])
    ),
    max_size=3,
    unique_by=lambda verdict: verdict[0],
)


@given(verdicts, st.sets(st.sampled_from(["r1", "r2", "r3"])))
def test_from_records_a_rejected_stone_is_never_ready_until_it_is_looked_at_again(told, repaired) -> None:
    """Through the work list, as the service does it: answering "done" frees no stone, a clean later look does."""
    look = {
        "id": "i1", "stone_id": "s1", "face": "front", "inspected_at": "2026-03-01T10:00:00.000Z", "withdrawn": None,
        "verdicts": [
            {
                "rule_id": rule, "finding_id": None, "verdict": word, "urgency": urgency, "because": "So.",
                "caution": None,
            }
            for rule, urgency, word in told
        ],
    }  # fmt: skip
    repairs = [
        {
            "id": f"p-{rule}", "inspection_id": "i1", "finding_id": None, "rule_id": rule, "outcome": "done",
            "done_at": "2026-03-02T10:00:00.000Z", "withdrawn": None,
        }
        for rule in repaired
    ]  # fmt: skip
    later = {**look, "id": "i2", "inspected_at": "2026-03-03T10:00:00.000Z", "verdicts": []}

    def state(*looks: dict) -> str:
        work = open_work(looks, repairs)
        return standing(replace(TRIED, work=work, put_aside=put_aside(looks, repairs))).state

    blocking = [one for one in told if one[1] in ("before_use", "reject")]
    assert not blocking or state(look) != "ready"
    assert "ready" == state(look, later)


def test_a_grade_has_moved_by_a_step_not_by_less() -> None:
    """Half a grade on a scale by halves; a scale nobody grades any more says nothing."""
    slip = [{"scale": scale, "name": scale, "grade": 3.0, "step": 0.5} for scale in ("a", "b", "c", "gone")]

    moved = moved_grades(slip, {"a": 3.5, "b": 2.49, "c": 3.49})

    assert [("a", 3.5), ("b", 2.49)] == [(one.scale, one.now) for one in moved]
