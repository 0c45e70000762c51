"""What a slip says of its grades beside the figures, in words for a buyer who has never seen the service."""

from collections.abc import Sequence
from dataclasses import dataclass

Z90 = 1.6448536269514722
"""Normal quantile of a 90 % interval."""

_SIGNS = {
    "water_uptake_s": "how fast it takes up water",
    "bulk_density_g_cm3": "its density",
    "mud_shade": "the shade of its mud",
    "metal_share": "the share of metal in its mud",
    "strokes_to_mud": "how soon it gives mud",
}


@dataclass(frozen=True)
class Height:
    """What holds the height of one scale's grades: its check stones, and the sd of the club's level, in grades."""

    name: str
    n_check_stones: int
    level_sd: float


@dataclass(frozen=True)
class Doubt:
    """A scale on which the grade and the signs disagree. ``leading``: the sign that speaks loudest, if any."""

    name: str
    grade: float
    foretold: float
    leading: str | None
    step: float


def height_words(heights: Sequence[Height]) -> str:
    """Whether the grades mean the same outside the club. The bound printed is the widest of the scales' 90 % bounds."""
    held = [one for one in heights if one.n_check_stones]
    free = [one for one in heights if not one.n_check_stones]
    said = []
    if held:
        most = max(one.n_check_stones for one in held)
        what = "One stone of agreed grade keeps" if most == 1 else f"{most} stones of agreed grade keep"
        said.append(f"{what} the club’s scale{_which(held, heights)} in place, {_off(held)}.")
    if free:
        said.append(
            f"No stone of agreed grade keeps the club’s scale{_which(free, heights)} in place: its stones compare "
            f"with each other, {_off(free)}."
        )
    return " ".join(said)


def _which(some: Sequence[Height], whole: Sequence[Height]) -> str:
    if len(some) == len(whole):
        return ""
    return " for " + " and ".join(one.name.lower() for one in some)


def _off(heights: Sequence[Height]) -> str:
    bound = Z90 * max(one.level_sd for one in heights)
    return f"but all its grades together could lie up to {bound:.1f} higher or lower"


def doubt_words(doubts: Sequence[Doubt]) -> str:
    """Where what was noted of the stone contradicts a grade, a buyer hears of it.

    The pooling compares the two beyond the ends of the scale; a buyer is told only what is a step apart on it.
    """
    return " ".join(
        f"{one.name}: what was noted of the stone beside the grades"
        + (f", above all {_SIGNS.get(one.leading, one.leading.replace('_', ' '))}," if one.leading else "")
        + f" would suggest about {one.foretold:.1f}; its trials say {one.grade:.1f}. The grade is what the trials say."
        for one in doubts
        if abs(one.grade - one.foretold) >= one.step - 1e-9
    )
