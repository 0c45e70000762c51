"""Every model, so that one import fills the metadata."""

from .base import Base
from .clubs import Club, ClubRevision, Consent, Invitation, Member, SignIn, WrongTry
from .inspections import Finding, Inspection
from .journal import JournalEntry
from .offers import Offer, Shortlist
from .photos import Photo, PhotoBytes, PhotoPiece
from .plans import Assignment, HandOver
from .pools import PoolResult
from .protocols import Protocol, RuleSet
from .repairs import Lapping, Repair
from .slips import Slip
from .stones import Blade, Lot, Stone
from .trials import CheckStone, Trial, TrialGrade

__all__ = [
    "Assignment", "Base", "Blade", "CheckStone", "Club", "ClubRevision", "Consent", "Finding", "HandOver",
    "Inspection", "Invitation", "JournalEntry", "Lapping", "Lot", "Member", "Offer", "Photo", "PhotoBytes",
    "PhotoPiece", "PoolResult", "Protocol", "Repair", "RuleSet", "Shortlist", "SignIn", "Slip", "Stone",
    "Trial", "TrialGrade", "WrongTry",
]  # fmt: skip

RECORDS = {
    model.THING: model
    for model in (
        Club,
        Member,
        Lot,
        Stone,
        Blade,
        Protocol,
        RuleSet,
        Inspection,
        Repair,
        Lapping,
        Trial,
        CheckStone,
        Slip,
        Assignment,
        HandOver,
        Offer,
        Consent,
        Shortlist,
    )
}
"""Kinds of record, each after those it points to."""
