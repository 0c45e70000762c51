"""Rules from the records of a rule set, checked so that none can fail or fall silent later."""

import math
import re
from collections.abc import Mapping
from typing import Any

from whetpanel.errors import FieldError, Invalid

from .facts import FACTS
from .reading import is_unicode
from .rules import (
    APPLIES_TO,
    PLACEHOLDER,
    SCHEMA_LISTS,
    SCHEMAS,
    URGENCIES,
    VERDICT_WORDS,
    Parameter,
    Rule,
    matches,
)

_NUMBERS = {"minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"}
_PLAIN = {"type", "const", "enum", "required", "title", "description", "$comment"}
_ALLOWED = SCHEMAS | SCHEMA_LISTS | _NUMBERS | _PLAIN | {"properties"}
_TYPES = ("number", "integer", "string", "boolean", "object", "null")
_MOST_RULES = 500
_MOST_DEEP = 24


def read_rules(records: Any, path: str = "rules") -> tuple[Rule, ...]:
    """The rules of a rule set, ready to be applied.

    Raises Invalid with every fault: an unknown fact or placeholder, a keyword that is not allowed, a verdict
    or urgency that is not ours, a threshold outside its bounds, an id used twice.
    """
    faults: list[FieldError] = []
    if not isinstance(records, list | tuple) or len(records) > _MOST_RULES:
        message = f"This must be a list of rules, at most {_MOST_RULES}."
        raise Invalid(message, [FieldError(path, message)])
    rules = []
    ids: set[str] = set()
    for i, record in enumerate(records):
        checker = _RuleChecker(record, f"{path}.{i}", faults)
        rule = checker.read()
        if rule is not None:
            if rule.id in ids:
                checker.fault("id", "Another rule has this id: give each its own.")
            ids.add(rule.id)
            rules.append(rule)
    if faults:
        raise Invalid("These rules cannot be used as they are.", faults)
    return tuple(rules)


