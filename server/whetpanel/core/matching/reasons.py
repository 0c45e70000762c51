"""What speaks for a stone, what against it and what is not certain, in sentences for whoever stands at the counter."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from whetpanel.core.matching.needs import STEP_LEAST, STEP_MOST
from whetpanel.core.matching.rank import EVEN, LIKELY, Matched, Need, StoneFacts, Wish

OFF = {
    "finish": ("coarser", "finer"),
    "skill": ("harder to use", "easier to use"),
    "hardness": ("softer", "harder"),
}


@dataclass(frozen=True)
class Reasons:
    """Sentences, the weightiest first."""

    speaks_for: tuple[str, ...]
    against: tuple[str, ...]
    uncertain: tuple[str, ...]


@dataclass(frozen=True)
class Evidence:
    """What a stone's grades rest on, and what the club asks before it publishes a grade."""

    n_trials: int
    n_testers: int
    half_width: float
    min_testers: int
    max_half_width: float
    published: bool
    tried_with: tuple[bool | None, ...]
    """For each blade: whether this stone was tried with that very steel; None where the club never tried the steel."""
    reserved: bool = False
    offered: bool = True

    @property
    def thin(self) -> tuple[str, ...]:
        """In what the evidence falls short, empty if it does not."""
        short = []
        if self.n_testers < self.min_testers:
            short.append(
                f"Tried {_times(self.n_trials)} by {_people(self.n_testers)}; the club publishes from "
                f"{self.min_testers} testers on."
            )
        if self.half_width > self.max_half_width:
            short.append(
                f"Its grades are known to ± {self.half_width:.2f} only; the club publishes at "
                f"± {self.max_half_width:g}."
            )
        return tuple(short)


def odds(p: float) -> str:
    """A probability in plain words: what happens in so many of ten like cases."""
    if p >= 0.95:
        return "nearly certain"
    if p < 0.005:
        return "all but ruled out"
    if p < 0.05:
        return "less than 1 in 20"
    return f"about {min(max(round(10 * p), 1), 9)} in 10"


def band_words(low: float, high: float) -> str:
    """A band as text: "2.75 to 4.25", "3.75 or more", "2.25 or less"."""
    if math.isinf(low) and math.isinf(high):
        return "anything"
    if math.isinf(high):
        return f"{low:g} or more"
    if math.isinf(low):
        return f"{high:g} or less"
    return f"{low:g} to {high:g}"


def reasons(
    wish: Wish,
    facts: StoneFacts,
    matched: Matched,
    stone: int,
    names: dict[str, str],
    blades: Sequence[str],
    evidence: Evidence,
) -> Reasons:
    """Why a stone stands where it stands. ``names``: scale id → its name; ``blades``: how each blade is called."""
    good: list[tuple[float, str]] = []
    bad: list[tuple[float, str]] = []
    open_: list[tuple[float, str]] = []
    alike = _alike(matched, stone, names, len(blades))
    good += alike.values()
    for need, by_stone in zip(matched.needs, matched.by_need, strict=True):
        if need.wish in alike:
            continue
        p = float(by_stone[stone])
        text = _need(need, p, float(matched.mean[need.scale][stone, need.blade]), names, blades)
        (good if p >= LIKELY else open_ if p >= EVEN else bad).append((abs(p - 0.5), text))
    if wish.owned_um is not None and "step" not in wish.waived:
        p = float(matched.step[stone])
        text = _step(wish.owned_um, facts, p, bool(matched.estimated[stone]))
        (good if p >= LIKELY else open_ if p >= EVEN else bad).append((abs(p - 0.5), text))
    for yes, text in _price_and_size(wish, facts, matched, stone):
        (good if yes else bad if yes is False else open_).append((0.4 if yes is not None else 0.1, text))
    unsure = [text for _, text in sorted(open_, key=lambda one: -one[0])]
    unsure += evidence.thin
    unsure += [
        f"Nobody tried this stone with {name} yet; the other blades speak for it."
        for name, tried in zip(blades, evidence.tried_with, strict=True)
        if tried is False
    ]
    if not evidence.published:
        unsure.append("Its grade is not published.")
    against = [text for _, text in sorted(bad, key=lambda one: -one[0])]
    if evidence.reserved:
        against.append("It is reserved for somebody: ask before you offer it.")
    elif not evidence.offered:
        unsure.append("Nobody noted whether it is for sale.")
    return Reasons(
        tuple(text for _, text in sorted(good, key=lambda one: -one[0])), tuple(against), tuple(unsure)
    )


