"""Care advice for a stone's owner, by what is known of the stone. Common practice, no source."""

from collections.abc import Mapping, Sequence
from typing import Any

DUST = (
    "Stone dust holds crystalline silica. Lap and flatten it wet, wipe up the slurry before it dries, and follow your "
    "local rules for masks and air."
)
BLADE = (
    "A blade on a wet stone slips easily: set the stone so that it cannot move and keep fingers off the edge."
)
FROST = (
    "Let it dry slowly, out of the sun, and never let it freeze while wet: water in a fissure splits a stone."
)
HOLDS_WATER = (
    "A fissure in it takes in water: let it dry slowly, out of the sun, and never freeze while wet, "
    "for ice splits it."
)
SPLASH = "Splash it with water; do not soak it. Long soaking can open its layers and gains nothing."
NOT_MEASURED = (
    "How fast it takes up water was not measured: splash it, and soak it only once you see that it drinks."
)
HEAVY_G = 5000
"""From this mass on a wet stone is lifted with two hands and a straight back."""
DENSE_S = 120
"""A drop that stands longer than this many seconds marks a stone to be splashed, not soaked."""


def care_advice(
    stone: Mapping[str, Any], *, water_uptake_s: float | None, verdicts: Sequence[Mapping[str, Any]]
) -> tuple[str, ...]:
    """Sentences for the slip: what to do with this stone, and what to beware of.

    ``verdicts``: those of the last inspection that nothing has been done about yet.
    """
    said = {verdict["verdict"] for verdict in verdicts}
    advice = []
    if "splash only" in said or (water_uptake_s is not None and water_uptake_s >= DENSE_S):
        advice.append(SPLASH)
    elif water_uptake_s is None:
        advice.append(NOT_MEASURED)
    elif water_uptake_s <= 20:
        advice.append("It drinks: wet it well before use and add water as you work.")
    if stone["sides_sealed"]:
        advice.append("Its sides are sealed. Keep the seal whole; never seal the working face.")
    elif "seal sides" in said:
        advice.append("Seal its sides and bottom before hard use; never the working face.")
    if "keep off the face" in said:
        advice.append("Keep blades off the marked spot of the face.")
    if any(mark["kind"] == "stamp" for mark in stone["marks"]):
        advice.append("Its stamp is part of its value: do not lap the stamped face.")
    if any(mark["kind"] == "natural_skin" for mark in stone["marks"]):
        advice.append("Its natural skin is part of its value: leave it on.")
    if any(verdict["urgency"] == "watch" and verdict["verdict"] == "watch" for verdict in verdicts):
        advice.append("Look at what stands under Soundness now and then, and stop if it opens or moves.")
    advice.append(HOLDS_WATER if "keep from frost" in said else FROST)
    if stone["mass_g"] is not None and stone["mass_g"] >= HEAVY_G:
        advice.append("It is heavy: lift it with two hands, and large ones with two people.")
    return (*advice, DUST, BLADE)
