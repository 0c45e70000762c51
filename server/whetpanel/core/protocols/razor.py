"""The default razor protocol. Our own, from common practice of the trade; no published standard behind it.

A razor lies on its spine and bears on a bevel of under a millimetre with little more than its own weight, so
a stone that a knife sharpener calls medium can be soft here. Hence words of its own, and a tester's lean of
its own.
"""

from .cautions import OPEN_RAZOR, TRIAL_EDGE, common_cautions
from .observations import standard_observations
from .shape import HAVE_READY, Protocol
from .steps import clean_up, look_at_the_stone, step, time_a_drop


def razor_protocol() -> Protocol:
    """A fresh copy of the default razor protocol."""
    return {
        "name": "Razor, finishing trial",
        "purpose": "razor",
        "summary": "How a natural stone finishes a razor's bevel from a known pattern: in thin slurry, then "
        "thinned step by step to clear water. It judges the stone and the look of the bevel; it asks for no "
        "shave. One trial is one stone and one razor; use at least two of the reference steels. Common "
        "practice of the trade in our own words, with no published standard behind it.",
        "reference_steels": ["white_carbon", "silver_steel", "fine_stainless"],
        "cautions": [*common_cautions(), OPEN_RAZOR.copy(), TRIAL_EDGE.copy()],
        "steps": [
            step(
                HAVE_READY,
                "Have ready",
                "Lay everything out before your hands are wet.",
                {
                    "Razor": "a reference razor, straight edge, set bevel",
                    "Preparation stone": "JIS #8000, synthetic, flat",
                    "Slurry": "a rubbing piece of the same stone",
                    "Water": "tap water at room temperature, a dropper",
                    "Light": "one lamp in a dim room, and a 20× loupe",
                    "Paper": "white paper for the mud, lint-free tissue",
                    "Clock": "a stopwatch, or the app",
                },
            ),
            look_at_the_stone(),
            time_a_drop(),
            step(
                "blade",
                "Prepare the razor",
                "With the spine taped or bare as its record says, work spine and edge flat on the "
                "preparation stone until one pattern runs along the whole bevel to the very edge on both "
                "sides. Rinse and dry.",
                {
                    "Scratch pattern": "JIS #8000, both sides alike",
                    "Contact": "spine and edge together, never the edge alone",
                    "Check": "loupe at heel, middle and toe",
                },
            ),
            step(
                "slurry",
                "Work in thin slurry",
                "Raise a thin slurry: it should look like watered milk and not hold a furrow. Strokes with "
                "the edge leading, turning over the spine; there and back is one.",
                {
                    "Slurry": "own stone, thin",
                    "Pressure": "the razor's weight and no more than 2 N (200 g)",
                    "Pace": "one pair of strokes in two seconds",
                },
                counter=("pairs of strokes", 30),
                records=("feel",),
            ),
            step(
                "mud",
                "Read the slurry",
                "Spread a fingertip of slurry on white paper, beside a drop from the clean wet stone.",
                {"Light": "daylight or the one lamp, from the side"},
                records=("mud_shade", "metal_share"),
            ),
            step(
                "thin_down",
                "Thin it down",
                "Add two drops of water after every ten pairs, until the water is clear. Look at one place "
                "on the bevel before the first drop and after the last.",
                {"Water": "2 drops after every 10 pairs", "Pressure": "the razor's own weight"},
                counter=("pairs of strokes", 50),
                records=("refines",),
            ),
            step(
                "clear_water",
                "Finish on clear water",
                "Rinse the face and flood it. Notice whether the stone gives mud of its own under the "
                "razor, and whether the razor starts to cling.",
                {
                    "Water": "flooded, clear",
                    "Slurry": "none",
                    "Pressure": "the razor's own weight",
                },
                counter=("pairs of strokes", 40),
                records=("strokes_to_mud",),
            ),
            step(
                "pressure",
                "Try the pressure",
                "Five pairs with the razor's weight, look; five pairs with a little more, and look again at "
                "the same place. End with ten at the razor's own weight.",
                {"Light": "the razor's own weight", "Firm": "about 5 N (500 g)"},
                counter=("pairs of strokes", 20),
                records=("pressure_sensitivity",),
            ),
            step(
                "finish",
                "Read the finish",
                "Rinse, dry with tissue from spine to edge, and look along the bevel, then straight at the "
                "edge: a clean edge shows no points of light.",
                {"Light": "one lamp, at a low angle", "Loupe": "20× or more, at heel, middle and toe"},
                records=("contrast", "finish_band", "scratches_seen"),
            ),
            step(
                "grade",
                "Grade",
                "Grade this stone with this razor as you found it today. Half steps are welcome where two "
                "levels both fit. Do not ask what others gave.",
                {"Settle": "each scale by itself, before you look at the next"},
                records=("hardness", "fineness", "ease", "notes"),
            ),
            clean_up(),
        ],
        "scales": [
            {
                "id": "hardness",
                "name": "Hardness of the stone",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Very soft. Mud under the razor's own weight; the edge rounds in it.",
                    "2": "Soft. Clear water clouds within ten pairs.",
                    "3": "Medium. Clear water clouds late and only a little.",
                    "4": "Hard. Clear water stays clear; only a rubbing piece raises slurry.",
                    "5": "Very hard. Even a rubbing piece raises little; it wants the plate.",
                },
            },
            {
                "id": "fineness",
                "name": "Fineness of the finish",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Below the start. Coarser lines than the #8000 pattern it began with.",
                    "2": "As the start. The #8000 pattern replaced by lines no finer.",
                    "3": "Finer. Shallower lines than at the start; the edge clean at most places.",
                    "4": "Very fine. Faint lines through the loupe; the edge clean along its length.",
                    "5": "Finest. No line through the loupe; the edge clean and unbroken.",
                },
            },
            {
                "id": "ease",
                "name": "Ease of use",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Fights. Skates, clings or chips the edge whatever you do.",
                    "2": "Demanding. Good only at one thinness of slurry and one pressure.",
                    "3": "Workable. Good with ordinary care.",
                    "4": "Easy. Forgives slurry and pressure, and tells the hand when it is done.",
                    "5": "Very easy. The same clean edge each time, on water alone.",
                },
            },
        ],
        "observations": standard_observations(),
    }
