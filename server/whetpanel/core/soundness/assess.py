"""One answer to one inspection: facts, verdicts with reasons, the usable face and the lapping it needs."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from .default_rules import DEFAULT_RULES
from .facts import (
    Facts,
    density_of,
    finding_facts,
    inspection_facts,
    stone_facts,
    thickness_now_mm,
    usable_facts,
)
from .flatness import Flatness, measure_flatness
from .lapping import LappingPlan, plan_lapping
from .physical import specimen_limits
from .plates import surface_plate_um
from .reading import Reader
from .rule_check import read_rules
from .rules import Rule, facts_used, matches, reason, strictest, urgency_rank
from .usable import Obstacle, UsableFace, usable_face
from .values import FindingValues, History, InspectionValues, Point, StoneShape
from .words import say_number

TAKES_FACE = ("trim the corner", "keep off the face", "set aside")
"""A finding with one of these verdicts is kept out of the usable face, for no repair gives its place back.

So is every chip, and a corner piece that is to be glued, since glue may fail there.
"""


@dataclass(frozen=True)
class Verdict:
    """What one rule says of one finding (or of the whole, ``finding_id`` None), and what it rests on."""

    rule_id: str
    finding_id: str | None
    verdict: str
    urgency: str
    because: str
    caution: str | None
    facts: Facts


@dataclass(frozen=True)
class FindingFacts:
    """The facts of one finding."""

    finding_id: str
    facts: Facts


@dataclass(frozen=True)
class Assessment:
    """The whole answer. ``verdicts`` come most urgent first; ``urgency`` is the strictest of them.

    ``notes`` say how far the measured values can be trusted.
    """

    urgency: str
    verdicts: tuple[Verdict, ...]
    findings: tuple[FindingFacts, ...]
    stone: Facts
    inspection: Facts
    flatness: Flatness | None
    usable_face: UsableFace | None
    lapping: LappingPlan | None
    notes: tuple[str, ...]

    def to_record(self) -> dict[str, Any]:
        """The answer as plain JSON values; numbers that are not facts are left unrounded."""
        return asdict(self) | {
            "verdicts": [asdict(v) for v in self.verdicts],
            "findings": [asdict(f) for f in self.findings],
        }


def assess(
    stone: StoneShape,
    inspection: InspectionValues,
    rules: Sequence[Rule] = DEFAULT_RULES,
    history: History | None = None,
    *,
    path: str = "",
) -> Assessment:
    """What to do with the stone, how urgent it is, and why.

    Parameters   path: what to put before the paths of faults, for instance "inspection.".
    Raises       Invalid if a finding or a reading cannot be measured; the path names it.
    Notes        A verdict of urgency "none" reassures, so it is only given where no other verdict on the same
                 finding asks for anything.
    """
    history = history or History()
    flatness = None
    if inspection.flatness is not None:
        flatness = measure_flatness(inspection.flatness, stone.face, f"{path}flatness.readings")
    placed = [
        (f, *finding_facts(f, stone, inspection, f"{path}findings.{i}"))
        for i, f in enumerate(inspection.findings)
    ]
    verdicts = [v for f, facts, _ in placed for v in _judge("finding", rules, facts, f.id)]
    whole = inspection_facts(stone, inspection, history, flatness, [facts for _, facts, _ in placed])
    body = stone_facts(stone, inspection, history)
    usable = lapping = None
    if stone.face is not None:
        usable = usable_face(*stone.face, _obstacles(placed, verdicts))
        whole |= usable_facts(usable)
        body |= usable_facts(usable)
        if flatness is not None and inspection.flatness is not None:
            thickness = thickness_now_mm(stone, inspection)
            lapping = plan_lapping(inspection.flatness, flatness, stone.face, thickness, density_of(stone))
    verdicts += _judge("inspection", rules, whole, None)
    verdicts += _judge("stone", rules, body, None)
    return Assessment(
        urgency=strictest([v.urgency for v in verdicts]),
        # Sorting keeps the order of findings and rules within one urgency.
        verdicts=tuple(sorted(verdicts, key=lambda v: -urgency_rank(v.urgency))),
        findings=tuple(FindingFacts(f.id, facts) for f, facts, _ in placed),
        stone=body,
        inspection=whole,
        flatness=flatness,
        usable_face=usable,
        lapping=lapping,
        notes=_notes(stone, inspection, flatness, whole),
    )


def assess_stone_json(body: Mapping[str, Any]) -> dict[str, Any]:
    """The same for a JSON body: {stone, inspection, rules?, history?} in, the assessment as JSON values out.

    Nothing is stored. ``rules`` are records as in a rule set; without them the default rules speak.
    Raises Invalid with the path of every fault.
    """
    read = Reader(body)
    for name in ("stone", "inspection", "rules", "history"):
        read.seen.add(name)
    if isinstance(body, Mapping):
        read.refuse_unknown(set())
        for name in ("stone", "inspection"):
            if body.get(name) is None:
                read.fault(name, "This is needed.")
    read.finish("The assessment needs a stone and an inspection.")
    stone = StoneShape.from_record(body["stone"], "stone", strict=True)
    inspection = InspectionValues.from_record(body["inspection"], "inspection", strict=True)
    history = None if body.get("history") is None else History.from_record(body["history"], "history")
    rules = DEFAULT_RULES if body.get("rules") is None else read_rules(body["rules"])
    return assess(stone, inspection, rules, history, path="inspection.").to_record()


def _notes(
    stone: StoneShape, inspection: InspectionValues, flatness: Flatness | None, facts: Facts
) -> tuple[str, ...]:
    notes = []
    if "absorption_percent" in facts:
        notes.append("Water absorption is measured in the manner of EN 13755 and ASTM C97, not by them.")
        thickness = thickness_now_mm(stone, inspection)
        if stone.face is not None and thickness is not None:
            notes.extend(specimen_limits(stone.kind, *stone.face, thickness))
    if "density_g_cm3" in facts:
        notes.append("Density comes from mass and outer sizes; chips and rounded edges make it seem lower.")
    if "total_porosity_percent" in facts:
        notes.append("Total porosity takes all grains for quartz (2.65 g/cm³).")
    if flatness is not None:
        if flatness.method == "straightedge":
            notes.append("Flatness is the largest gap under the straightedge, so a twist can hide from it.")
        else:
            notes.append("Flatness holds for the places that were read; between them the face may differ.")
        if stone.length_mm is not None and flatness.flatness_um < surface_plate_um(stone.length_mm, 0):
            plate = say_number(surface_plate_um(stone.length_mm, 0))
            notes.append(
                f"Even the best surface plate of this length (DIN 876, grade 0) may itself be {plate} µm out of flat."
            )
    return tuple(notes)


def _judge(applies_to: str, rules: Sequence[Rule], facts: Facts, finding_id: str | None) -> list[Verdict]:
    verdicts = [
        Verdict(
            rule.id, finding_id, rule.verdict, rule.urgency, reason(rule, facts), rule.caution,
            facts_used(rule, facts),
        )
        for rule in rules
        if rule.applies_to == applies_to and matches(rule, facts)
    ]  # fmt: skip
    if finding_id is not None and any(v.urgency != "none" for v in verdicts):
        verdicts = [v for v in verdicts if v.urgency != "none"]
    return verdicts


def _obstacles(
    placed: Sequence[tuple[FindingValues, Facts, tuple[Point, ...]]], verdicts: Sequence[Verdict]
) -> list[Obstacle]:
    taking = {v.finding_id for v in verdicts if v.verdict in TAKES_FACE}
    glued = {v.finding_id for v in verdicts if v.verdict == "glue before lapping"}
    obstacles = []
    for finding, facts, points in placed:
        at_risk = finding.id in glued and facts.get("reach") == "corner"
        if not (finding.id in taking or at_risk or finding.kind == "chip"):
            continue
        size = facts.get("size_mm", 0.0)
        radius = float(size) / 2 if len(points) == 1 and isinstance(size, int | float) else 0.0
        closed = len(points) > 2 and finding.kind not in ("fissure", "line")
        obstacles.append(Obstacle(points, closed, radius))
    return obstacles
