"""The default knife protocol. Our own, from common practice of the trade; no published standard behind it.

"Hard" here is what a knife sharpener means: how readily the stone gives up its grains under a bevel a few
millimetres wide. The words of the scales are anchors for a tester's memory, not measurements; pooling
corrects each tester's lean.
"""

from .cautions import common_cautions
from .observations import standard_observations
from .shape import HAVE_READY, Protocol
from .steps import clean_up, look_at_the_stone, step, time_a_drop


def knife_protocol() -> Protocol:
    """A fresh copy of the default knife protocol."""
    return {
        "name": "Knife, standard trial",
        "purpose": "knife",
        "summary": "How a natural stone takes a knife bevel from a known scratch pattern to its own finish: "
        "first with plain water, then in its own mud. One trial is one stone and one blade; grade a stone "
        "with at least two of the reference steels. Common practice of the trade in our own words, with no "
        "published standard behind it.",
        "reference_steels": ["white_carbon", "tungsten_alloy", "fine_stainless"],
        "cautions": common_cautions(),
        "steps": [
            step(
                HAVE_READY,
                "Have ready",
                "Lay everything out before your hands are wet.",
                {
                    "Blade": "a reference knife, bevel 2 mm or wider",
                    "Preparation stone": "JIS #1000, synthetic, flat",
                    "Kitchen scale": "to learn the pressures by feel",
                    "Water": "tap water at room temperature, a dropper",
                    "Light": "one lamp in a dim room, and a 10× loupe",
                    "Paper": "white paper for the mud, a clean cloth",
                    "Clock": "a stopwatch, or the app",
                },
            ),
            look_at_the_stone(),
            time_a_drop(),
            step(
                "blade",
                "Prepare the blade",
                "Work one side of the bevel on the preparation stone until its scratches run one way over "
                "the whole width and nothing is left of any earlier polish. Take the burr off, wipe, and "
                "look through the loupe.",
                {
                    "Scratch pattern": "JIS #1000, straight across the bevel",
                    "Angle": "the bevel's own, laid flat",
                    "Length worked": "the 60 mm nearest the heel",
                },
            ),
            step(
                "water_only",
                "Work with water only",
                "Wet the face. Count each forward and back as one stroke, over the whole length of the "
                "stone. Notice when the water first clouds, and how the steel feels against the stone.",
                {
                    "Water": "3 drops, one more whenever it drags",
                    "Slurry": "none added",
                    "Pressure": "light, about 5 N (500 g on the scale)",
                    "Pace": "one stroke a second",
                },
                counter=("strokes", 40),
                records=("strokes_to_mud", "feel"),
            ),
            step(
                "mud",
                "Read the mud",
                "Before you rinse anything, spread a fingertip of mud on white paper. Beside it put a drop "
                "from the clean wet stone.",
                {"Light": "daylight or the one lamp, from the side"},
                records=("mud_shade", "metal_share"),
            ),
            step(
                "pressure",
                "Try the pressure",
                "Keep the mud. Ten light strokes, wipe a stripe of the bevel clean and look; then ten firm "
                "strokes, and look again at the same place.",
                {"Light": "about 5 N (500 g)", "Firm": "about 20 N (2 kg)"},
                counter=("strokes", 20),
                records=("pressure_sensitivity",),
            ),
            step(
                "worked_mud",
                "Work the mud down",
                "Go on in the same mud without adding stone, the pressure falling all the time. A drop of "
                "water when it thickens. Stop when the mud stops changing, or at the end of the count.",
                {"Pressure": "from about 10 N down to the blade's own weight", "Water": "single drops"},
                counter=("strokes", 60),
                records=("refines",),
            ),
            step(
                "finish",
                "Read the finish",
                "Rinse, dry and look: by eye, tilting under the lamp, then through the loupe at three "
                "places. Look for scratches that stand out from the rest; turn the stone end for end to see "
                "whether they follow it.",
                {
                    "Light": "one lamp, at a low angle",
                    "Loupe": "10×, at heel, middle and end of the worked length",
                },
                records=("contrast", "finish_band", "scratches_seen"),
            ),
            step(
                "grade",
                "Grade",
                "Grade this stone with this blade as you found it today. Half steps are welcome where two "
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
                    "1": "Very soft. Thick pale mud within a few strokes; the blade ploughs into the face.",
                    "2": "Soft. Mud comes quickly and keeps coming; the face hollows within a few knives.",
                    "3": "Medium. Mud comes with work and stays thin; the face holds for a session.",
                    "4": "Hard. Little mud by the end of the count, grey to dark; the face hardly changes.",
                    "5": "Very hard. No mud of its own; the water only darkens with steel, or stays clear.",
                },
            },
            {
                "id": "fineness",
                "name": "Fineness of the finish",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Coarse. Scratches plain to the eye; for setting a bevel.",
                    "2": "Medium. An even pattern, its lines still seen without a loupe.",
                    "3": "Fine. A haze to the eye; single lines only through the loupe.",
                    "4": "Very fine. An even face; faint lines through the loupe.",
                    "5": "Finest. No line to be found through the loupe.",
                },
            },
            {
                "id": "ease",
                "name": "Ease of use",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Fights. Sticks, skates or scratches whatever you do.",
                    "2": "Demanding. Good only within a narrow range of water and pressure.",
                    "3": "Workable. Good with ordinary care.",
                    "4": "Easy. Forgives pressure and water, and tells the hand what it does.",
                    "5": "Very easy. A beginner would get its best finish at the first try.",
                },
            },
        ],
        "observations": standard_observations(),
    }
