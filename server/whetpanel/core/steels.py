"""Common blade steels by composition class, and which of a club's steels speaks for a buyer's.

Steels are named as open standards name them: numbers of EN 10027-2, names of EN ISO 4957 (tool steels), EN 10088 and
EN 10132, the older AISI and SAE designations, and JIS G 4401, 4403, 4404, 4303 and 4805. That they stand for about
the same steel is from memory. The hardness is what blades of the steel usually have: common practice, no source.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

CLASSES: dict[str, str] = {
    "plain_carbon": "Plain carbon",
    "low_alloy": "Carbon with a little alloy",
    "stainless": "Stainless",
    "high_alloy": "High alloy and high speed",
    "powder": "Powder metallurgy",
}
"""Composition classes, in the order of how hard and plentiful their carbides are."""


@dataclass(frozen=True)
class Steel:
    """One steel type. ``designations``: the same steel in other standards; HRC: what blades usually have."""

    key: str
    designations: tuple[str, ...]
    steel_class: str
    hrc_low: float
    hrc_high: float

    @property
    def name(self) -> str:
        """The designations as a line of text."""
        return " · ".join(self.designations)


def _steel(steel_class: str, hrc: tuple[float, float], *designations: str) -> Steel:
    return Steel(_key(designations[0]), designations, steel_class, *hrc)


def _key(designation: str) -> str:
    return "s_" + re.sub(r"[^a-z0-9]+", "_", designation.lower()).strip("_")


STEELS: tuple[Steel, ...] = (
    _steel("plain_carbon", (54, 59), "C60E", "1.1221", "SAE 1060"),
    _steel("plain_carbon", (56, 60), "C75S", "1.1248", "SAE 1075"),
    _steel("plain_carbon", (58, 63), "C100S", "1.1274", "SAE 1095"),
    _steel("plain_carbon", (59, 64), "C105U", "C105", "1.1545", "W1", "SK105"),
    _steel("plain_carbon", (61, 65), "C120U", "1.1555", "W1 (1.2 % C)", "SK120"),
    _steel("low_alloy", (54, 58), "51CrV4", "1.8159", "SAE 6150", "SUP10"),
    _steel("low_alloy", (58, 63), "100MnCrW4", "1.2510", "O1", "SKS3"),
    _steel("low_alloy", (58, 62), "90MnCrV8", "1.2842", "O2"),
    _steel("low_alloy", (59, 64), "115CrV3", "1.2210"),
    _steel("low_alloy", (59, 64), "100Cr6", "1.3505", "SAE 52100", "SUJ2"),
    _steel("low_alloy", (60, 64), "105WCr6", "1.2419", "SKS31"),
    _steel("low_alloy", (62, 66), "142WV13", "1.2562"),
    _steel("stainless", (50, 55), "X30Cr13", "1.4028", "420", "SUS420J2", "420J2"),
    _steel("stainless", (52, 57), "X46Cr13", "1.4034"),
    _steel("stainless", (54, 58), "X50CrMoV15", "1.4116"),
    _steel("stainless", (55, 59), "X55CrMo14", "1.4110"),
    _steel("stainless", (56, 59), "X70CrMo15", "1.4109", "440A", "SUS440A"),
    _steel("stainless", (56, 60), "X90CrMoV18", "1.4112", "440B", "SUS440B"),
    _steel("stainless", (58, 61), "X105CrMo17", "1.4125", "440C", "SUS440C"),
    _steel("high_alloy", (57, 62), "X100CrMoV5", "1.2363", "A2", "SKD12"),
    _steel("high_alloy", (58, 63), "X210Cr12", "1.2080", "D3", "SKD1"),
    _steel("high_alloy", (58, 62), "X153CrMoV12", "1.2379", "D2", "SKD11"),
    _steel("high_alloy", (61, 65), "HS6-5-2", "1.3339", "M2", "SKH51"),
    _steel("high_alloy", (61, 65), "HS18-0-1", "1.3355", "T1", "SKH2"),
    _steel("powder", (61, 65), "PM HS6-5-3", "1.3395", "M3:2 (powder)", "SKH53 (powder)"),
    _steel("powder", (61, 65), "PM HS6-5-4", "1.3361", "M4 (powder)", "SKH54 (powder)"),
    _steel("powder", (64, 67), "PM HS6-5-3-8", "1.3294", "SKH40"),
    _steel("powder", (59, 63), "A11 (powder)"),
)
"""By class, then by what blades of them usually reach. "(powder)" where the designation itself does not say so."""

BY_KEY: dict[str, Steel] = {steel.key: steel for steel in STEELS}


def class_hardness(steel_class: str) -> tuple[float, float]:
    """Usual hardness of blades of a class, HRC: from the softest to the hardest of its listed steels."""
    of_class = [steel for steel in STEELS if steel.steel_class == steel_class]
    return min(s.hrc_low for s in of_class), max(s.hrc_high for s in of_class)


@dataclass(frozen=True)
class ClubSteel:
    """A steel of the club's reference blades: the key its trials are pooled by, its name and its class."""

    key: str
    name: str
    steel_class: str


@dataclass(frozen=True)
class SteelMap:
    """Which of the club's steels speak for a buyer's.

    how     "same": the club tried this very steel; "class": steels of its composition class; "any": none of them
            does, so it is a steel like any other
    steels  the club's steels it leans on; one for "same", none for "any"
    """

    how: str
    steels: tuple[str, ...]
    steel_class: str | None


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", text.lower().removeprefix("sae ").removeprefix("aisi "))


def same_as(steel: Steel, club: ClubSteel) -> bool:
    """Whether a club's steel is this one: its key or name is one of the designations, spelled in whatever way."""
    ours = {_plain(one) for one in (steel.key.removeprefix("s_"), *steel.designations)}
    return _plain(club.key) in ours or any(
        _plain(part) in ours for part in (club.name, *re.split(r"[/·,;()]", club.name))
    )


def map_steel(
    steel: str | None, steel_class: str | None, tried: Iterable[ClubSteel], *, known: Iterable[ClubSteel] = ()
) -> SteelMap:
    """Which of the club's tried steels speak for a steel given by key (of ``STEELS`` or of the club), or by class.

    ``tried``: the steels with trials for this purpose; ``known``: all the club's steels, so that one without a trial
    still tells its class. A key nobody knows counts as not known.
    """
    tried = sorted(tried, key=lambda one: one.key)
    for one in tried:
        if steel is not None and one.key == steel:
            return SteelMap("same", (one.key,), one.steel_class)
    listed = BY_KEY.get(steel or "")
    if listed is not None:
        for one in tried:
            if same_as(listed, one):
                return SteelMap("same", (one.key,), listed.steel_class)
        steel_class = listed.steel_class
    else:
        steel_class = next((one.steel_class for one in known if one.key == steel), steel_class)
    alike = tuple(one.key for one in tried if one.steel_class == steel_class)
    return SteelMap("class" if alike else "any", alike, steel_class)
