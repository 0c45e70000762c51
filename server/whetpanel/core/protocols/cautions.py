"""The cautions that every default protocol opens with, and those of one purpose.

They are the usual ones of the trade, in our own words. They defer to local rules: a display that named a
limit would have to name the country, and what is asked of a hobby club differs from what is asked of an
employer.
"""

from .shape import Caution

SILICA_DUST: Caution = {
    "id": "silica_dust",
    "text": "Whetstones hold silica, and dried mud is silica dust again. Work wet. Wipe mud up before it "
    "dries and rinse the cloth under water. Never sand, saw, brush or blow a stone dry. Wear a mask where "
    "your local rules ask for one.",
}

BLADE: Caution = {
    "id": "blade",
    "text": "The edge is sharp all through the trial. Fix the stone so that it cannot slide, keep your "
    "fingers behind the edge, wipe from the spine towards the edge and never along it, and lay the blade "
    "down before you reach for anything.",
}

LOOSE_STONE: Caution = {
    "id": "loose_stone",
    "text": "A stone can split along a fissure under load. Inspect it first. Do not try a stone that moves "
    "when pressed, or that its inspection rejects or holds back.",
}

WET_BENCH: Caution = {
    "id": "wet_bench",
    "text": "Wet stones slip and large ones are heavy: carry them low, with both hands. Keep water away "
    "from lamps, sockets and cables, and wipe the floor.",
}

OPEN_RAZOR: Caution = {
    "id": "open_razor",
    "text": "An open razor cuts at a touch and can close on your fingers. Hold it by the tang with the "
    "scales folded well back, and close it whenever it is not on the stone. Judge the edge on hair held "
    "away from the body, never on skin.",
}

TRIAL_EDGE: Caution = {
    "id": "trial_edge",
    "text": "Do not shave with a razor from a trial. One that is to be used again is finished afresh, "
    "cleaned and disinfected as your local rules say.",
}

HEAVY_IRON: Caution = {
    "id": "heavy_iron",
    "text": "Take the iron out of its plane first, and carry it with its edge covered. Its corners cut as "
    "well as its edge. If the bevel has to be ground first, leave dry grinding to a guarded machine with "
    "eye protection, as its maker and your local rules ask.",
}


def common_cautions() -> list[Caution]:
    """A fresh copy of the cautions that hold for every trial."""
    return [SILICA_DUST.copy(), BLADE.copy(), LOOSE_STONE.copy(), WET_BENCH.copy()]
