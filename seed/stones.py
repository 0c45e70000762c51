"""The forty-two invented stones: what they are, what they measure, and what they truly are.

``hardness``, ``fineness`` and ``ease`` are the latent truth that the trials are drawn from (see trials.py);
the service never learns them. Sizes follow what is commonly sold for bench stones (about 205 × 75,
200 × 60–70 and 180 × 60 mm, 20–40 mm thick; shorter ones are hand stones; common practice, no source).
Densities lie in the ranges usually given for the kind, g/cm³: slate 2.7–2.8, chert 2.5–2.65, sandstone
2.0–2.6 (from memory), novaculite 2.2–2.5 (encyclopaedia article "Novaculite").
"""

from dataclasses import dataclass
from functools import cached_property

from .ids import demo_rng


@dataclass(frozen=True)
class Mark:
    """A mark that belongs to the stone: on ``face``, "stamp" or "natural_skin"."""

    face: str
    kind: str
    notes: str


STAMPED = (Mark("back", "stamp", "Quarry stamp, three bars in a ring. Leave it."),)
SKIN_BACK = (Mark("back", "natural_skin", "Quarry skin over the whole back."),)
SKIN_FRONT = (Mark("front", "natural_skin", "Skin on the front: grade the back."),)


@dataclass(frozen=True)
class Stone:
    """One stone. Lengths in mm, density in g/cm³, the three truths on the 1–5 scale."""

    code: str
    kind: str
    form: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    density: float
    hardness: float
    fineness: float
    ease: float
    look: str
    colour: str
    marks: tuple[Mark, ...] = ()
    sides_sealed: bool = False
    weighed: bool = True
    slip: float = 1.0
    notes: str = ""

    @property
    def lot(self) -> str:
        return self.code.split("-")[0]

    @property
    def working_face(self) -> str:
        """The face that is graded: the front, unless the front carries a mark."""
        return "back" if any(mark.face == "front" for mark in self.marks) else "front"

    @cached_property
    def mass_g(self) -> float | None:
        """What was written down: an irregular piece fills about five sixths of the box around it.

        ``slip`` is a slip of the pen in the mass, for the service to find.
        """
        if not self.weighed:
            return None
        fill = {"irregular": 0.83, "finger": 0.97}.get(self.form, 0.99)
        reading = demo_rng("mass", self.code).normal(1.0, 0.003)
        volume_cm3 = self.length_mm * self.width_mm * self.thickness_mm / 1000
        return round(float(volume_cm3 * self.density * fill * reading * self.slip))


