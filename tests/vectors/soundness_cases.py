"""The inputs of the vectors that phone and service share, and what is known of each answer beforehand.

``speaks`` lists, written by hand, the rules that must speak. The full answers in soundness.json are written
from the service by ``write_vectors``; that they are right is shown by the tests in tests/core/soundness, and
that both sides give them, by test_vectors.py here and vectors.test.ts on the phone's side.
"""

from typing import Any

BENCH: dict[str, Any] = {
    "length_mm": 205,
    "width_mm": 75,
    "thickness_mm": 25,
    "mass_g": 960,
    "kind": "chert",
    "form": "bench",
    "marks": [],
    "sides_sealed": True,
}

EMPTY: dict[str, Any] = {
    "face": "front",
    "thickness_mm": None,
    "water_uptake_s": None,
    "drop_state": None,
    "dry_mass_g": None,
    "wet_mass_g": None,
    "tap_tone": None,
    "sides_sealed": None,
    "flatness": None,
    "findings": [],
}

FLAT_GRID = {
    "method": "grid",
    "readings": [
        {"x_mm": x, "y_mm": y, "height_um": z}
        for (x, y), z in zip(
            [(x, y) for y in (5, 37.5, 70) for x in (5, 102.5, 200)], (0, 3, 1, 2, 4, 0, 1, 2, 3), strict=True
        )
    ],
}

PROBED = {"catches_nail": False, "moves_when_pressed": False}


def finding(kind: str, *points: tuple[float, float], **more: Any) -> dict[str, Any]:
    return {
        "id": "f1",
        "kind": kind,
        "points": [{"x_mm": x, "y_mm": y} for x, y in points],
        "size_mm": None,
        "depth_mm": None,
        "dip_deg": None,
        "catches_nail": None,
        "catches_edge": None,
        "scratches_finish": None,
        "stays_dark_wet": None,
        "moves_when_pressed": None,
        "relieved": False,
        **more,
    }


def case(name: str, *findings: dict[str, Any], speaks: list[str], **more: Any) -> dict[str, Any]:
    stone = {**BENCH, **more.pop("stone", {})}
    history = more.pop("history", {})
    return {
        "name": name,
        "stone": stone,
        "inspection": {**EMPTY, "flatness": FLAT_GRID, "findings": list(findings), **more},
        "history": history,
        "speaks": sorted(speaks),
    }


def grid(*heights: float, length: float = 205, width: float = 75) -> dict[str, Any]:
    """Readings on the nine places of a 3 × 3 grid that reaches the edges."""
    places = [(x, y) for y in (0, width / 2, width) for x in (0, length / 2, length)]
    return {
        "method": "grid",
        "readings": [
            {"x_mm": x, "y_mm": y, "height_um": z} for (x, y), z in zip(places, heights, strict=True)
        ],
    }


