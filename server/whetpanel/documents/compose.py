"""Records to the plain data that the templates print. Pure: no clock, no files, no Typst."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, is_dataclass
from datetime import date
from typing import Any

from ..core.protocols import HAVE_READY
from .frame import frame, plain_number, ruler
from .papers import Paper
from .text import breakable, each_text

_PURPOSE_WORDS = {"knife": "knife", "razor": "razor", "plane_iron": "plane iron"}

# Five columns are as many as still leave room for a wet hand's writing on either paper, and about as many
# trials as one evening holds.
TRIAL_COLUMNS = 5

# Words fit under the ruler's own levels up to six of them; more would be slivers, and go into a list below
# it.
_WORDS_UNDER_RULER = 6


# Characters of an unbroken word that fit the narrowest text column, and the narrow ones beside it.
_LONGEST_WORD = 20
_LONGEST_NARROW_WORD = 12


def protocol_sheet(
    protocol: object, *, club_name: str, url: str, paper: Paper, issued_on: date
) -> dict[str, Any]:
    """Data for templates/protocol_sheet.typ.

    ``protocol`` is a protocol's own fields as a mapping or a dataclass, with the record's ``version`` if it
    has one; ``url`` leads back to it; ``issued_on`` is the day printed on the sheet and in the PDF.
    """
    whole = _as_mapping(protocol)
    fields = each_text(dict(whole), lambda text: breakable(text, _LONGEST_WORD))
    version = fields.get("version")
    return {
        **frame(
            title=whole["name"],
            kind="Protocol sheet",
            club_name=club_name,
            url=url,
            link_words="The newest version, and the form for your phone.",
            issued_on=issued_on,
            paper=paper,
        ),
        "version": "" if version is None else f"version {version}",
        "purpose": _PURPOSE_WORDS.get(fields["purpose"], fields["purpose"]),
        "summary": fields["summary"] or "",
        "steels": [steel.replace("_", " ") for steel in fields["reference_steels"]],
        "cautions": [caution["text"] for caution in fields["cautions"]],
        "ready": _what_to_have_ready(fields),
        "steps": _steps(fields),
        "unasked": [_observation(o) for o in _recorded_in_no_step(fields)],
        "observations": [_observation(observation) for observation in fields["observations"]],
        "scales": [_scale(scale) for scale in fields["scales"]],
        "columns": TRIAL_COLUMNS,
    }


def _as_mapping(protocol: object) -> Mapping[str, Any]:
    if isinstance(protocol, Mapping):
        return protocol
    if is_dataclass(protocol) and not isinstance(protocol, type):
        return asdict(protocol)
    raise TypeError("A protocol is a mapping or a dataclass")


def _what_to_have_ready(fields: Mapping[str, Any]) -> list[dict[str, str]]:
    """What still has to lie on the bench when a protocol has no step of its own for it; else nothing."""
    if any(step["id"] == HAVE_READY for step in fields["steps"]):
        return []
    steels = " or ".join(steel.replace("_", " ") for steel in fields["reference_steels"])
    needed = [
        {"name": "Stone", "value": "inspected, its working face flat"},
        {"name": "Blade", "value": steels or "a reference blade of known steel"},
        {"name": "Water", "value": "and a cloth to wipe mud up wet"},
    ]
    if any(step["timer_s"] for step in fields["steps"]):
        needed.append({"name": "Clock", "value": "a stopwatch, or the app"})
    return needed


def _recorded_in_no_step(fields: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    asked = {record for step in fields["steps"] for record in step["records"]}
    return [observation for observation in fields["observations"] if observation["id"] not in asked]


def _steps(fields: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The steps, each with the observations that are written down in it.

    An observation is explained where it is made, since nobody turns pages with wet hands; a step that asks
    for it again only names it. Grades are named, and explained on the scales' own page.
    """
    observations = {o["id"]: o for o in fields["observations"]}
    grades = {s["id"]: s["name"] for s in fields["scales"]}
    explained: set[str] = set()
    steps = []
    for number, step in enumerate(fields["steps"], start=1):
        new = [r for r in step["records"] if r in observations and r not in explained]
        again = [observations[r]["name"] for r in step["records"] if r in explained]
        explained |= set(new)
        steps.append(
            {
                "number": str(number),
                "title": step["title"],
                "text": step["text"] or "",
                "checklist": step["id"] == HAVE_READY,
                "conditions": _conditions(step),
                "observations": [_observation(observations[r]) for r in new],
                "again": again,
                "grades": [grades[r] for r in step["records"] if r in grades],
            }
        )
    return steps


