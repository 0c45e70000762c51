"""Our exception family. It imports nothing, so that every room may raise from it.

WhetpanelError
├── Refusal                     the domain says no; carries the facts and what to do
│   ├── Invalid                 the input breaks a rule; carries a list of fields
│   ├── NotFound                no such record in this club
│   ├── NotAllowed              this member may not do that
│   │   └── Blind               not before the member's own trial of the stone is in
│   ├── NotSignedIn             no session, or one that has ended
│   ├── WrongSignIn             the name or the password is wrong
│   ├── TooManyTries            wait before the next try
│   ├── PreconditionMissing     the record exists: say which version you change
│   ├── PreconditionFailed      the record has moved on since that version
│   ├── Conflict                the request contradicts another record
│   │   └── NotReady            a grade cannot be published yet; carries what stands in the way
│   └── TooLarge                more than the service takes at once
└── (a mistake of ours is a plain ValueError or AssertionError, never of this family)
"""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class FieldError:
    """One field that was refused: a JSON path such as ``grades.hardness``, and what to do about it."""

    field: str
    message: str


class WhetpanelError(Exception):
    """Anything this project raises on purpose."""


class Refusal(WhetpanelError):
    """The domain says no. ``detail`` is a sentence for a person and says what to do next."""

    def __init__(self, detail: str) -> None:
        super().__init__(detail)
        self.detail = detail


class Invalid(Refusal):
    """The input breaks a rule. ``errors`` names each field; nothing has been stored."""

    def __init__(self, detail: str, errors: list[FieldError] | None = None) -> None:
        super().__init__(detail)
        self.errors = errors or []


class NotFound(Refusal):
    """There is no such record in this club."""


class NotAllowed(Refusal):
    """This member's roles do not include that."""


class Blind(NotAllowed):
    """Others' grades of a stone stay hidden until the member's own trial of it is in."""


class NotSignedIn(Refusal):
    """There is no session, or it has ended."""


class WrongSignIn(Refusal):
    """The club, the name or the password is wrong; which one is not told."""


class TooManyTries(Refusal):
    """Too many wrong sign-ins; ``retry_after_s`` says how long to wait, in seconds."""

    def __init__(self, detail: str, retry_after_s: int) -> None:
        super().__init__(detail)
        self.retry_after_s = retry_after_s


class _WithCurrent(Refusal):
    def __init__(self, detail: str, current: dict[str, Any]) -> None:
        super().__init__(detail)
        self.current = current


class PreconditionMissing(_WithCurrent):
    """The record exists with other content and the write names no version; carries the current record."""


class PreconditionFailed(_WithCurrent):
    """The record has moved on since the version the write names; carries the current record."""


class Conflict(Refusal):
    """The request contradicts another record, for instance a stone code that is taken."""


class NotReady(Conflict):
    """A grade cannot be published yet; ``blocks`` are sentences that say what stands in the way."""

    def __init__(self, detail: str, blocks: list[str]) -> None:
        super().__init__(detail)
        self.blocks = blocks


class TooLarge(Refusal):
    """The body is larger than the service takes at once."""