CASES: list[dict[str, Any]] = [
    case("a clean stone: nothing to say", speaks=[]),
    case(
        "closed hairline inside",
        finding("fissure", (80, 30), (100, 36), **PROBED),
        speaks=["fissure_hairline"],
    ),
    case("hairline nobody probed", finding("fissure", (80, 30), (100, 36)), speaks=["fissure_not_probed"]),
    case("long hairline inside", finding("fissure", (60, 30), (140, 36), **PROBED), speaks=["fissure_long"]),
    case(
        "open fissure inside",
        finding("fissure", (80, 30), (90, 36), catches_nail=True, moves_when_pressed=False),
        speaks=["fissure_open"],
    ),
    case(
        "fissure inside that holds water",
        finding("fissure", (80, 30), (90, 36), stays_dark_wet=True, **PROBED),
        speaks=["fissure_holds_water"],
    ),
    case(
        "closed fissure square to the edge",
        finding("fissure", (100, 0), (101, 20), **PROBED),
        speaks=["fissure_at_edge"],
    ),
    case(
        "fissure that runs flat along the edge",
        finding("fissure", (90, 0.5), (130, 8), **PROBED),
        speaks=["fissure_at_edge", "fissure_edge_sliver"],
    ),
    case(
        "fissure that hugs the edge from end to end",
        finding("fissure", (0, 1), (205, 1.2), **PROBED),
        speaks=["fissure_at_edge", "fissure_corner_at_risk", "fissure_edge_sliver", "fissure_long"],
    ),
    case(
        "fissure on its way to the corner",
        finding("fissure", (0, 18), (9, 8), **PROBED),
        speaks=["fissure_at_edge", "fissure_corner_at_risk"],
    ),
    case(
        "fissure that only runs into the corner",
        finding("fissure", (0, 0), (14, 15), **PROBED),
        speaks=["fissure_at_edge", "fissure_corner_at_risk"],
    ),
    case(
        "closed fissure across a corner",
        finding("fissure", (0, 20), (30, 0), **PROBED),
        speaks=["fissure_corner_closed"],
    ),
    case(
        "open fissure across a corner, bent",
        finding("fissure", (205, 50), (195, 62), (180, 75), catches_nail=True, moves_when_pressed=False),
        speaks=["fissure_corner_open"],
    ),
    case(
        "loose corner of known depth",
        finding("fissure", (195, 0), (205, 8), catches_nail=True, moves_when_pressed=True, depth_mm=6),
        speaks=["fissure_corner_loose"],
    ),
    case(
        "loose piece inside",
        finding("fissure", (80, 30), (90, 36), catches_nail=True, moves_when_pressed=True),
        speaks=["fissure_loose"],
    ),
    case(
        "closed leaf under the face",
        finding("fissure", (80, 30), (90, 36), dip_deg=2.454, **PROBED),
        speaks=["fissure_leaf"],
    ),
    case(
        "closed fissure across the stone",
        finding("fissure", (100, 0), (104, 40), (103, 75), **PROBED),
        speaks=["fissure_split_closed", "fissure_long"],
    ),
    case(
        "open fissure along the whole stone",
        finding("fissure", (0, 30), (205, 41), catches_nail=True, moves_when_pressed=False),
        speaks=["fissure_split_open", "fissure_long"],
    ),
    case(
        "fissure told as a spot",
        finding("fissure", (60, 30), size_mm=7, **PROBED),
        speaks=["fissure_hairline"],
    ),
    case(
        "inclusion nobody probed", finding("inclusion", (60, 30), size_mm=2), speaks=["inclusion_not_probed"]
    ),
    case(
        "inclusion not felt",
        finding("inclusion", (60, 30), size_mm=2, catches_edge=False, scratches_finish=False),
        speaks=["inclusion_not_felt"],
    ),
    case(
        "inclusion that catches",
        finding("inclusion", (60, 30), size_mm=2, catches_edge=True),
        speaks=["inclusion_acts"],
    ),
    case(
        "relieved inclusion, not tested again",
        finding("inclusion", (60, 30), size_mm=2, relieved=True, catches_edge=False),
        speaks=["inclusion_retest"],
    ),
    case(
        "relieved inclusion that still scratches",
        finding("inclusion", (60, 30), size_mm=4, relieved=True, catches_edge=False, scratches_finish=True),
        speaks=["inclusion_acts_after_relief"],
    ),
    case(
        "large relieved inclusion that still scratches",
        finding(
            "inclusion",
            (50, 20),
            (90, 20),
            (90, 40),
            (50, 40),
            relieved=True,
            catches_edge=False,
            scratches_finish=True,
        ),
        speaks=["inclusion_acts_after_relief", "inclusion_large_after_relief"],
    ),
    case(
        "dark line, harmless",
        finding("line", (20, 10), (180, 60), catches_edge=False, scratches_finish=False),
        speaks=["line_harmless"],
    ),
    case("dark line nobody probed", finding("line", (20, 10), (180, 60)), speaks=["inclusion_not_probed"]),
    case(
        "line that scratches",
        finding("line", (20, 10), (180, 60), scratches_finish=True),
        speaks=["inclusion_acts"],
    ),
    case("small soft spot", finding("soft_spot", (60, 30), size_mm=8), speaks=["soft_spot"]),
    case(
        "large soft spot",
        finding("soft_spot", (60, 20), (90, 22), (88, 45), (58, 40)),
        speaks=["soft_spot", "soft_spot_large"],
    ),
    case("small chip", finding("chip", (0, 0), (6, 0), (0, 5), catches_edge=False), speaks=["chip_small"]),
    case(
        "large corner chip of known depth",
        finding("chip", (205, 75), (180, 75), (205, 50), depth_mm=6),
        speaks=["chip_large"],
    ),
    case(
        "edge chip told by two points and a width",
        finding("chip", (90, 0), (115, 0), size_mm=10, depth_mm=6, catches_edge=True),
        speaks=["chip_catches", "chip_large"],
    ),
    case("stain", finding("stain", (60, 30), size_mm=8), speaks=["stain"]),
    case(
        "stain that stays dark",
        finding("stain", (60, 30), size_mm=8, stays_dark_wet=True),
        speaks=["stain_holds_water"],
    ),
    case(
        "stain that scratches",
        finding("stain", (60, 30), size_mm=8, scratches_finish=True),
        speaks=["stain_acts"],
    ),
    case("stone that rattles", tap_tone="rattle", speaks=["rattle"]),
    case(
        "dull stone with a hairline",
        finding("fissure", (80, 30), (100, 36), **PROBED),
        tap_tone="dull",
        speaks=["fissure_hairline", "dull_with_fissures"],
    ),
    case(
        "many hairlines",
        *(
            {**finding("fissure", (20, y), (75, y), **PROBED), "id": f"f{y}"}
            for y in (15, 25, 35, 45, 55, 65)
        ),
        speaks=["fissure_hairline"] * 6 + ["many_fissures"],
    ),
    case(
        "open sides that drink",
        stone={"sides_sealed": False},
        water_uptake_s=12,
        speaks=["unsealed_and_thirsty"],
    ),
    case(
        "sealed at the inspection, open on record",
        stone={"sides_sealed": False},
        sides_sealed=True,
        drop_state="at_once",
        speaks=[],
    ),
    case(
        "thirsty stone with a hairline",
        finding("fissure", (80, 30), (100, 36), **PROBED),
        drop_state="quick",
        speaks=["fissure_hairline", "frost"],
    ),
    case("dense stone", water_uptake_s=420, drop_state="quick", speaks=["splash_only"]),
    case("sawn face", history={"lapped_before": False}, speaks=["first_lapping"]),
    case("flatness not read", flatness=None, speaks=["flatness_not_read"]),
    case("hollow face", flatness=grid(160, 0, 160, 160, 0, 160, 160, 0, 160), speaks=["out_of_flat"]),
    case(
        "fine stone, a little twisted",
        flatness=grid(30, 0, -30, 0, 0, 0, -30, 0, 30),
        history={"fineness_grade": 4.5},
        speaks=["out_of_flat_for_fineness"],
    ),
    case(
        "gaps under a straightedge",
        flatness={
            "method": "straightedge",
            "readings": [
                {"x_mm": 5, "y_mm": 5, "height_um": 0},
                {"x_mm": 102.5, "y_mm": 37.5, "height_um": -180},
                {"x_mm": 200, "y_mm": 70, "height_um": 0},
            ],
        },
        speaks=["out_of_flat"],
    ),
    case("after a repair", history={"repaired_since": True}, speaks=["after_repair"]),
    case(
        "stamped face",
        stone={"marks": [{"face": "front", "kind": "stamp", "notes": ""}]},
        speaks=["marked_face"],
    ),
    case("thin bench stone", thickness_mm=11.5, speaks=["too_thin"]),
    case(
        "leaf of a stone", stone={"thickness_mm": 3, "mass_g": 120, "form": "hand"}, speaks=["far_too_thin"]
    ),
    case(
        "bench stone cut short by a chip",
        finding("chip", (70, 0), (205, 0), (205, 75), (70, 75)),
        speaks=["chip_large", "too_short_for_the_bench", "little_face_left"],
    ),
    case("density out of bounds", stone={"mass_g": 9600}, speaks=["density_not_believable"]),
    case(
        "heavy stone",
        stone={"length_mm": 400, "width_mm": 300, "thickness_mm": 60, "mass_g": 18500, "form": "irregular"},
        flatness=None,
        speaks=["lift_with_two", "flatness_not_read"],
    ),
    case(
        "sizes not on record",
        finding("inclusion", (60, 30), catches_edge=True),
        stone={"length_mm": None, "width_mm": None},
        flatness=None,
        speaks=["inclusion_acts", "flatness_not_read", "sizes_not_measured"],
    ),
    case("dry and wet mass", dry_mass_g=958.2, wet_mass_g=962.4, drop_state="slow", speaks=["splash_only"]),
]

REFUSED: list[dict[str, Any]] = [
    {
        "name": "point off the face",
        **{"stone": BENCH, "inspection": {**EMPTY, "findings": [finding("fissure", (10, 10), (207, 10))]}},
        "field": "findings.0.points.1",
    },
    {
        "name": "trace without length",
        **{"stone": BENCH, "inspection": {**EMPTY, "findings": [finding("fissure", (10, 10), (10, 10))]}},
        "field": "findings.0.points",
    },
    {
        "name": "outline that crosses itself",
        **{
            "stone": BENCH,
            "inspection": {**EMPTY, "findings": [finding("stain", (10, 10), (30, 30), (30, 10), (10, 30))]},
        },
        "field": "findings.0.points",
    },
    {
        "name": "finding without a place",
        **{"stone": BENCH, "inspection": {**EMPTY, "findings": [finding("stain")]}},
        "field": "findings.0.points",
    },
    {
        "name": "three readings",
        **{
            "stone": BENCH,
            "inspection": {**EMPTY, "flatness": {"method": "grid", "readings": FLAT_GRID["readings"][:3]}},
        },
        "field": "flatness.readings",
    },
]
