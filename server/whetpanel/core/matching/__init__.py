"""Stones for a buyer's blades: what is asked of a stone, the probability that it has it, and why."""

from whetpanel.core.matching.laws import CLASS_SHARE, StoneLaws, blade_laws
from whetpanel.core.matching.needs import (
    BEVELS,
    FINISH,
    FINISHES,
    SKILL,
    SKILLS,
    STEP_REASON,
    Band,
    BuyerBlade,
    GrainEvidence,
    grain_evidence,
)
from whetpanel.core.matching.rank import (
    EVEN,
    LIKELY,
    WISHES,
    Matched,
    Need,
    Relaxed,
    StoneFacts,
    Wish,
    match,
)
from whetpanel.core.matching.reasons import Evidence, Reasons, band_words, odds, reasons

__all__ = [
    "BEVELS",
    "CLASS_SHARE",
    "EVEN",
    "FINISH",
    "FINISHES",
    "LIKELY",
    "SKILL",
    "SKILLS",
    "STEP_REASON",
    "WISHES",
    "Band",
    "BuyerBlade",
    "Evidence",
    "GrainEvidence",
    "Matched",
    "Need",
    "Reasons",
    "Relaxed",
    "StoneFacts",
    "StoneLaws",
    "Wish",
    "band_words",
    "blade_laws",
    "grain_evidence",
    "match",
    "odds",
    "reasons",
]
