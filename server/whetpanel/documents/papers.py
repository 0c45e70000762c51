"""The papers we lay out for. A sheet that is scaled to fit loses its margins and its ruler's ease."""

from enum import StrEnum

from ..errors import FieldError, Invalid


class Paper(StrEnum):
    """A4 (ISO 216: 210 × 297 mm) or US Letter (ANSI/ASME Y14.1 size A: 8.5 × 11 in)."""

    A4 = "a4"
    LETTER = "letter"

    @classmethod
    def named(cls, name: str) -> "Paper":
        """The paper of that name. Raises Invalid, naming the papers there are."""
        try:
            return cls(name)
        except ValueError:
            known = " or ".join(repr(str(paper)) for paper in cls)
            detail = f"There is no paper {name!r} here; choose {known}."
            raise Invalid(detail, [FieldError("paper", detail)]) from None
