"""Rules over inspections: the one path by which the service asks core for verdicts."""

from dataclasses import asdict
from typing import Any

from ..core.soundness import DEFAULT_RULES, InspectionValues, StoneShape, assess, read_rules


def default_rules() -> list[dict[str, Any]]:
    """The rules that a new club starts with, as its rule set holds them."""
    return [rule.to_record() for rule in DEFAULT_RULES]


def check_rules(rules: list[dict[str, Any]]) -> None:
    """Raise Invalid with every fault of rules that a steward sends."""
    read_rules(rules)


def verdicts_of(
    stone: dict[str, Any], inspection: dict[str, Any], rules: list[dict[str, Any]]
) -> list[dict[str, Any]]:
    """The verdicts of a club's rules on an inspection of a stone. Raises Invalid where a finding cannot be measured."""
    assessment = assess(
        StoneShape.from_record(stone, "stone"), InspectionValues.from_record(inspection), read_rules(rules)
    )
    return [asdict(verdict) for verdict in assessment.verdicts]
