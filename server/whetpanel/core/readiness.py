"""When a pooled grade may be published, and what stands in the way, in sentences for the dealer."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from whetpanel.core.depth import FaceGone
from whetpanel.core.soundness.work import BLOCKS_PUBLICATION, WorkItem


@dataclass(frozen=True)
class PublishRules:
    """A club's own: so many testers and steels, and 90 % intervals no wider than twice the half width (grades)."""

    min_testers: int
    min_steels: int
    max_half_width: float


@dataclass(frozen=True)
class Readiness:
    """``blocks`` is empty when the grade may be published."""

    blocks: tuple[str, ...]

    @property
    def ready(self) -> bool:
        """Whether nothing stands in the way."""
        return not self.blocks


def half_width(grade: Mapping[str, Any]) -> float:
    """Half of a 90 % interval, in grades. At an end of the scale the interval is cut off there and so narrower."""
    return float(grade["high90"] - grade["low90"]) / 2


def confirm_words(gone: FaceGone) -> str:
    """That a face has gone down too far to stand by its grades, and what to do."""
    how = "lapped off" if gone.lapped else "gone from"
    return f"{gone.gone_mm:.1f} mm are {how} the {gone.face} since it was last tried: ask for one confirming trial."


def main_groups(scales: Sequence[Mapping[str, Any]]) -> dict[str, int]:
    """Scale id → the group that most of the tried stones belong to, the first of equals.

    A few stones that share no tester with the rest are held up themselves; they do not hold up everybody else's.
    """
    found = {}
    for scale in scales:
        sizes = Counter(stone["group"] for stone in scale["stones"] if stone["n_trials"])
        found[scale["scale"]] = min(sizes, key=lambda group: (-sizes[group], group), default=0)
    return found


def stands_apart(grades: Sequence[Mapping[str, Any]], main: Mapping[str, int]) -> bool:
    """Whether a stone lies outside the main group on a scale on which it was tried. ``main``: see main_groups."""
    return any(grade["n_trials"] and grade["group"] != main[grade["scale"]] for grade in grades)


def readiness(
    grades: Sequence[Mapping[str, Any]],
    work: Sequence[WorkItem],
    rules: PublishRules,
    apart: bool = False,
    worn: Sequence[FaceGone] = (),
) -> Readiness:
    """What stands between a stone and its slip.

    Parameters
    ----------
    grades    one for each scale of the purpose: name, n_testers, n_steels, low90, high90
    work      the stone's open work
    apart     whether no shared tester links it to most of the club's stones: its grade would not mean what theirs mean
    worn      its faces that have gone past the club's depth since they were last tried

    Notes
    -----
    Common practice, no source: several testers and at least two steels, and no repair outstanding that must be done
    before the stone is used.
    """
    blocks: list[str] = []
    if not grades or all(grade["n_trials"] == 0 for grade in grades):
        return Readiness(("Nobody has tried this stone for this purpose yet: ask for a first trial.",))
    testers = min(grade["n_testers"] for grade in grades)
    steels = min(grade["n_steels"] for grade in grades)
    if testers < rules.min_testers:
        blocks.append(
            f"{testers} of {rules.min_testers} testers have tried it: ask {rules.min_testers - testers} more."
        )
    if steels < rules.min_steels:
        blocks.append(
            f"{steels} of {rules.min_steels} steels were tried: try it with {rules.min_steels - steels} more."
        )
    for grade in grades:
        if half_width(grade) > rules.max_half_width:
            blocks.append(
                f"{grade['name']} is known to ± {half_width(grade):.2f}, the club asks for "
                f"± {rules.max_half_width:g}: more trials narrow it."
            )
    blocks += [
        f"{item.verdict.capitalize()} ({item.face}): {item.because}"
        for item in work
        if item.urgency in BLOCKS_PUBLICATION
    ]
    blocks += [confirm_words(gone) for gone in worn]
    if apart:
        blocks.append(
            "No shared tester links it to most of your stones, so its grade does not stand beside theirs: ask for a "
            "linking trial."
        )
    return Readiness(tuple(blocks))
