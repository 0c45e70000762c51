"""Numbers and words as they stand in a sentence. The phone writes the same characters."""

import math

UNKNOWN = "not known"


def round4(x: float) -> float:
    """Round to 0.0001, halves upward.

    Facts are rounded before a rule sees them: the last bits of a sine differ between machines, and a
    threshold must not fall differently on the phone than on the server.
    """
    return math.floor(x * 10000 + 0.5) / 10000


def say(value: object) -> str:
    """A fact as words: three figures or so for numbers, yes and no, spaces instead of underscores."""
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return say_number(float(value))
    return str(value).replace("_", " ")


def say_number(x: float) -> str:
    """Whole from 100 up, one decimal from 10 up, else two; trailing zeros left out; a true minus sign."""
    size = abs(x)
    digits = 0 if size >= 100 else 1 if size >= 10 else 2
    n = math.floor(size * 10**digits + 0.5)
    whole, rest = divmod(n, 10**digits)
    fraction = str(rest).rjust(digits, "0").rstrip("0") if digits else ""
    return ("−" if x < 0 and n else "") + str(whole) + ("." + fraction if fraction else "")
