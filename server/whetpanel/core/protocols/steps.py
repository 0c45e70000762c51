"""The steps that do not depend on the purpose, and a short way to write the others."""

from .shape import Condition, Counter, Step


def step(
    id: str,  # noqa: A002 – the field is called id wherever a protocol is read
    title: str,
    text: str,
    conditions: dict[str, str] | None = None,
    *,
    timer_s: int | None = None,
    counter: tuple[str, int] | None = None,
    records: tuple[str, ...] = (),
) -> Step:
    """One step, with the fields that are seldom used left out of sight."""
    shown: list[Condition] = [{"name": name, "value": value} for name, value in (conditions or {}).items()]
    counted: Counter | None = None if counter is None else {"name": counter[0], "target": counter[1]}
    return {
        "id": id,
        "title": title,
        "text": text,
        "conditions": shown,
        "timer_s": timer_s,
        "counter": counted,
        "records": list(records),
    }


def look_at_the_stone() -> Step:
    """The stone's own state, before any water has touched it."""
    return step(
        "stone",
        "Look at the stone",
        "Check that this is the stone and the face you mean, and that its inspection is in. The face has to "
        "be flat, freshly worked with the plate and dry to the touch; a sawn or an old face feels coarser "
        "than the stone is. Measure the thickness at the middle of a long side.",
        {
            "Face": "no light under a straightedge, both diagonals",
            "Worked with": "JIS #1000 plate, rinsed until the water runs clear",
            "State": "dry to the touch",
        },
    )


def time_a_drop() -> Step:
    """Water uptake; it runs by itself while the blade is made ready."""
    return step(
        "drop",
        "Time a drop",
        "Set one drop of water on the middle of the dry face and start the clock. Look at it sideways "
        "against the light. Stop when the shine has gone. Make the blade ready while you wait.",
        {"Water": "one drop, tap water at room temperature"},
        timer_s=600,
        records=("water_uptake_s",),
    )


def clean_up() -> Step:
    """The end of every trial: dust, rust and frost."""
    return step(
        "clean_up",
        "Clean up",
        "Rinse stone, blade, hands and cloth under water while everything is still wet. Dry and oil the "
        "blade and cover its edge. Let the stone dry slowly, on its side, out of the sun and away from "
        "frost.",
        {"Mud": "wiped up wet", "Stone": "dries in air for a day before it is put away"},
    )
