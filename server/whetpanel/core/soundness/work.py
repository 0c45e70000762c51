"""What is still to be done to a stone: open verdicts of its last inspections, less what was done about them.

Open work is never typed in. It follows from inspections and repairs alone, so that the phone without a signal and
the service come to the same list.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from .rules import URGENCIES, urgency_rank

ASKS_FOR_WORK = ("soon", "before_use", "reject")
"""Urgencies that put a verdict on the list; "watch" only asks for an eye on it."""

BLOCKS_PUBLICATION = ("before_use", "reject")
"""A stone with open work of this urgency cannot be published."""

INSPECT_AGAIN = "inspect again"

SET_ASIDE = "set aside"


@dataclass(frozen=True)
class WorkItem:
    """One thing to do to one stone, and why. ``rule_id`` None: nothing but a fresh look is asked for."""

    stone_id: str
    face: str
    inspection_id: str
    finding_id: str | None
    rule_id: str | None
    verdict: str
    urgency: str
    because: str
    caution: str | None


def latest_by_face(inspections: Iterable[Mapping[str, Any]]) -> dict[tuple[str, str], Mapping[str, Any]]:
    """The inspection that counts for each (stone id, face): the last one that is not withdrawn."""
    latest: dict[tuple[str, str], Mapping[str, Any]] = {}
    for one in inspections:
        if one["withdrawn"] is not None:
            continue
        key = (one["stone_id"], one["face"])
        if key not in latest or _order(one) > _order(latest[key]):
            latest[key] = one
    return latest


def _order(inspection: Mapping[str, Any]) -> tuple[str, str]:
    return (inspection["inspected_at"], inspection["id"])


def open_work(
    inspections: Iterable[Mapping[str, Any]], repairs: Iterable[Mapping[str, Any]]
) -> tuple[WorkItem, ...]:
    """The work list, most urgent first.

    Parameters
    ----------
    inspections, repairs
        records as served. Times are compared as text: they are served in one form, UTC to the millisecond.

    Notes
    -----
    A repair answers one verdict: the same inspection, finding and rule. A done repair asks for a fresh look at the
    face, urgent as the verdict it answered; "not needed" closes the verdict and asks for nothing. Of two answers
    to one verdict the later one counts.
    """
    latest = latest_by_face(inspections)
    answered = _answers(repairs)
    items: list[WorkItem] = []
    for (stone_id, face), inspection in latest.items():
        looks: list[Mapping[str, Any]] = []
        for verdict in inspection["verdicts"]:
            if verdict["urgency"] not in ASKS_FOR_WORK:
                continue
            answer = answered.get((inspection["id"], verdict["finding_id"], verdict["rule_id"]))
            if answer is None:
                items.append(
                    WorkItem(
                        stone_id, face, inspection["id"], verdict["finding_id"], verdict["rule_id"],
                        verdict["verdict"], verdict["urgency"], verdict["because"], verdict["caution"],
                    )
                )  # fmt: skip
            elif answer["outcome"] == "done":
                looks.append(verdict)
        if looks:
            strictest = max(looks, key=lambda verdict: urgency_rank(verdict["urgency"]))
            items.append(
                WorkItem(
                    stone_id, face, inspection["id"], None, None, INSPECT_AGAIN, strictest["urgency"],
                    f"A repair is done ({strictest['verdict']}). Look at the face again before you go on.", None,
                )
            )  # fmt: skip
    return tuple(sorted(items, key=_urgent_first))


def put_aside(
    inspections: Iterable[Mapping[str, Any]], repairs: Iterable[Mapping[str, Any]]
) -> tuple[WorkItem, ...]:
    """The verdicts "set aside" that were carried out: their stones lie aside until somebody looks at them again.

    On the work list such a verdict has become a fresh look; where the stone is, only this says. Parameters are as
    for ``open_work``.
    """
    answered = _answers(repairs)
    return tuple(
        WorkItem(
            stone_id, face, inspection["id"], verdict["finding_id"], verdict["rule_id"],
            verdict["verdict"], verdict["urgency"], verdict["because"], verdict["caution"],
        )
        for (stone_id, face), inspection in latest_by_face(inspections).items()
        for verdict in inspection["verdicts"]
        if verdict["verdict"] == SET_ASIDE
        and (answer := answered.get((inspection["id"], verdict["finding_id"], verdict["rule_id"]))) is not None
        and answer["outcome"] == "done"
    )  # fmt: skip


def _answers(
    repairs: Iterable[Mapping[str, Any]],
) -> dict[tuple[str, str | None, str], Mapping[str, Any]]:
    """The answer that counts for each (inspection, finding, rule): the last one that is not withdrawn."""
    answered: dict[tuple[str, str | None, str], Mapping[str, Any]] = {}
    for repair in sorted(repairs, key=_by_doing):
        if repair["withdrawn"] is None:
            answered[repair["inspection_id"], repair["finding_id"], repair["rule_id"]] = repair
    return answered


def _by_doing(repair: Mapping[str, Any]) -> tuple[str, str]:
    return (repair["done_at"], repair["id"])


def _urgent_first(item: WorkItem) -> tuple[int, str, str, str, str]:
    return (
        len(URGENCIES) - urgency_rank(item.urgency), item.stone_id, item.face, item.finding_id or "",
        item.rule_id or "",
    )  # fmt: skip
