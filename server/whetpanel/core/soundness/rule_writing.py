"""Words in which the default rules are written: conditions, thresholds, and the cautions that go with work."""

from collections.abc import Mapping
from typing import Any

DUST = (
    "Stone dust can hold crystalline silica: lap, scrape and saw wet, keep it wet, and wipe the mud up "
    "before it dries. Where dust cannot be avoided wear the mask that your local rules ask for."
)
GLUE = (
    "Instant glue gives off vapour that stings and can bring on asthma, and it bonds skin at once: work in "
    "moving air with eye protection and gloves that suit the glue, and follow its maker's sheet and your "
    "local rules."
)
LACQUER = (
    "Raw tree lacquer can cause a severe skin rash, even from a part that is not fully cured, and lacquer "
    "fumes need moving air: cover your skin, follow the maker's sheet and your local rules, and keep away "
    "if you are sensitised."
)
SEAL = f"{LACQUER} Seal the sides and the bottom only, never the working face."
BLADE = "A blade is in play: wipe it away from the edge, and lay it down where nobody reaches across it."
BREAK = "Pieces may come off sharp: hold the stone over a cloth and keep fingers out of the crack."
FROST = "A wet stone that freezes splits. Dry it slowly, out of the sun, and keep it from frost."
LIFT = (
    "Lift with two, close to the body, with a clear way; follow your local rules for lifting, and wear "
    "shoes that protect your toes."
)


def is_(value: Any) -> dict[str, Any]:
    return {"const": value}


def among(*values: Any) -> dict[str, Any]:
    return {"enum": list(values)}


def at_least(name: str) -> dict[str, Any]:
    return {"type": "number", "minimum": {"$param": name}}


def at_most(name: str) -> dict[str, Any]:
    return {"type": "number", "maximum": {"$param": name}}


def below(name: str) -> dict[str, Any]:
    return {"type": "number", "exclusiveMaximum": {"$param": name}}


def all_of(*more: Mapping[str, Any], **facts: Any) -> dict[str, Any]:
    """All the named facts are known and hold; ``more`` adds conditions."""
    when: dict[str, Any] = {"properties": facts, "required": list(facts)}
    if more:
        when["allOf"] = list(more)
    return when


def any_of(**facts: Any) -> dict[str, Any]:
    """At least one of the named facts is known and holds."""
    return {"anyOf": [all_of(**{name: value}) for name, value in facts.items()]}


def unknown(*names: str) -> dict[str, Any]:
    """At least one of these has not been looked at."""
    return {"anyOf": [{"not": {"required": [name]}} for name in names]}


def not_(condition: Mapping[str, Any]) -> dict[str, Any]:
    return {"not": condition}


def limit(name: str, label: str, unit: str, value: float, low: float, high: float) -> dict[str, Any]:
    return {"name": name, "label": label, "unit": unit, "value": value, "low": low, "high": high}


def rule(
    rule_id: str,
    applies_to: str,
    when: Mapping[str, Any],
    verdict: str,
    urgency: str,
    because: str,
    caution: str | None = None,
    *parameters: Mapping[str, Any],
) -> dict[str, Any]:
    return {
        "id": rule_id,
        "applies_to": applies_to,
        "when": when,
        "verdict": verdict,
        "urgency": urgency,
        "because": because,
        "caution": caution,
        "parameters": list(parameters),
    }
