"""The invented club's trade: prices, who has which stone, what is asked of whom, and what was published.

Prices are made up: so much for a litre of stone by its kind, more for a fine one. They stand for no market.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from .ids import demo_id
from .records import Ids, stamp
from .scenario import MADE_UP, PEOPLE, Person
from .stones import STONES, Stone

CURRENCY = "EUR"
PER_LITRE = {
    "slate": 90.0, "novaculite": 190.0, "schist": 110.0, "sandstone": 45.0, "siltstone": 60.0,
    "garnet_slate": 240.0, "chert": 120.0, "other": 80.0,
}  # fmt: skip

KEPT_BACK = {"TAR-04": "Kept as the club's own reference for medium slates."}
RESERVED = ("TAR-06",)
PUBLISHED = (
    ("BRI-02", "knife"), ("OSS-02", "knife"), ("TAR-01", "knife"), ("QUA-06", "knife"), ("TAR-02", "razor"),
)  # fmt: skip
"""Stones that the default rule lets the dealer publish as the records stand; loaded in full, that is tested."""

WITH = {"TAR-03": "gwenda", "VEN-04": "chiyo", "OSS-01": "gwenda"}
ASKED = (("BRI-05", "gwenda", "knife"), ("OSS-03", "faraj", "knife"), ("QUA-08", "chiyo", "razor"))
AGREED = ("gwenda", "chiyo")
"""Members whose names slips may show."""

SETTLED = datetime(2026, 9, 5, 18, 0, tzinfo=UTC)


def price_of(stone: Stone) -> float:
    """What is asked for a stone, to the whole unit."""
    litres = stone.length_mm * stone.width_mm * stone.thickness_mm / 1e6
    return float(round(PER_LITRE[stone.kind] * litres * (0.6 + 0.2 * stone.fineness)))


def offer_record(stone: Stone, ids: Ids) -> dict[str, Any]:
    """A stone's offer; it cost a good third of what is asked."""
    price = price_of(stone)
    state = "kept_back" if stone.code in KEPT_BACK else "reserved" if stone.code in RESERVED else "for_sale"
    return {
        "stone_id": ids.stone(stone),
        "state": state,
        "cost": float(round(0.4 * price)),
        "price": price,
        "currency": CURRENCY,
        "notes": KEPT_BACK.get(stone.code, ""),
        "recorded_at": stamp(SETTLED),
    }


@dataclass(frozen=True)
class Step:
    """One record of the trade: where it goes and what it says."""

    thing: str
    record_id: str
    record: dict[str, Any]


def steps(club: str, ids: Ids, codes: set[str]) -> Iterator[Step]:
    """Hand-overs, asked trials and slips of the stones that are loaded, in the order of their need."""
    stones = {stone.code: stone for stone in STONES if stone.code in codes}
    people: dict[str, Person] = {person.key: person for person in PEOPLE}

    def own_id(thing: str, key: str) -> str:
        return demo_id(club, thing, key, SETTLED)

    for code, tester in WITH.items():
        if code in stones:
            record = {
                "stone_id": ids.stone(stones[code]), "holder_id": ids.member(people[tester]),
                "handed_at": stamp(SETTLED), "notes": MADE_UP, "recorded_at": stamp(SETTLED),
            }  # fmt: skip
            yield Step("hand-overs", own_id("hand_over", code), record)
    for code, tester, purpose in ASKED:
        if code in stones:
            record = {
                "stone_id": ids.stone(stones[code]), "tester_id": ids.member(people[tester]), "purpose": purpose,
                "steel": None, "due_on": None, "notes": MADE_UP, "recorded_at": stamp(SETTLED),
            }  # fmt: skip
            yield Step("assignments", own_id("assignment", f"{code} {purpose}"), record)


def slips(club: str, ids: Ids) -> Iterator[Step]:
    """What was published. The service works the grades out; a slip it holds already stays as it was issued."""
    stones = {stone.code: stone for stone in STONES}
    for code, purpose in PUBLISHED:
        record = {
            "stone_id": ids.stone(stones[code]), "purpose": purpose, "override_reason": None, "notes": MADE_UP,
            "recorded_at": stamp(SETTLED),
        }  # fmt: skip
        yield Step("slips", demo_id(club, "slip", f"{code} {purpose}", SETTLED), record)
