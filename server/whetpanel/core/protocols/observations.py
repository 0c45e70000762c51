"""The observations that all default protocols share, so that trials of every purpose can be compared.

The answers are our own, from common practice of the trade; no published standard stands behind them.
Ordered answers run from 1 to 5 in the direction the words say. They are signs, not grades: none is added up.
"""

from .shape import Choice, Observation, ObservationKind


def _observation(
    id: str,  # noqa: A002 – the field is called id wherever a protocol is read
    name: str,
    help: str,  # noqa: A002
    kind: ObservationKind,
    *,
    unit: str | None = None,
    low: float | None = None,
    high: float | None = None,
    choices: list[Choice] | None = None,
    required: bool = False,
) -> Observation:
    return {
        "id": id,
        "name": name,
        "help": help,
        "kind": kind,
        "unit": unit,
        "low": low,
        "high": high,
        "choices": choices or [],
        "required": required,
    }


def _ordered(*words: str) -> list[Choice]:
    return [{"value": i, "words": w} for i, w in enumerate(words, start=1)]


def _named(**words: str) -> list[Choice]:
    return [{"value": value, "words": w} for value, w in words.items()]


def standard_observations() -> list[Observation]:
    """A fresh copy of the eleven standard observations, in the order in which a trial meets them."""
    return [
        _observation(
            "water_uptake_s",
            "Water uptake",
            "Seconds until one drop on the dry face has lost its shine; 600 if it still stands then.",
            "number",
            unit="s",
            low=0,
            high=600,
        ),
        _observation(
            "strokes_to_mud",
            "Strokes until mud",
            "The stroke at which the water first clouds or darkens; empty if it does not.",
            "number",
            unit="strokes",
            low=0,
            high=200,
        ),
        _observation(
            "mud_shade",
            "Mud shade",
            "Spread a little mud on white paper and compare it with the clean wet stone, since stone and "
            "steel both lend it colour.",
            "choice",
            choices=_ordered("pale", "light grey", "mid grey", "dark grey", "black"),
            required=True,
        ),
        _observation(
            "metal_share",
            "Metal in the mud",
            "How much of the mud is steel and how much is stone.",
            "choice",
            choices=_ordered(
                "nearly all stone",
                "mostly stone",
                "about half and half",
                "mostly metal",
                "nearly all metal",
            ),
        ),
        _observation(
            "feel",
            "Feel under the blade",
            "The word that fits best once the mud has formed.",
            "choice",
            choices=_named(
                glassy="glassy, slides",
                silky="silky, smooth with a light hold",
                creamy="creamy, cushioned",
                sandy="sandy, an even grain",
                scratchy="scratchy, single hard grains",
            ),
        ),
        _observation(
            "pressure_sensitivity",
            "Sensitivity to pressure",
            "How much the finish changes between the light and the firm strokes.",
            "choice",
            choices=_ordered(
                "no change to be seen",
                "slight change",
                "clear change",
                "strong change",
                "spoils the finish",
            ),
        ),
        _observation(
            "refines",
            "Does worked mud refine the finish?",
            "Yes, if the last strokes left a finer face than the first ones in fresh mud.",
            "yes_no",
        ),
        _observation(
            "contrast",
            "Look of the finish",
            "Under one lamp, the blade tilted until the light runs along the bevel.",
            "choice",
            choices=_named(
                mirror="mirror",
                bright="bright, with lines",
                haze="haze",
                even_matt="even matt",
                cloudy="cloudy, uneven",
            ),
            required=True,
        ),
        _observation(
            "finish_band",
            "Equivalent grit",
            "The two abrasive grades between which this finish lies, and their system (JIS, FEPA F or FEPA "
            "P). JIS R 6001 ends at #8000; for finer, give 8000 as the upper end.",
            "grit_band",
        ),
        _observation(
            "scratches_seen",
            "Single scratches?",
            "Yes, if deeper ones stand out. Note where on the stone they come from.",
            "yes_no",
            required=True,
        ),
        _observation("notes", "Notes", "Whatever the next tester should know.", "text"),
    ]