S = Stone
STONES = (
    # Tarrowgill slates: dense, fine, layered along the face.
    S("TAR-01", "slate", "bench", 205, 75, 27, 2.76, 4.1, 4.2, 2.6, "slate_blue", "blue-black", STAMPED),
    S("TAR-02", "slate", "bench", 205, 75, 25, 2.75, 3.9, 4.0, 2.9, "slate_blue", "blue-black"),
    S("TAR-03", "slate", "bench", 200, 65, 24, 2.74, 3.6, 3.8, 3.2, "slate_green", "grey-green", STAMPED),
    S("TAR-04", "slate", "bench", 200, 65, 22, 2.77, 4.4, 4.5, 2.1, "slate_blue", "blue-black"),
    S("TAR-05", "slate", "bench", 180, 60, 21, 2.73, 3.3, 3.6, 3.4, "slate_green", "grey-green, pale bands"),
    S("TAR-06", "slate", "bench", 180, 60, 23, 2.75, 3.8, 4.1, 3.0, "slate_violet", "plum grey"),
    S("TAR-07", "slate", "hand", 110, 45, 18, 2.76, 4.0, 4.3, 2.8, "slate_violet", "plum grey"),
    S("TAR-08", "slate", "finger", 92, 24, 12, 2.74, 4.2, 4.2, 2.7, "slate_blue", "blue-black"),
    # Vennock novaculite: hard, some porous.
    S("VEN-01", "novaculite", "bench", 205, 75, 30, 2.47, 4.8, 4.7, 1.8, "novaculite_white", "milk white",
      STAMPED, notes="Light shows through the thin end."),
    S("VEN-02", "novaculite", "bench", 205, 75, 28, 2.38, 4.1, 3.8, 2.6, "novaculite_grey", "smoke grey"),
    S("VEN-03", "novaculite", "bench", 200, 60, 26, 2.27, 3.4, 3.0, 3.4, "novaculite_grey",
      "dull smoke grey", notes="Porous bed: dull when dry."),
    S("VEN-04", "novaculite", "bench", 200, 60, 25, 2.44, 4.6, 4.4, 2.0, "novaculite_white", "white, veined",
      SKIN_FRONT),
    S("VEN-05", "novaculite", "bench", 180, 60, 24, 2.30, 3.6, 3.2, 3.3, "novaculite_grey", "grey, clouded"),
    S("VEN-06", "novaculite", "hand", 115, 50, 20, 2.46, 4.9, 4.8, 1.6, "novaculite_white", "milk white"),
    S("VEN-07", "novaculite", "irregular", 148, 82, 31, 2.41, 4.3, 4.0, 2.3, "novaculite_grey", "smoke grey",
      SKIN_BACK),
    # Quarlbank siltstones: soft, layered, thirsty.
    S("QUA-01", "siltstone", "bench", 205, 75, 35, 2.31, 2.2, 2.9, 4.2, "siltstone_buff", "buff, brown bands",
      STAMPED, sides_sealed=True),
    S("QUA-02", "siltstone", "bench", 205, 75, 33, 2.28, 1.9, 2.6, 4.4, "siltstone_buff", "buff",
      sides_sealed=True),
    S("QUA-03", "siltstone", "bench", 200, 70, 36, 2.34, 2.5, 3.3, 4.0, "siltstone_grey", "pale grey",
      notes="Sides left bare on purpose until the fissure is judged."),
    S("QUA-04", "siltstone", "bench", 200, 70, 32, 2.22, 1.5, 2.2, 4.1, "siltstone_buff", "ochre, banded"),
    S("QUA-05", "siltstone", "bench", 205, 75, 38, 2.42, 2.8, 3.6, 3.9, "siltstone_grey", "grey, blue cast",
      STAMPED, sides_sealed=True),
    S("QUA-06", "siltstone", "bench", 180, 60, 30, 2.37, 2.4, 3.1, 4.0, "siltstone_grey", "pale grey",
      sides_sealed=True),
    S("QUA-07", "siltstone", "hand", 118, 55, 22, 2.30, 2.0, 2.8, 4.3, "siltstone_buff", "buff"),
    S("QUA-08", "siltstone", "irregular", 165, 88, 29, 2.33, 2.3, 3.0, 4.1, "siltstone_grey", "grey",
      SKIN_BACK, weighed=False),
    # Ossenfell: garnet slate and mica schist.
    S("OSS-01", "garnet_slate", "bench", 200, 60, 25, 2.92, 3.5, 4.0, 4.0, "garnet_cream", "cream", STAMPED,
      notes="Check stone: agreed by the whole club."),
    S("OSS-02", "garnet_slate", "bench", 200, 60, 24, 2.95, 3.6, 4.4, 3.9, "garnet_cream", "cream, lined"),
    S("OSS-03", "garnet_slate", "bench", 180, 60, 22, 2.84, 2.9, 3.8, 4.3, "garnet_violet", "violet grey"),
    S("OSS-04", "garnet_slate", "bench", 180, 60, 23, 2.87, 3.1, 4.0, 4.1, "garnet_violet", "violet grey"),
    S("OSS-05", "garnet_slate", "hand", 112, 42, 17, 2.90, 3.4, 4.5, 4.0, "garnet_cream", "cream"),
    S("OSS-06", "schist", "bench", 205, 75, 30, 2.72, 2.7, 2.2, 3.3, "schist_silver", "silver grey"),
    S("OSS-07", "schist", "bench", 200, 70, 28, 2.70, 2.4, 1.9, 3.4, "schist_silver", "silver grey, waved"),
    S("OSS-08", "schist", "bench", 205, 70, 31, 2.75, 3.0, 2.5, 3.1, "schist_brown", "brown grey", slip=0.1,
      notes="Weighed in a hurry."),
    # Brindlehow sandstones: coarse and quick.
    S("BRI-01", "sandstone", "bench", 205, 75, 40, 2.24, 1.6, 1.2, 3.8, "sandstone_rust", "rust", STAMPED),
    S("BRI-02", "sandstone", "bench", 205, 75, 38, 2.31, 2.0, 1.5, 3.5, "sandstone_pale", "pale yellow",
      notes="Check stone: the club's coarse end."),
    S("BRI-03", "sandstone", "bench", 200, 70, 40, 2.18, 1.3, 1.0, 3.5, "sandstone_pale", "pale, soft end"),
    S("BRI-04", "sandstone", "bench", 205, 75, 36, 2.43, 2.6, 1.7, 3.4, "sandstone_rust", "rust, fine bed"),
    S("BRI-05", "sandstone", "hand", 116, 60, 28, 2.28, 1.8, 1.3, 3.6, "sandstone_pale", "pale yellow"),
    S("BRI-06", "sandstone", "irregular", 430, 240, 95, 2.33, 1.7, 1.1, 3.4, "sandstone_rust", "rust brown",
      notes="A floor block, to be sawn one day."),
    # Ullanrake: cherts and oddments.
    S("ULL-01", "chert", "bench", 180, 60, 22, 2.58, 4.7, 3.9, 1.9, "chert_brown", "honey brown"),
    S("ULL-02", "chert", "hand", 114, 52, 19, 2.56, 4.5, 3.6, 2.1, "chert_brown", "honey brown"),
    S("ULL-03", "chert", "irregular", 139, 76, 11, 2.55, 4.4, 3.7, 2.0, "chert_grey", "grey", SKIN_BACK),
    S("ULL-04", "chert", "finger", 88, 26, 3.5, 2.60, 4.9, 4.0, 1.7, "chert_grey", "flint grey"),
    S("ULL-05", "schist", "hand", 119, 50, 20, 2.73, 2.8, 2.3, 3.2, "schist_brown", "brown", weighed=False),
)  # fmt: skip
BY_CODE = {stone.code: stone for stone in STONES}

# The two check stones and the purpose they are agreed for.
CHECK_STONES = {"OSS-01": "knife", "BRI-02": "knife"}
