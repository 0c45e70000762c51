"""Reading JSON by hand: every mistake of a record gathered, each with its path, and raised together."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from whetpanel.errors import FieldError, Invalid

LONGEST_TEXT = 80
"""Texts here are ids, never prose."""


@dataclass
class Reader:
    """Reads one JSON object and gathers everything wrong with it, each fault with its path."""

    record: Any
    path: str = ""
    faults: list[FieldError] = field(default_factory=list)
    seen: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        if not isinstance(self.record, Mapping):
            self.faults.append(
                FieldError(self.path or "(whole)", "This must be an object with named fields.")
            )
            self.record = {}

    def fault(self, name: str, message: str) -> None:
        """Note a fault of field ``name``."""
        self.faults.append(FieldError(f"{self.path}.{name}" if self.path else name, message))

    def number(
        self,
        name: str,
        *,
        required: bool = False,
        above: float | None = None,
        low: float | None = None,
        high: float | None = None,
    ) -> float | None:
        """A finite number within bounds, or None when missing or null."""
        value = self._get(name, required)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(name, "This must be a number.")
            return None
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            self.fault(name, "This must be a finite number.")
        elif above is not None and number <= above:
            self.fault(name, f"This must be more than {above:g}.")
        elif low is not None and number < low:
            self.fault(name, f"This must be {low:g} or more.")
        elif high is not None and number > high:
            self.fault(name, f"This must be {high:g} or less.")
        else:
            return number
        return None

    def choice(self, name: str, words: Sequence[str], *, required: bool = False) -> str | None:
        """One of the words, or None when missing or null."""
        value = self._get(name, required)
        if value is None:
            return None
        if value not in words or not isinstance(value, str):
            self.fault(name, f"This must be one of: {', '.join(words)}.")
            return None
        return value

    def text(self, name: str, *, required: bool = True) -> str | None:
        """A text that is not empty."""
        value = self._get(name, required)
        if value is None:
            return None
        if not isinstance(value, str) or not value.strip():
            self.fault(name, "This must be a text that is not empty.")
            return None
        if not is_unicode(value):
            self.fault(name, "This text holds characters that are not Unicode.")
            return None
        if len(value) > LONGEST_TEXT:
            self.fault(name, f"This text is too long: {LONGEST_TEXT} characters are the most.")
            return None
        return value

    def boolean(self, name: str) -> bool | None:
        """True, false, or None when missing or null."""
        value = self._get(name, False)
        if value is not None and not isinstance(value, bool):
            self.fault(name, "This must be true, false or null.")
            return None
        return value

    def part(self, name: str) -> "Reader | None":
        """An object as a reader of its own, or None when missing or null."""
        value = self._get(name, False)
        return None if value is None else self._part(value, name)

    def records(self, name: str, *, most: int = 100) -> list["Reader"]:
        """A list of objects, each a reader of its own; missing or null is empty."""
        value = self._get(name, False)
        if value is None:
            return []
        if not isinstance(value, list | tuple):
            self.fault(name, "This must be a list.")
            return []
        if len(value) > most:
            self.fault(name, f"This holds {len(value)} items; {most} are the most that can be taken at once.")
            return []
        return [self._part(item, f"{name}.{i}") for i, item in enumerate(value)]

    def refuse_unknown(self, also_known: set[str]) -> None:
        """Note every field that was neither read nor is known, so that a misspelt one is not lost."""
        for name in self.record:
            if name not in self.seen and name not in also_known:
                self.fault(str(name), "There is no such field here: check its spelling.")

    def finish(self, detail: str) -> None:
        """Raise Invalid if anything was wrong."""
        if self.faults:
            raise Invalid(detail, list(self.faults))

    def _part(self, value: Any, name: str) -> "Reader":
        part = Reader(value, f"{self.path}.{name}" if self.path else name)
        # The part shares this reader's list, so that one finish() at the top tells everything.
        self.faults.extend(part.faults)
        part.faults = self.faults
        return part

    def _get(self, name: str, required: bool) -> Any:
        self.seen.add(name)
        value = self.record.get(name)
        if value is None and required:
            self.fault(name, "This is needed.")
        return value


def is_unicode(text: str) -> bool:
    """Whether a text can be written out at all: JSON lets half a surrogate pair through."""
    return not any("\ud800" <= letter <= "\udfff" for letter in text)
