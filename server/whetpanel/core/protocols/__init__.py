"""Protocols: their shape, what makes one unusable, and the three that a new club starts with.

The default protocols are data of our own making, from common practice of the trade. A steward changes them in
the club; nothing here is read again once a club has its own records.
"""

from .knife import knife_protocol
from .plane_iron import plane_iron_protocol
from .razor import razor_protocol
from .shape import (
    HAVE_READY,
    PURPOSES,
    Caution,
    Choice,
    Condition,
    Counter,
    Observation,
    ObservationKind,
    Protocol,
    Purpose,
    Scale,
    Step,
    protocol_faults,
)

__all__ = [
    "HAVE_READY",
    "PURPOSES",
    "Caution",
    "Choice",
    "Condition",
    "Counter",
    "Observation",
    "ObservationKind",
    "Protocol",
    "Purpose",
    "Scale",
    "Step",
    "default_protocols",
    "protocol_faults",
]


def default_protocols() -> dict[Purpose, Protocol]:
    """The protocols a new club starts with, by purpose: fresh copies, the caller's own to change."""
    return {"knife": knife_protocol(), "razor": razor_protocol(), "plane_iron": plane_iron_protocol()}
