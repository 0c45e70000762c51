"""What the soundness computation takes in: a stone's shape, one inspection of a face, and what is known of
its past.

Field names are those of the stone and inspection records, so that a record goes straight in through
``from_record``. Everything is checked by hand here, because core knows no web library: all mistakes of one
record are gathered and raised together as ``Invalid``, each with its path.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .reading import Reader

Point = tuple[float, float]

LONGEST_MM = 2000.0
THINNEST_MM = 0.1
MOST_FINDINGS = 200
MOST_POINTS = 400
MOST_READINGS = 1000

FORMS = ("bench", "hand", "finger", "irregular")
STONE_KINDS = (
    "slate", "novaculite", "schist", "sandstone", "siltstone", "garnet_slate", "chert", "other",
)  # fmt: skip
FACES = ("front", "back")
FINDING_KINDS = ("fissure", "inclusion", "line", "chip", "soft_spot", "stain")
DROP_STATES = ("beads", "slow", "quick", "at_once")
TAP_TONES = ("ring", "dull", "rattle")
FLATNESS_METHODS = ("grid", "straightedge")
MARK_KINDS = ("stamp", "natural_skin")

_ENVELOPE = {
    "id", "version", "revision", "recorded_at", "created_by", "created_at", "updated_at", "updated_by",
    "withdrawn",
}  # fmt: skip
_STONE_UNREAD = _ENVELOPE | {"code", "lot_id", "colour", "photos", "notes"}
_INSPECTION_UNREAD = _ENVELOPE | {
    "stone_id", "inspected_at", "photos", "notes", "verdicts", "rule_set_version",
}  # fmt: skip


@dataclass(frozen=True)
class StoneShape:
    """A stone as far as its soundness goes: sizes in mm, mass in g, what kind of rock, which faces are
    marked.

    Sizes not measured yet are None. Without length and width a finding's place on the face means nothing, so
    only what was probed counts then.
    """

    length_mm: float | None = None
    width_mm: float | None = None
    thickness_mm: float | None = None
    mass_g: float | None = None
    kind: str = "other"
    form: str = "bench"
    marked_faces: tuple[str, ...] = ()
    sides_sealed: bool | None = None

    @property
    def face(self) -> tuple[float, float] | None:
        """Length and width, if both are known."""
        if self.length_mm is None or self.width_mm is None:
            return None
        return (self.length_mm, self.width_mm)

    @classmethod
    def from_record(cls, record: Mapping[str, Any], path: str = "", *, strict: bool = False) -> "StoneShape":
        """Read a stone record. ``strict`` refuses fields that no stone record has. Raises Invalid."""
        read = Reader(record, path)
        stone = cls(
            length_mm=read.number("length_mm", low=THINNEST_MM, high=LONGEST_MM),
            width_mm=read.number("width_mm", low=THINNEST_MM, high=LONGEST_MM),
            thickness_mm=read.number("thickness_mm", low=THINNEST_MM, high=LONGEST_MM),
            mass_g=read.number("mass_g", above=0, high=1e6),
            kind=read.choice("kind", STONE_KINDS) or "other",
            form=read.choice("form", FORMS) or "bench",
            marked_faces=_marked_faces(read),
            sides_sealed=read.boolean("sides_sealed"),
        )
        if strict:
            read.refuse_unknown(_STONE_UNREAD)
        read.finish("The stone's record cannot be used as it is.")
        return stone


@dataclass(frozen=True)
class FlatnessReading:
    """A height at a place on the face: mm along length and width, height in micrometres (up is positive)."""

    x_mm: float
    y_mm: float
    height_um: float


@dataclass(frozen=True)
class FlatnessValues:
    """Readings of one face. ``grid``: heights from one reference. ``straightedge``: gaps, whatever their
    sign.
    """

    method: str
    readings: tuple[FlatnessReading, ...]


@dataclass(frozen=True)
class FindingValues:
    """One finding on the face. ``points`` in mm from the face's origin corner; one point is a spot.

    Answers of the probes are None as long as nobody has probed. ``dip_deg`` is the angle to the face (0 = a
    leaf parallel to it); ``depth_mm`` is how far below the face it is seen to go.
    """

    id: str
    kind: str
    points: tuple[Point, ...]
    size_mm: float | None = None
    depth_mm: float | None = None
    dip_deg: float | None = None
    catches_nail: bool | None = None
    catches_edge: bool | None = None
    scratches_finish: bool | None = None
    stays_dark_wet: bool | None = None
    moves_when_pressed: bool | None = None
    relieved: bool = False


@dataclass(frozen=True)
class InspectionValues:
    """One inspection of one face; unknown values are None."""

    face: str = "front"
    thickness_mm: float | None = None
    water_uptake_s: float | None = None
    drop_state: str | None = None
    dry_mass_g: float | None = None
    wet_mass_g: float | None = None
    tap_tone: str | None = None
    sides_sealed: bool | None = None
    flatness: FlatnessValues | None = None
    findings: tuple[FindingValues, ...] = ()

    @classmethod
    def from_record(
        cls, record: Mapping[str, Any], path: str = "", *, strict: bool = False
    ) -> "InspectionValues":
        """Read an inspection record. ``strict`` refuses fields that no inspection record has. Raises
        Invalid.
        """
        read = Reader(record, path)
        dry = read.number("dry_mass_g", above=0, high=1e6)
        wet = read.number("wet_mass_g", above=0, high=1e6)
        if dry is not None and wet is not None and wet < dry:
            read.fault("wet_mass_g", "The wet mass is below the dry mass: weigh again, or swap the two.")
        inspection = cls(
            face=read.choice("face", FACES) or "front",
            thickness_mm=read.number("thickness_mm", low=THINNEST_MM, high=LONGEST_MM),
            water_uptake_s=read.number("water_uptake_s", low=0, high=1e6),
            drop_state=read.choice("drop_state", DROP_STATES),
            dry_mass_g=dry,
            wet_mass_g=wet,
            tap_tone=read.choice("tap_tone", TAP_TONES),
            sides_sealed=read.boolean("sides_sealed"),
            flatness=_flatness(read),
            findings=_findings(read, strict),
        )
        if strict:
            read.refuse_unknown(_INSPECTION_UNREAD)
        read.finish("The inspection's record cannot be used as it is.")
        return inspection


@dataclass(frozen=True)
class History:
    """What other records say of this stone, where known: it lets rules ask for a first lapping or a second
    look.
    """

    lapped_before: bool | None = None
    repaired_since: bool | None = None
    fineness_grade: float | None = None

    @classmethod
    def from_record(cls, record: Mapping[str, Any], path: str = "") -> "History":
        """Read a history; every field may be missing. Raises Invalid."""
        read = Reader(record, path)
        history = cls(
            lapped_before=read.boolean("lapped_before"),
            repaired_since=read.boolean("repaired_since"),
            fineness_grade=read.number("fineness_grade", low=1, high=5),
        )
        read.refuse_unknown(set())
        read.finish("The stone's history cannot be used as it is.")
        return history


def _marked_faces(read: Reader) -> tuple[str, ...]:
    faces = []
    for mark in read.records("marks"):
        face = mark.choice("face", FACES, required=True)
        mark.choice("kind", MARK_KINDS)
        if face and face not in faces:
            faces.append(face)
    return tuple(sorted(faces))


def _flatness(read: Reader) -> FlatnessValues | None:
    part = read.part("flatness")
    if part is None:
        return None
    method = part.choice("method", FLATNESS_METHODS, required=True)
    readings = tuple(
        FlatnessReading(
            item.number("x_mm", required=True, low=-1e4, high=1e4) or 0.0,
            item.number("y_mm", required=True, low=-1e4, high=1e4) or 0.0,
            item.number("height_um", required=True, low=-1e6, high=1e6) or 0.0,
        )
        for item in part.records("readings", most=MOST_READINGS)
    )
    part.refuse_unknown(set())
    return FlatnessValues(method or "grid", readings)


def _findings(read: Reader, strict: bool) -> tuple[FindingValues, ...]:
    found = []
    ids: set[str] = set()
    for item in read.records("findings", most=MOST_FINDINGS):
        finding_id = item.text("id") or ""
        if finding_id in ids:
            item.fault("id", "Two findings carry the same id: give each its own.")
        ids.add(finding_id)
        points = tuple(
            (
                point.number("x_mm", required=True, low=-1e4, high=1e4) or 0.0,
                point.number("y_mm", required=True, low=-1e4, high=1e4) or 0.0,
            )
            for point in item.records("points", most=MOST_POINTS)
        )
        found.append(
            FindingValues(
                id=finding_id,
                kind=item.choice("kind", FINDING_KINDS, required=True) or "stain",
                points=points,
                size_mm=item.number("size_mm", above=0, high=LONGEST_MM),
                depth_mm=item.number("depth_mm", low=0, high=LONGEST_MM),
                dip_deg=item.number("dip_deg", low=0, high=90),
                catches_nail=item.boolean("catches_nail"),
                catches_edge=item.boolean("catches_edge"),
                scratches_finish=item.boolean("scratches_finish"),
                stays_dark_wet=item.boolean("stays_dark_wet"),
                moves_when_pressed=item.boolean("moves_when_pressed"),
                relieved=item.boolean("relieved") or False,
            )
        )
        if strict:
            item.refuse_unknown({"notes"})
    return tuple(found)
