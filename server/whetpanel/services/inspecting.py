"""Rules over inspections: the one path by which the service asks core for verdicts."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from ..core.soundness import DEFAULT_RULES, History, InspectionValues, Rule, StoneShape, assess, read_rules
from ..storage.schema import Lapping


def default_rules() -> list[dict[str, Any]]:
    """The rules that a new club starts with, as its rule set holds them."""
    return [rule.to_record() for rule in DEFAULT_RULES]


def usable_rules(rules: list[dict[str, Any]]) -> tuple[Rule, ...]:
    """Rules ready to be evaluated. Raises Invalid with every fault of rules that a steward sends."""
    return read_rules(rules)


def history_of(session: Session, club_id: str, inspection: dict[str, Any]) -> History:
    """What other records say of a face at its inspection.

    A face with no logged lapping counts as not lapped only once the club logs lappings at all: a club that keeps
    no such log must not be told to lap every stone for the first time. An inspection is itself the fresh look that
    a repair asks for, so at its writing no repair has come after it; the work list keeps that account.
    """
    lappings = session.execute(
        select(Lapping.stone_id, Lapping.face).where(
            Lapping.club_id == club_id, Lapping.withdrawn_at.is_(None)
        )
    ).all()
    own = any(
        stone_id == inspection["stone_id"] and face == inspection["face"] for stone_id, face in lappings
    )
    return History(lapped_before=own if lappings else None, repaired_since=False)


def verdicts_of(
    stone: dict[str, Any],
    inspection: dict[str, Any],
    rules: Sequence[Rule],
    history: History | None = None,
) -> list[dict[str, Any]]:
    """The verdicts of a club's rules on an inspection of a stone. Raises Invalid where a finding cannot be measured."""
    assessment = assess(
        StoneShape.from_record(stone, "stone"),
        InspectionValues.from_record(inspection),
        rules,
        history,
    )
    return [asdict(verdict) for verdict in assessment.verdicts]
