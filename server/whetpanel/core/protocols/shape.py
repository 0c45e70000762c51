"""What a protocol holds, in the shape in which it is stored, sent and printed.

The shape is plain dictionaries with fixed keys rather than classes: a protocol is a document that a steward
writes and that travels unchanged from the form to the record, the phone and the paper. Numbers with units
name the unit.
"""

from collections.abc import Iterable
from typing import Literal, TypedDict

from ...errors import FieldError

Purpose = Literal["knife", "razor", "plane_iron"]
ObservationKind = Literal["choice", "number", "grit_band", "yes_no", "text"]

PURPOSES: tuple[Purpose, ...] = ("knife", "razor", "plane_iron")


class Caution(TypedDict):
    """One way in which the work can hurt somebody, and what prevents it."""

    id: str
    text: str


class Condition(TypedDict):
    """One thing that has to be the same for every tester, for instance pressure or water."""

    name: str
    value: str


class Counter(TypedDict):
    """Something counted during a step; ``target`` is how many."""

    name: str
    target: int


class Step(TypedDict):
    """One step. ``records`` names the observations and scales that are written down during it."""

    id: str
    title: str
    text: str
    conditions: list[Condition]
    timer_s: int | None
    counter: Counter | None
    records: list[str]


class Scale(TypedDict):
    """A grade scale. ``words`` maps a level, written as a number ("1", "2.5"), to what it means."""

    id: str
    name: str
    low: float
    high: float
    step: float
    words: dict[str, str]


class Choice(TypedDict):
    """One answer. Ordered answers carry whole numbers, so that they can be compared; others carry a name."""

    value: int | str
    words: str


class Observation(TypedDict):
    """Something seen, felt, timed or counted. ``low`` and ``high`` bound a number, in ``unit``."""

    id: str
    name: str
    help: str
    kind: ObservationKind
    unit: str | None
    low: float | None
    high: float | None
    choices: list[Choice]
    required: bool


class Protocol(TypedDict):
    """A protocol's own fields. Who wrote it, its version and its id belong to the record around it."""

    name: str
    purpose: Purpose
    summary: str
    reference_steels: list[str]
    cautions: list[Caution]
    steps: list[Step]
    scales: list[Scale]
    observations: list[Observation]


HAVE_READY = "have_ready"
"""A step with this id lists in its conditions what lies on the bench before work starts: (thing, which)."""


def protocol_faults(protocol: Protocol) -> list[FieldError]:
    """What would keep a tester from following this protocol, field by field; an empty list if nothing would.

    Only what the shape itself cannot say: ids that name two things, records that name nothing, a scale whose
    step misses its own end, words for a level that does not exist, a choice without answers.
    """
    faults: list[FieldError] = []
    if protocol["purpose"] not in PURPOSES:
        faults.append(FieldError("purpose", f"Choose one of {', '.join(PURPOSES)}."))
    recordable = [*(s["id"] for s in protocol["scales"]), *(o["id"] for o in protocol["observations"])]
    faults += _repeated("cautions", (c["id"] for c in protocol["cautions"]))
    faults += _repeated("steps", (s["id"] for s in protocol["steps"]))
    faults += _repeated("scales and observations", recordable)
    if not protocol["scales"]:
        faults.append(FieldError("scales", "Give at least one scale: a trial ends in a grade."))
    for i, step in enumerate(protocol["steps"]):
        faults += _step_faults(f"steps.{i}", step, set(recordable))
    for i, scale in enumerate(protocol["scales"]):
        faults += _scale_faults(f"scales.{i}", scale)
    for i, observation in enumerate(protocol["observations"]):
        faults += _observation_faults(f"observations.{i}", observation)
    return faults


def _repeated(field: str, ids: Iterable[str]) -> list[FieldError]:
    seen: set[str] = set()
    faults = []
    for one in ids:
        if one in seen:
            faults.append(FieldError(field, f"The id {one!r} is used twice; give each its own."))
        seen.add(one)
    return faults


def _step_faults(field: str, step: Step, recordable: set[str]) -> list[FieldError]:
    faults = [
        FieldError(f"{field}.records", f"{record!r} is neither a scale nor an observation of this protocol.")
        for record in step["records"]
        if record not in recordable
    ]
    if step["timer_s"] is not None and step["timer_s"] <= 0:
        faults.append(FieldError(f"{field}.timer_s", "Give a timer at least one second, or leave it out."))
    if step["counter"] is not None and step["counter"]["target"] <= 0:
        faults.append(
            FieldError(f"{field}.counter.target", "Count to at least one, or leave the counter out.")
        )
    return faults


def _scale_faults(field: str, scale: Scale) -> list[FieldError]:
    low, high, step = scale["low"], scale["high"], scale["step"]
    if not low < high or step <= 0:
        return [FieldError(field, "A scale runs upwards from low to high by a step above zero.")]
    if abs((high - low) / step - round((high - low) / step)) > 1e-9:
        return [FieldError(f"{field}.step", f"Steps of {step} from {low} never reach {high}.")]
    faults = []
    for level in scale["words"]:
        if not _is_level(level, scale):
            faults.append(FieldError(f"{field}.words", f"{level!r} is not a level of this scale."))
    for end in (low, high):
        if not any(_is_level(level, scale) and float(level) == end for level in scale["words"]):
            faults.append(FieldError(f"{field}.words", f"Say what the end of the scale, {end:g}, means."))
    return faults


def _is_level(level: str, scale: Scale) -> bool:
    try:
        value = float(level)
    except ValueError:
        return False
    steps = (value - scale["low"]) / scale["step"]
    return scale["low"] <= value <= scale["high"] and abs(steps - round(steps)) < 1e-9


def _observation_faults(field: str, observation: Observation) -> list[FieldError]:
    faults = []
    values = [choice["value"] for choice in observation["choices"]]
    if observation["kind"] == "choice" and len(values) < 2:
        faults.append(FieldError(f"{field}.choices", "A choice needs at least two answers."))
    if observation["kind"] != "choice" and values:
        faults.append(FieldError(f"{field}.choices", "Only a choice has answers to choose from."))
    if len(set(values)) != len(values):
        faults.append(FieldError(f"{field}.choices", "Two answers have the same value; give each its own."))
    low, high = observation["low"], observation["high"]
    if low is not None and high is not None and not low < high:
        faults.append(FieldError(field, "The low bound has to lie below the high one."))
    return faults