class _RuleChecker:
    """Checks one rule record; faults go to a list shared by all rules."""

    def __init__(self, record: Any, path: str, faults: list[FieldError]) -> None:
        self.record = record
        self.path = path
        self.faults = faults
        self.before = len(faults)

    def fault(self, name: str, message: str) -> None:
        self.faults.append(FieldError(f"{self.path}.{name}" if name else self.path, message))

    def read(self) -> Rule | None:
        record = self.record
        if not isinstance(record, Mapping):
            self.fault("", "A rule must be an object.")
            return None
        for name in record:
            if name not in {*Rule.__dataclass_fields__}:
                self.fault(str(name), "A rule has no such field: check its spelling.")
        for name in ("id", "because"):
            value = record.get(name)
            if not isinstance(value, str) or not value.strip() or not is_unicode(value):
                self.fault(name, "This must be a text that is not empty.")
        caution = record.get("caution")
        if caution is not None and not (isinstance(caution, str) and is_unicode(caution)):
            self.fault("caution", "This must be a text or null.")
        for name, words in (("applies_to", APPLIES_TO), ("verdict", VERDICT_WORDS), ("urgency", URGENCIES)):
            if record.get(name) not in words:
                self.fault(name, f"This must be one of: {', '.join(words)}.")
        parameters = self._parameters(record.get("parameters", []))
        vocabulary = FACTS.get(str(record.get("applies_to")), {})
        if not isinstance(record.get("when"), Mapping):
            self.fault("when", "A condition must be a JSON Schema object.")
        else:
            self._condition(record["when"], "when", vocabulary, {p.name for p in parameters}, top=True)
        for p in parameters:
            if p.name in vocabulary:
                self.fault("parameters", f"'{p.name}' is the name of a fact: call the parameter otherwise.")
        if isinstance(record.get("because"), str):
            for name in PLACEHOLDER.findall(record["because"]):
                if name not in vocabulary and name not in {p.name for p in parameters}:
                    self.fault("because", f"There is no fact or parameter '{name}' to fill in.")
        if len(self.faults) > self.before:
            return None
        rule = Rule(
            id=record["id"],
            applies_to=record["applies_to"],
            when=record["when"],
            verdict=record["verdict"],
            urgency=record["urgency"],
            because=record["because"],
            caution=caution,
            parameters=parameters,
        )
        try:
            matches(rule, {})
        except ValueError:
            self.fault("when", "This condition is no valid JSON Schema.")
            return None
        return rule

    def _parameters(self, records: Any) -> tuple[Parameter, ...]:
        if not isinstance(records, list | tuple):
            self.fault("parameters", "This must be a list.")
            return ()
        parameters: list[Parameter] = []
        for i, item in enumerate(records):
            at = f"parameters.{i}"
            if not isinstance(item, Mapping) or set(item) != {*Parameter.__dataclass_fields__}:
                self.fault(at, "A parameter has exactly: name, label, unit, value, low, high.")
                continue
            if not all(isinstance(item[k], str) and is_unicode(item[k]) for k in ("name", "label", "unit")):
                self.fault(at, "Name, label and unit must be texts.")
                continue
            if not re.fullmatch(r"[a-z][a-z0-9_]*", item["name"]):
                self.fault(f"{at}.name", "A name is small letters, digits and underscores.")
                continue
            if not all(_is_number(item[k]) for k in ("value", "low", "high")):
                self.fault(at, "Value, low and high must be finite numbers.")
                continue
            if not item["low"] <= item["value"] <= item["high"]:
                self.fault(f"{at}.value", f"This must lie between {item['low']:g} and {item['high']:g}.")
                continue
            if item["name"] in {p.name for p in parameters}:
                self.fault(f"{at}.name", "Another parameter of this rule has this name.")
                continue
            parameters.append(Parameter(**item))
        return tuple(parameters)

    def _condition(
        self, part: Any, at: str, vocabulary: Mapping[str, str], parameters: set[str], *, top: bool = False
    ) -> None:
        """Walk a condition; ``vocabulary`` holds the facts that ``properties`` may name here."""
        if at.count(".") > _MOST_DEEP:
            self.fault("when", "This condition is nested too deeply: write it flatter.")
            return
        if isinstance(part, bool):
            return
        if not isinstance(part, Mapping):
            self.fault(at, "A condition must be a JSON Schema object, true or false.")
            return
        for key, value in part.items():
            here = f"{at}.{key}"
            if key in ("pattern", "patternProperties"):
                self.fault(
                    here, f"'{key}' is not allowed: server and phone read regular expressions differently."
                )
            elif key not in _ALLOWED:
                self.fault(
                    here, f"'{key}' is not among the keywords a rule may use: {', '.join(sorted(_ALLOWED))}."
                )
            elif key in SCHEMAS:
                self._condition(value, here, vocabulary, parameters)
            elif key in SCHEMA_LISTS:
                if not isinstance(value, list | tuple) or not value:
                    self.fault(here, "This must be a list of conditions, not empty.")
                    continue
                for i, item in enumerate(value):
                    self._condition(item, f"{here}.{i}", vocabulary, parameters)
            elif key == "properties":
                self._properties(value, here, vocabulary, parameters)
            elif key == "required":
                self._required(value, here, vocabulary)
            else:
                self._value(key, value, here, parameters)

    def _properties(self, value: Any, at: str, vocabulary: Mapping[str, str], parameters: set[str]) -> None:
        if not isinstance(value, Mapping):
            self.fault(at, "This must be an object of facts and conditions.")
            return
        for name, condition in value.items():
            if name not in vocabulary:
                self.fault(f"{at}.{name}", "There is no such fact for what this rule applies to.")
            # A fact is a single value, so it has no named parts of its own.
            self._condition(condition, f"{at}.{name}", {}, parameters)

    def _required(self, value: Any, at: str, vocabulary: Mapping[str, str]) -> None:
        if not isinstance(value, list | tuple) or not all(isinstance(name, str) for name in value):
            self.fault(at, "This must be a list of names of facts.")
            return
        for name in value:
            if name not in vocabulary:
                self.fault(at, f"There is no fact '{name}' for what this rule applies to.")
        if len(set(value)) != len(value):
            self.fault(at, "A fact is named twice.")

    def _value(self, key: str, value: Any, at: str, parameters: set[str]) -> None:
        if isinstance(value, Mapping):
            if set(value) != {"$param"}:
                self.fault(at, 'Only {"$param": "name"} may stand here in braces.')
            elif not isinstance(value["$param"], str) or value["$param"] not in parameters:
                self.fault(at, f"This rule has no parameter '{value['$param']}'.")
            elif key not in _NUMBERS | {"const"}:
                self.fault(at, "A parameter can only be a limit.")
        elif key in _NUMBERS and not _is_number(value):
            self.fault(at, "This must be a number or a parameter.")
        elif key == "type" and not (
            value in _TYPES
            or (
                isinstance(value, list)
                and value
                and all(v in _TYPES for v in value)
                and len(set(value)) == len(value)
            )
        ):
            self.fault(at, f"This must be one of: {', '.join(_TYPES)}.")
        elif key == "enum" and not (isinstance(value, list) and value and all(_is_plain(v) for v in value)):
            self.fault(at, "This must be a list of plain values, not empty.")
        elif key == "const" and not _is_plain(value):
            self.fault(at, "This must be a plain value or a parameter.")
        elif key in ("title", "description", "$comment") and not isinstance(value, str):
            self.fault(at, "This must be a text.")


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _is_plain(value: object) -> bool:
    return (
        value is None
        or isinstance(value, bool)
        or (isinstance(value, str) and is_unicode(value))
        or _is_number(value)
    )
