"""Whether a trial's grades and observations fit the protocol version it followed."""

from collections.abc import Callable
from typing import Any

from ..errors import FieldError, Invalid

GRIT_SYSTEMS = ("jis", "fepa_f", "fepa_p")


def on_scale(grade: float, scale: dict[str, Any]) -> bool:
    """Whether a grade is one of the scale's steps, its ends included."""
    steps = (grade - scale["low"]) / scale["step"]
    return bool(scale["low"] <= grade <= scale["high"] and abs(steps - round(steps)) < 1e-9)


def check_trial(fields: dict[str, Any], protocol: dict[str, Any]) -> None:
    """Raise Invalid with every field that does not fit, so that a person mends them in one go."""
    errors: list[FieldError] = []
    scales = {scale["id"]: scale for scale in protocol["scales"]}
    for scale_id, grade in fields["grades"].items():
        scale = scales.get(scale_id)
        if scale is None:
            known = ", ".join(scales)
            errors.append(FieldError(f"grades.{scale_id}", f"This protocol grades {known}, not {scale_id}."))
        elif not on_scale(grade, scale):
            errors.append(
                FieldError(
                    f"grades.{scale_id}",
                    f"{grade:g} is not on the scale: give {scale['low']:g} to {scale['high']:g} "
                    f"in steps of {scale['step']:g}.",
                )
            )
    kinds = {observation["id"]: observation for observation in protocol["observations"]}
    for name, value in fields["observations"].items():
        observation = kinds.get(name)
        if observation is None:
            errors.append(FieldError(f"observations.{name}", "This protocol has no such observation."))
        elif (problem := _problem(value, observation)) is not None:
            errors.append(FieldError(f"observations.{name}", problem))
    for name, observation in kinds.items():
        if observation["required"] and fields["observations"].get(name) is None:
            errors.append(
                FieldError(f"observations.{name}", f"Record {observation['name']}; the protocol asks for it.")
            )
    if fields["finished_at"] < fields["started_at"]:
        errors.append(FieldError("finished_at", "The trial ends before it starts. Check both times."))
    if errors:
        raise Invalid("The trial does not fit its protocol.", errors)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= 1e9


def _problem(value: Any, observation: dict[str, Any]) -> str | None:
    """What is wrong with an observed value, as a sentence; None if it fits. A null value means: not observed."""
    if value is None:
        return None
    checks: dict[str, Callable[[Any, dict[str, Any]], str | None]] = {
        "number": _number_problem,
        "choice": _choice_problem,
        "yes_no": lambda v, o: None if isinstance(v, bool) else "Answer true or false.",
        "text": lambda v, o: None if isinstance(v, str) and len(v) <= 2000 else "Give up to 2000 characters.",
        "grit_band": lambda v, o: _band_problem(v),
    }
    return checks[observation["kind"]](value, observation)


def _number_problem(value: Any, observation: dict[str, Any]) -> str | None:
    low, high = observation.get("low"), observation.get("high")
    if not _is_number(value):
        return "Give a number."
    if low is not None and value < low:
        return f"Give at least {low:g}."
    if high is not None and value > high:
        return f"Give at most {high:g}."
    return None


def _choice_problem(value: Any, observation: dict[str, Any]) -> str | None:
    allowed = [choice["value"] for choice in observation["choices"]]
    if isinstance(value, bool) or value not in allowed:
        return "Choose one of " + ", ".join(str(choice) for choice in allowed) + "."
    return None


def _band_problem(value: Any) -> str | None:
    if not isinstance(value, dict) or set(value) != {"low", "high", "system"}:
        return "Give low, high and system."
    low, high = value["low"], value["high"]
    if not (_is_number(low) and _is_number(high) and 0 < low <= high <= 100_000):
        return "Give the band from a low to a high grit number, both above zero."
    if value["system"] not in GRIT_SYSTEMS:
        return "Name the grading system: " + ", ".join(GRIT_SYSTEMS) + "."
    return None
