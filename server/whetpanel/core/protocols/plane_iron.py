"""The default plane-iron protocol. Our own, from common practice; no published standard behind it.

A plane iron lays a wide flat bevel, and a wider flat back, on the stone. What counts is whether the stone
stays flat under it, cuts the whole width alike and leaves the corner between back and bevel clean.
"""

from .cautions import HEAVY_IRON, common_cautions
from .observations import standard_observations
from .shape import HAVE_READY, Protocol
from .steps import clean_up, look_at_the_stone, step, time_a_drop


def plane_iron_protocol() -> Protocol:
    """A fresh copy of the default plane-iron protocol."""
    return {
        "name": "Plane iron, standard trial",
        "purpose": "plane_iron",
        "summary": "How a natural stone takes the wide flat bevel and the back of a plane iron from a known "
        "scratch pattern, and whether it stays flat while it does so. One trial is one stone and one iron; "
        "grade a stone with at least two of the reference steels. Common practice of the trade in our own "
        "words, with no published standard behind it.",
        "reference_steels": ["white_carbon", "tungsten_alloy", "powder_high_alloy"],
        "cautions": [*common_cautions(), HEAVY_IRON.copy()],
        "steps": [
            step(
                HAVE_READY,
                "Have ready",
                "Lay everything out before your hands are wet.",
                {
                    "Iron": "a reference iron, its back already flat",
                    "Preparation stone": "JIS #1000, synthetic, flat",
                    "Straightedge": "as long as the stone's diagonal",
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
                "Prepare the iron",
                "Work the bevel flat on the preparation stone until one pattern runs from corner to corner "
                "and from heel to edge. Take the burr off on the back, wipe, and look through the loupe.",
                {
                    "Scratch pattern": "JIS #1000, along the iron",
                    "Angle": "the bevel's own, laid flat by hand; or a guide, noted",
                    "Burr": "felt along the whole edge, then taken off",
                },
            ),
            step(
                "water_only",
                "Work the bevel with water only",
                "Wet the face. Forward and back is one stroke. Use the whole face: near edge, middle, far "
                "edge in turn. Notice when the water first clouds, and whether the iron clings.",
                {
                    "Water": "5 drops, one more whenever it drags",
                    "Slurry": "none added",
                    "Pressure": "about 15 N (1.5 kg), over the edge",
                    "Pace": "one stroke a second",
                },
                counter=("strokes", 40),
                records=("strokes_to_mud", "feel"),
            ),
            step(
                "mud",
                "Read the mud",
                "Spread a fingertip of mud on white paper, beside a drop from the clean wet stone.",
                {"Light": "daylight or the one lamp, from the side"},
                records=("mud_shade", "metal_share"),
            ),
            step(
                "pressure",
                "Try the pressure",
                "Keep the mud. Ten light strokes, wipe the bevel and look; then ten firm strokes, and look "
                "again. On a laminated iron compare the hard and the soft layer.",
                {"Light": "about 5 N (500 g)", "Firm": "about 30 N (3 kg)"},
                counter=("strokes", 20),
                records=("pressure_sensitivity",),
            ),
            step(
                "worked_mud",
                "Work the mud down",
                "Go on in the same mud, the pressure falling all the time. A drop of water when it thickens.",
                {"Pressure": "from about 15 N down to the iron's own weight", "Water": "single drops"},
                counter=("strokes", 60),
                records=("refines",),
            ),
            step(
                "back",
                "Take off the burr",
                "Lay the back dead flat and draw it towards you. Turn to the bevel for two strokes, and to "
                "the back again, until no burr is felt on either side.",
                {"Back": "flat, never lifted", "Strokes": "as few as will do it"},
                counter=("strokes", 10),
            ),
            step(
                "finish",
                "Read the finish",
                "Rinse, dry and look at bevel and back: by eye, tilting under the lamp, then through the "
                "loupe at both corners and the middle. Lay the straightedge over the stone again: a hollow "
                "that light shows now was made by this trial.",
                {"Light": "one lamp, at a low angle", "Loupe": "10×, at both corners and the middle"},
                records=("contrast", "finish_band", "scratches_seen"),
            ),
            step(
                "grade",
                "Grade",
                "Grade this stone with this iron as you found it today. Half steps are welcome where two "
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
                    "1": "Very soft. The iron's corners dig in; light shows under the straightedge "
                    "afterwards.",
                    "2": "Soft. Thick mud early; a hollow can just be seen afterwards.",
                    "3": "Medium. Mud by the middle of the count; flat afterwards.",
                    "4": "Hard. Thin dark mud at the end of the count; flat for several irons.",
                    "5": "Very hard. No mud of its own; the face glazes before it wears.",
                },
            },
            {
                "id": "fineness",
                "name": "Fineness of the finish",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Coarse. Scratches plain to the eye across the bevel.",
                    "2": "Medium. An even pattern, its lines still seen without a loupe.",
                    "3": "Fine. A haze to the eye; single lines only through the loupe.",
                    "4": "Very fine. Hard layer bright, soft layer hazed; faint lines through the loupe.",
                    "5": "Finest. Corner to corner alike; no line through the loupe.",
                },
            },
            {
                "id": "ease",
                "name": "Ease of use",
                "low": 1,
                "high": 5,
                "step": 0.5,
                "words": {
                    "1": "Fights. Clings, rocks or scratches whatever you do.",
                    "2": "Demanding. Good only within a narrow range of water and pressure.",
                    "3": "Workable. Good with ordinary care.",
                    "4": "Easy. Forgives pressure and water, and takes the full width at once.",
                    "5": "Very easy. A beginner would get its best finish at the first try.",
                },
            },
        ],
        "observations": standard_observations(),
    }