def _conditions(step: Mapping[str, Any]) -> list[dict[str, str]]:
    """What has to be counted or timed first, then the step's own conditions."""
    conditions = [
        {"name": breakable(c["name"], _LONGEST_NARROW_WORD), "value": c["value"]} for c in step["conditions"]
    ]
    measured = []
    if step["counter"]:
        measured.append({"name": "Count", "value": f"{step['counter']['target']} {step['counter']['name']}"})
    if step["timer_s"]:
        measured.append({"name": "Timer", "value": duration_in_words(step["timer_s"])})
    return measured + conditions


def duration_in_words(seconds: int) -> str:
    """90 s stays 90 s; whole minutes above that are minutes too, since a kitchen timer counts in them."""
    minutes, rest = divmod(seconds, 60)
    return f"{seconds} s ({minutes} min)" if minutes >= 2 and rest == 0 else f"{seconds} s"


def _observation(observation: Mapping[str, Any]) -> dict[str, Any]:
    choices = [
        {"value": str(c["value"]), "words": breakable(c["words"], _LONGEST_NARROW_WORD)}
        for c in observation["choices"]
    ]
    ordered = bool(choices) and all(isinstance(c["value"], int) for c in observation["choices"])
    return {
        "name": observation["name"],
        "help": observation["help"] or "",
        "required": bool(observation["required"]),
        "ordered": ordered,
        "choices": choices,
        "answer": _answer(observation),
        "slot": _slot(observation, ordered),
    }


def _answer(observation: Mapping[str, Any]) -> str:
    """How an observation without choices is answered, in words."""
    kind, unit = observation["kind"], observation["unit"]
    low, high = observation["low"], observation["high"]
    if kind == "number":
        bounds = "" if low is None or high is None else f"{plain_number(low)} to {plain_number(high)}"
        if unit:
            return f"{bounds} {unit}" if bounds else f"in {unit}"
        return bounds or "a number"
    return {
        "grit_band": "from, to, and the system",
        "yes_no": "yes or no",
        "text": "in your own words",
    }.get(kind, "")


def _slot(observation: Mapping[str, Any], ordered: bool) -> dict[str, Any]:
    """What stands in the blank record beside the name, and how much room the answer needs (tall or not)."""
    kind = observation["kind"]
    choices = observation["choices"]
    hint = {
        "number": f"in {observation['unit']}" if observation["unit"] else "",
        "grit_band": "from – to, system",
        "yes_no": "yes, no",
    }.get(kind, "")
    if kind == "choice" and ordered:
        hint = f"{choices[0]['value']} – {choices[-1]['value']}"
    elif kind == "choice":
        hint = ", ".join(choice["words"].partition(",")[0] for choice in choices)
    return {"hint": hint, "tall": kind == "text"}


def _scale(scale: Mapping[str, Any]) -> dict[str, Any]:
    levels = sorted((float(level), words) for level, words in scale["words"].items())
    values = [value for value, _ in levels]
    return {
        "name": scale["name"],
        "step": plain_number(scale["step"]),
        "ruler": ruler(scale["low"], scale["high"], scale["step"], values),
        "under": _spread_evenly(values, scale["low"], scale["high"]),
        "levels": [{"number": plain_number(value), **_head_and_rest(words)} for value, words in levels],
    }


def _spread_evenly(values: Sequence[float], low: float, high: float) -> bool:
    """Whether each level's words can stand right under their tick, in columns of one width."""
    if not 2 <= len(values) <= _WORDS_UNDER_RULER:
        return False
    gap = (high - low) / (len(values) - 1)
    return all(abs(value - (low + i * gap)) < 1e-9 for i, value in enumerate(values))


def _head_and_rest(words: str) -> dict[str, str]:
    """A level's first short sentence is what a hand remembers; it is set apart from the explanation."""
    head, stop, rest = words.partition(". ")
    if stop and len(head) <= 28:
        return {"head": head, "rest": rest}
    return {"head": "", "rest": words}
