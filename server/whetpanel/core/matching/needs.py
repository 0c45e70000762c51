"""What a buyer's words ask of a stone: bands on the graded scales, in tables that can be read and argued about.

All of it is common practice of the trade with no published source, save that a hard workpiece wants a bond that gives
up its grains and a soft one a bond that holds them, and that a wide contact wants a softer bond than a narrow one:
that much is general grinding practice. Bands are written for scales from 1 to 5 and stretched to a scale's own ends;
an end that is None is open, for a stone beyond the last grade of a scale is not too far along it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from whetpanel.core.steels import BY_KEY, CLASSES, class_hardness


@dataclass(frozen=True)
class Band:
    """From ``low`` to ``high`` on a scale from 1 to 5; None: open."""

    low: float | None
    high: float | None
    reason: str

    def on(self, low: float, high: float) -> tuple[float, float]:
        """The band on a scale with these ends, infinite where it is open."""
        unit = (high - low) / 4.0
        return (
            -np.inf if self.low is None else low + (self.low - 1.0) * unit,
            np.inf if self.high is None else low + (self.high - 1.0) * unit,
        )


@dataclass(frozen=True)
class Finish:
    """A finish wanted, in a buyer's words, with the band of fineness it asks for and the grits it is about as fine as.

    grits   JIS R 6001 numbers, coarse to fine; the standard ends at 8000
    """

    key: str
    purpose: str
    words: str
    means: str
    band: Band
    grits: tuple[int, int]


FINISHES: tuple[Finish, ...] = (
    Finish(
        "new_bevel", "knife", "A new bevel, quickly",
        "Coarse scratches, plain to the eye. Another stone follows.",
        Band(None, 2.25, "A bevel is set with a coarse stone."), (240, 1000),
    ),
    Finish(
        "toothy", "knife", "A toothy kitchen edge",
        "It bites into skins and crusts; an even pattern to the eye.",
        Band(1.75, 3.25, "Too fine a stone takes the teeth off."), (800, 3000),
    ),
    Finish(
        "clean", "knife", "A clean kitchen edge",
        "It slices without tearing; a haze to the eye, lines only through the loupe.",
        Band(2.75, 4.25, "Fine enough to slice, not so fine that it slides."), (2000, 6000),
    ),
    Finish(
        "polished", "knife", "A polished slicing edge",
        "For raw fish and fine slices; hardly a line through the loupe.",
        Band(3.75, None, "The last stone for a slicing edge is a very fine one."), (4000, 8000),
    ),
    Finish(
        "before_finish", "razor", "The stone before the finisher",
        "It takes out the lines of the bevel stone.",
        Band(1.75, 3.25, "It must be finer than a bevel stone and coarser than the finisher."), (6000, 8000),
    ),
    Finish(
        "shaving", "razor", "A smooth shaving edge",
        "Shallower lines than a #8000 leaves, the edge clean.",
        Band(3.25, None, "A finisher leaves lines finer than it was given."), (8000, 8000),
    ),
    Finish(
        "finest", "razor", "The finest edge there is",
        "No line through the loupe, the edge unbroken.",
        Band(4.25, None, "Only the finest stones leave no line."), (8000, 8000),
    ),
    Finish(
        "working", "plane_iron", "A working edge",
        "For joinery: fine lines through the loupe, quickly done.",
        Band(2.25, 3.75, "Fine enough for planing, coarse enough to be quick."), (1000, 4000),
    ),
    Finish(
        "tool_polish", "plane_iron", "A polished tool edge",
        "For end grain and last strokes: faint lines at most.",
        Band(3.75, None, "A surface straight from the plane shows every line of the iron."), (4000, 8000),
    ),
)  # fmt: skip

FINISH: dict[str, Finish] = {finish.key: finish for finish in FINISHES}


@dataclass(frozen=True)
class Skill:
    """A buyer's hand, and the least ease of use that suits it."""

    key: str
    words: str
    band: Band


SKILLS: tuple[Skill, ...] = (
    Skill(
        "learning", "Learning", Band(3.5, None, "A beginner needs a stone that forgives pressure and water.")
    ),
    Skill("practised", "Practised", Band(2.5, None, "Ordinary care must be enough.")),
    Skill(
        "experienced", "Experienced", Band(1.5, None, "A demanding stone is fine; one that fights is not.")
    ),
)
SKILL: dict[str, Skill] = {skill.key: skill for skill in SKILLS}

BEVELS: dict[str, str] = {
    "narrow": "Narrow, under 1 mm",
    "ordinary": "Ordinary, 1 to 5 mm",
    "wide": "Wide, over 5 mm",
}

STONE_FOR: dict[tuple[str, str], Band] = {
    ("knife", "narrow"): Band(2.5, None, "A narrow bevel digs into a soft face."),
    ("knife", "ordinary"): Band(1.75, 4.75, "An ordinary bevel works on all but the extremes."),
    ("knife", "wide"): Band(1.5, 4.0, "A wide bevel wants mud to even its look, and slips on the hardest stones."),
    ("razor", "narrow"): Band(2.75, None, "A razor's own weight rounds its edge in a soft face."),
    ("razor", "ordinary"): Band(2.75, None, "A razor's own weight rounds its edge in a soft face."),
    ("razor", "wide"): Band(2.5, None, "A wedge's wide bevel bears less hard on the face."),
    ("plane_iron", "narrow"): Band(2.5, None, "A small bevel digs into a soft face."),
    ("plane_iron", "ordinary"): Band(2.25, 4.75, "The face must stay flat under the iron."),
    ("plane_iron", "wide"): Band(2.0, 4.25, "A wide bevel slips on the hardest stones and hollows soft ones."),
}  # fmt: skip
"""Hardness of the stone by purpose and bevel, before the steel has its say."""