def _alike(
    matched: Matched, stone: int, names: dict[str, str], n_blades: int
) -> dict[str, tuple[float, str]]:
    """One sentence for each wish that is likely met for every one of several blades."""
    found: dict[str, tuple[float, str]] = {}
    for wish in OFF if n_blades > 1 else ():
        of_it = [
            (need, float(p[stone]))
            for need, p in zip(matched.needs, matched.by_need, strict=True)
            if need.wish == wish
        ]
        if of_it and all(p >= LIKELY for _, p in of_it):
            least = min(p for _, p in of_it)
            name = names[of_it[0][0].scale]
            found[wish] = (
                least - 0.5,
                f"{name} is right for each of the blades: {odds(least)} at the least.",
            )
    return found


def _need(need: Need, p: float, mean: float, names: dict[str, str], blades: Sequence[str]) -> str:
    below, above = OFF[need.wish]
    where = f" with {blades[need.blade]}" if blades[need.blade] else ""
    asked = band_words(need.low, need.high)
    if p >= LIKELY:
        return f"{names[need.scale]}{where} lies in {asked}: {odds(p)}."
    way = below if mean < need.low else above if mean > need.high else ""
    lean = f" It is likelier {way}." if way else " It is close to the edge of it, or not known well enough."
    return f"{names[need.scale]}{where} in {asked}: {odds(p)}.{lean}"


def _step(owned_um: float, facts: StoneFacts, p: float, estimated: bool) -> str:
    if estimated and not math.isfinite(facts.grain.mean):
        told = (
            "Nobody noted its scratches, so the step from the stone owned is judged by stones as fine as it"
        )
        return f"{told}: {odds(p)}."
    um = 2.0**facts.grain.mean
    times = owned_um / um
    told = f"Its scratches are like those of {um:.1f} µm grain, {times:.1f} times finer than the stone owned"
    if p >= LIKELY:
        return f"{told}: a sensible step."
    if times < STEP_LEAST:
        return f"{told}: hardly a step ({odds(p)} that it is one)."
    if times > STEP_MOST:
        return f"{told}: a wide jump ({odds(p)} that it is not too wide)."
    return f"{told}: {odds(p)} that the step is a sensible one."


def _price_and_size(
    wish: Wish, facts: StoneFacts, matched: Matched, stone: int
) -> list[tuple[bool | None, str]]:
    told: list[tuple[bool | None, str]] = []
    if facts.price is None:
        told.append((None, "It has no price yet."))
    elif wish.budget is not None and "budget" not in wish.waived:
        if facts.currency != wish.currency:
            told.append((None, f"Its price is in {facts.currency}, the budget in {wish.currency}."))
        elif matched.affordable[stone]:
            told.append((True, "It is within the budget."))
        else:
            told.append(
                (False, f"It costs {facts.price - wish.budget:g} {wish.currency} more than the budget.")
            )
    if "size" not in wish.waived:
        if not matched.fitting[stone]:
            told.append((False, "It is not of the size wanted."))
        elif wish.max_mass_g is not None and facts.mass_g is None:
            told.append((None, "Nobody weighed it."))
    return told


def _times(n: int) -> str:
    return "once" if n == 1 else f"{n} times"


def _people(n: int) -> str:
    return "one tester" if n == 1 else f"{n} testers"
