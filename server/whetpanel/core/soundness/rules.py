"""Rules as data: a condition over facts (JSON Schema), a verdict in plain words, and why.

``when`` may hold ``{"$param": "name"}`` wherever a threshold stands; the rule's parameters carry the values,
so a steward changes a number in a form and never sees the schema. Server and phone evaluate conditions with
different libraries. Only keywords on which both agree are allowed; ``pattern`` is not, as regular expressions
differ between them.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import jsonschema_rs

from .facts import Fact, Facts
from .words import UNKNOWN, say

URGENCIES = ("none", "watch", "soon", "before_use", "reject")
"""From "nothing to do" to "not to be sold or used"."""

VERDICT_WORDS = (
    "keep", "watch", "inspect again", "seal sides", "glue before lapping", "relieve below the face",
    "trim the corner", "round the edge", "lap", "keep off the face", "mount on a base",
    "grade as a hand stone", "splash only", "keep from frost", "ask before lapping", "lift with two", "set aside",
)  # fmt: skip

APPLIES_TO = ("finding", "inspection", "stone")

SCHEMAS = {"not", "if", "then", "else"}
SCHEMA_LISTS = {"allOf", "anyOf", "oneOf"}
PLACEHOLDER = re.compile(r"\{([^{}]*)\}")
_OPTIONAL = re.compile(r"\[([^\[\]]*)\]")


@dataclass(frozen=True)
class Parameter:
    """A threshold a steward may set, between ``low`` and ``high``."""

    name: str
    label: str
    unit: str
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Rule:
    """One rule. ``because`` is a sentence with facts and parameters in {braces}; a [part in brackets] is left out
    where one of its facts is not known. ``caution`` goes with the work that the verdict asks for.
    """

    id: str
    applies_to: str
    when: Mapping[str, Any]
    verdict: str
    urgency: str
    because: str
    caution: str | None = None
    parameters: tuple[Parameter, ...] = ()

    @cached_property
    def condition(self) -> jsonschema_rs.Draft202012Validator:
        """The condition with its thresholds put in, ready to be asked. Raises ValueError for no valid schema."""
        return jsonschema_rs.Draft202012Validator(with_parameters(self))

    def to_record(self) -> dict[str, Any]:
        """The rule as a rule_set record holds it."""
        return {
            "id": self.id,
            "applies_to": self.applies_to,
            "when": self.when,
            "verdict": self.verdict,
            "urgency": self.urgency,
            "because": self.because,
            "caution": self.caution,
            "parameters": [vars(p) for p in self.parameters],
        }


def with_parameters(rule: Rule) -> Any:
    """The rule's condition with its thresholds put in."""
    values = {p.name: p.value for p in rule.parameters}

    def fill(part: Any) -> Any:
        if isinstance(part, Mapping):
            if set(part) == {"$param"}:
                return values[part["$param"]]
            return {key: fill(value) for key, value in part.items()}
        if isinstance(part, list | tuple):
            return [fill(item) for item in part]
        return part

    return fill(rule.when)


def matches(rule: Rule, facts: Facts) -> bool:
    """Whether the rule's condition holds for these facts."""
    return rule.condition.is_valid(facts)


def reason(rule: Rule, facts: Facts) -> str:
    """The rule's sentence with facts and thresholds filled in, without the optional parts that are not known."""
    values: dict[str, Fact] = {**facts, **{p.name: p.value for p in rule.parameters}}

    def kept(part: re.Match[str]) -> str:
        return part[1] if all(name in values for name in PLACEHOLDER.findall(part[1])) else ""

    sentence = _OPTIONAL.sub(kept, rule.because)
    return PLACEHOLDER.sub(lambda m: say(values[m[1]]) if m[1] in values else UNKNOWN, sentence)


def facts_used(rule: Rule, facts: Facts) -> Facts:
    """The facts and thresholds that the verdict rests on: those its condition looks at or its sentence
    tells.
    """
    names = named_facts(rule.when) | set(PLACEHOLDER.findall(rule.because))
    used: Facts = {name: facts[name] for name in sorted(names) if name in facts}
    return used | {p.name: p.value for p in rule.parameters}


def named_facts(when: Any) -> set[str]:
    """The names of all facts that a condition looks at."""
    names: set[str] = set()
    if not isinstance(when, Mapping):
        return names
    for key, value in when.items():
        if key == "properties" and isinstance(value, Mapping):
            names |= set(value)
        elif key == "required" and isinstance(value, list | tuple):
            names |= {name for name in value if isinstance(name, str)}
        elif key in SCHEMAS:
            names |= named_facts(value)
        elif key in SCHEMA_LISTS and isinstance(value, list | tuple):
            names = names.union(*(named_facts(item) for item in value))
    return names


def urgency_rank(urgency: str) -> int:
    """0 for none up to 4 for reject."""
    return URGENCIES.index(urgency)


def strictest(urgencies: Sequence[str]) -> str:
    """The most urgent word of a list; none if it is empty."""
    return max(urgencies, key=urgency_rank, default="none")
