"""The work list follows from inspections and repairs alone. Common practice, no source."""

from typing import Any

from whetpanel.core.soundness import open_work


def verdict(rule: str, urgency: str, finding: str | None = "f1") -> dict[str, Any]:
    return {
        "rule_id": rule, "finding_id": finding, "verdict": f"do {rule}", "urgency": urgency, "because": "so",
        "caution": "wet", "facts": {},
    }  # fmt: skip


def inspection(
    n: int, *verdicts: dict[str, Any], face: str = "front", withdrawn: Any = None
) -> dict[str, Any]:
    return {
        "id": f"i{n}", "stone_id": "s1", "face": face, "inspected_at": f"2026-03-0{n}T10:00:00.000Z",
        "verdicts": list(verdicts), "withdrawn": withdrawn,
    }  # fmt: skip


def repair(
    n: int, rule: str, outcome: str = "done", finding: str | None = "f1", withdrawn: Any = None
) -> dict[str, Any]:
    return {
        "inspection_id": f"i{n}", "finding_id": finding, "rule_id": rule, "outcome": outcome,
        "withdrawn": withdrawn, "id": f"r-{rule}-{finding}", "done_at": "2026-03-09T10:00:00.000Z",
    }  # fmt: skip


def said(inspections: list[Any], repairs: list[Any]) -> list[tuple[str, str]]:
    return [(item.verdict, item.urgency) for item in open_work(inspections, repairs)]


def test_only_urgent_verdicts_of_the_last_look_are_work() -> None:
    """A watchful eye is no work; an older inspection of the same face no longer speaks."""
    old = inspection(1, verdict("glue", "before_use"))
    new = inspection(2, verdict("seal", "soon"), verdict("look", "watch"), verdict("fine", "none"))

    assert [("do seal", "soon")] == said([new, old], [])


def test_each_face_speaks_for_itself() -> None:
    """A clean front does not close the work of the back; the most urgent comes first."""
    front = inspection(2, verdict("seal", "soon"))
    back = inspection(1, verdict("glue", "reject"), face="back")

    assert [("do glue", "reject"), ("do seal", "soon")] == said([front, back], [])


def test_a_done_repair_asks_for_a_fresh_look() -> None:
    """One look for the face, as urgent as the strictest verdict that was answered."""
    look = inspection(1, verdict("seal", "soon"), verdict("glue", "before_use"), verdict("trim", "soon"))

    left = said([look], [repair(1, "seal"), repair(1, "glue")])

    assert [("inspect again", "before_use"), ("do trim", "soon")] == left


def test_not_needed_closes_without_a_look() -> None:
    """The dealer's word; a withdrawn repair answers nothing."""
    look = inspection(1, verdict("seal", "soon"))

    assert [] == said([look], [repair(1, "seal", "not_needed")])
    assert [("do seal", "soon")] == said([look], [repair(1, "seal", withdrawn={"at": "x"})])


def test_a_repair_answers_its_own_finding_only() -> None:
    """The same rule on another finding stays open; so does a withdrawn inspection's say count for nothing."""
    look = inspection(1, verdict("seal", "soon", "f1"), verdict("seal", "soon", "f2"))
    gone = inspection(2, verdict("glue", "reject"), withdrawn={"at": "x"})

    left = open_work([look, gone], [repair(1, "seal", "not_needed", "f1")])

    assert ["f2"] == [item.finding_id for item in left]


def test_the_order_of_records_does_not_matter() -> None:
    """The phone and the service hold them in different orders."""
    looks = [inspection(n, verdict(r, u), face=f) for n, r, u, f in
             ((1, "a", "soon", "front"), (2, "b", "reject", "front"), (3, "c", "soon", "back"))]  # fmt: skip
    repairs = [repair(2, "b"), repair(3, "c", "not_needed")]

    assert open_work(looks, repairs) == open_work(looks[::-1], repairs[::-1])
