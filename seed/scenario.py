"""The invented scenario: club, people, quarries, lots and blades.

Everything on this page is made up. There is no Alderbeck valley, none of these quarries was ever worked, and
no person here lives or lived. Nothing stands for a real maker, shop, brand, quarry or sharpener.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime

CLUB_NAME = "Alderbeck Bench Circle (invented)"
CONFIRM_DEPTH_MM = 1.0
PUBLISH_RULES = {"min_testers": 3, "min_steels": 2, "max_half_width": 0.5}
MADE_UP = "Invented for the demo club."

FOUNDED = datetime(2025, 9, 1, 18, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Person:
    """A member of the demo club. ``about`` is for readers of this page; it is not sent to the service."""

    key: str
    display_name: str
    roles: tuple[str, ...]
    about: str

    @property
    def password(self) -> str:
        """The demo password: printed by the loader, written here for all to read, never for a real club."""
        return f"wet-slate-{self.key}"


DEALER = Person(
    "edda", "Edda Thornquay", ("dealer", "tester"), "answers for the grades; does the intake inspections"
)

TESTERS = (
    Person("gwenda", "Gwenda Pellrigg", ("tester",), "severe: about two thirds of a step below the panel"),
    Person("jonah", "Jonah Reedmoss", ("tester",), "lenient: about two thirds of a step above the panel"),
    Person(
        "bram", "Bram Osterlow", ("tester",), "careless: two grades in five have little to do with the stone"
    ),
    Person("lisbet", "Lisbet Amberhow", ("tester",), "rarely varies: nearly everything gets a three"),
    Person("chiyo", "Chiyo Wendlemere", ("tester",), "steady: repeats herself within a half step"),
    Person("faraj", "Faraj Sallowden", ("tester",), "near the panel in everything"),
    Person("ines", "Inês Calderquist", ("tester",), "drifts: grew stricter as the months went by"),
    Person("kofi", "Kofi Larkmantle", ("tester",), "new: has sent few trials so far"),
)

PEOPLE = (DEALER, *TESTERS)


@dataclass(frozen=True)
class Lot:
    """A lot as it came in. ``code`` is also the prefix of its stones' codes."""

    code: str
    name: str
    quarry: str
    received_on: date
    notes: str


LOTS = (
    Lot(
        "TAR",
        "Tarrowgill slates, autumn pick",
        "Tarrowgill Level (invented)",
        date(2025, 9, 27),
        "Sawn by the lot, faces left as sawn; lap before judging.",
    ),
    Lot(
        "VEN",
        "Vennock novaculite blocks",
        "Vennock Delf (invented)",
        date(2025, 10, 18),
        "Dense, splash only. Two pieces came with skin on one face.",
    ),
    Lot(
        "QUA",
        "Quarlbank siltstones",
        "Quarlbank Pits (invented)",
        date(2025, 11, 8),
        "Layered and thirsty: sides and bottom want sealing before use.",
    ),
    Lot(
        "OSS",
        "Ossenfell garnet slate and schist",
        "Ossenfell Edge (invented)",
        date(2025, 12, 6),
        "Two beds from one face of the quarry; keep them apart.",
    ),
    Lot(
        "BRI",
        "Brindlehow sandstones",
        "Brindlehow Rake (invented)",
        date(2026, 1, 17),
        "Coarse stones for first shaping.",
    ),
    Lot(
        "ULL",
        "Ullanrake cherts and oddments",
        "Ullanrake Cutting (invented)",
        date(2026, 2, 21),
        "Small pieces and offcuts; several hand stones.",
    ),
)


@dataclass(frozen=True)
class Blade:
    """A reference blade of the club. ``hardness_hrc`` is what the club believes, not a certificate."""

    key: str
    name: str
    steel: str
    steel_name: str
    steel_class: str
    construction: str
    hardness_hrc: float | None
    form: str
    notes: str


WHITE = ("white_carbon", "Plain carbon, about 1.1 % C", "plain_carbon")
TUNGSTEN = ("tungsten_alloy", "Carbon with a little tungsten and chromium", "low_alloy")
SILVER = ("silver_steel", "Carbon with a little chromium, ground bright", "low_alloy")
STAINLESS = ("fine_stainless", "Fine stainless, 14 % Cr", "stainless")
POWDER = ("powder_high_alloy", "Powder steel, much vanadium", "powder")

# Every reference steel of the three default protocols has one blade.
BLADES = (
    Blade("k-white", "Club knife one", *WHITE, "laminated", 63.0, "knife", "Iron cladding shows contrast."),
    Blade("k-tungsten", "Club knife two", *TUNGSTEN, "laminated", 63.5, "knife", "Slower than knife one."),
    Blade(
        "k-stainless", "Club knife three", *STAINLESS, "mono", 59.5, "knife", "Slips on the hardest stones."
    ),
    Blade(
        "r-white", "Club razor one", *WHITE, "mono", 61.0, "razor", "Tape the spine the same way every time."
    ),
    Blade("r-silver", "Club razor two", *SILVER, "mono", 62.0, "razor", "Half hollow, an even bevel."),
    Blade(
        "r-stainless",
        "Club razor three",
        *STAINLESS,
        "mono",
        60.0,
        "razor",
        "Harder to please than razor one.",
    ),
    Blade(
        "p-tungsten", "Club plane iron one", *TUNGSTEN, "laminated", 63.0, "plane_iron", "Bevel 28 degrees."
    ),
    Blade(
        "p-powder", "Club plane iron two", *POWDER, "mono", 64.0, "plane_iron", "Only for stones that bite."
    ),
)
BLADE = {blade.key: blade for blade in BLADES}