HARD_HRC = 63.0
SOFT_HRC = 57.0
HARD_STEEL = Band(
    None, 4.25, "Hard steel dulls the grains: the stone must give up a few, or it glazes and slips."
)
CARBIDE_STEEL = Band(None, 4.25, "Steel full of hard carbides slips on stones that give up no grain.")
SOFT_STEEL = Band(
    2.25, None, "Soft steel wears grains little: a stone that holds them cuts without ploughing."
)
LIGHT_TOUCH = ("razor",)
"""Purposes whose blades bear so lightly that the steel's hardness does not choose the stone's."""


@dataclass(frozen=True)
class BuyerBlade:
    """A blade as its owner tells of it. ``steel``: a key of steels.STEELS or of the club; None: not known."""

    name: str
    steel: str | None
    steel_class: str | None
    hrc: float | None
    bevel: str


def blade_hardness(blade: BuyerBlade, steel_class: str | None) -> tuple[float, float, str] | None:
    """The blade's hardness as a range, HRC, and where it is from; None if nothing tells."""
    if blade.hrc is not None:
        return blade.hrc, blade.hrc, "as you said"
    listed = BY_KEY.get(blade.steel or "")
    if listed is not None:
        return listed.hrc_low, listed.hrc_high, f"usual for {listed.designations[0]}"
    if steel_class in CLASSES:
        return *class_hardness(steel_class), "usual for its class"
    return None


@dataclass(frozen=True)
class HardnessNeed:
    """How hard a stone suits a blade, and every reason that made it so."""

    band: Band
    reasons: tuple[str, ...]


def stone_hardness(blade: BuyerBlade, purpose: str, steel_class: str | None) -> HardnessNeed:
    """The bevel's band, narrowed by the steel where the whole range of its hardness says so."""
    base = STONE_FOR[purpose, blade.bevel]
    low, high, reasons = base.low, base.high, [base.reason]
    if purpose not in LIGHT_TOUCH:
        hrc = blade_hardness(blade, steel_class)
        rules = []
        if hrc is not None and hrc[0] >= HARD_HRC:
            rules.append(HARD_STEEL)
        elif steel_class in ("high_alloy", "powder"):
            rules.append(CARBIDE_STEEL)
        if hrc is not None and hrc[1] < SOFT_HRC:
            rules.append(SOFT_STEEL)
        for rule in rules:
            low = rule.low if low is None else max(low, rule.low or low)
            high = rule.high if high is None else min(high, rule.high or high)
            reasons.append(rule.reason)
    return HardnessNeed(Band(low, high, base.reason), tuple(reasons))


STEP_LEAST = 1.25
"""Coarser, equal, or finer by less than this: no step. Neighbouring grades of a standard differ by this much."""
STEP_MOST = 6.0
"""A grain more than this many times finer takes too long to remove the scratches of the stone before it."""
STEP_REASON = (
    f"A next stone has a grain {STEP_LEAST:g} to {STEP_MOST:g} times finer: less is no step, "
    "more takes too long to remove the scratches."
)


FINEST_UM = 1.2
"""Where the standards end (JIS R 6001 #8000, FEPA F2000): nothing finer has a size."""


def finer_has_no_size(owned_um: float) -> bool:
    """Whether a step from this size would lead past the end of every standard: then only the fineness can tell."""
    return owned_um < STEP_LEAST * FINEST_UM


@dataclass(frozen=True)
class GrainEvidence:
    """What trials say of the size of a stone's scratches, as log2 µm: mean and variance of n noted bands.

    ``beyond``: how many of them lie past the end of their standard, where numbers have no size.
    """

    n: int
    mean: float
    var: float
    beyond: int

    @property
    def usable(self) -> bool:
        """Whether at least half of the noted bands have a size."""
        return self.n >= 2 * self.beyond and self.n > self.beyond


def grain_evidence(mids: Sequence[Sequence[float]], beyond: Sequence[int]) -> list[GrainEvidence]:
    """Each stone's grain from the middles of the bands noted for it, log2 µm; ``beyond`` counts bands without a size.

    The scatter of one note about its stone's mean is common to all stones: the pooled within-stone variance, begun
    with two notes' worth of half an octave, so that a few notes cannot claim to be exact.
    """
    squares, freedom = 2.0 * 0.5**2, 2.0
    for noted in mids:
        if len(noted) > 1:
            squares += float(np.var(noted)) * len(noted)
            freedom += len(noted) - 1
    scatter = squares / freedom
    return [
        GrainEvidence(
            len(noted) + past,
            float(np.mean(noted)) if len(noted) else float("nan"),
            scatter / len(noted) if len(noted) else float("inf"),
            past,
        )
        for noted, past in zip(mids, beyond, strict=True)
    ]
