"""Published slips to print: an ordinary one, and those that are hard to fit on a page.

The numbers of the ordinary one are pooled grades of the invented demo club (11 trials by 8 testers).
"""

import copy
from typing import Any

URL = "https://stones.example.org/s/7K2M9-QX4TP"

HOSTILE = (
    '<script>alert("x")</script> #panic("no") *star* _line_ $x$ \\ &amp; \' " {{ 7*7 }} {% raw %} '
    "<b onclick=x> javascript: --"
)

STEELS = {
    "fine_stainless": "Fine stainless, 14 % Cr",
    "tungsten_alloy": "Carbon with a little tungsten and chromium",
    "white_carbon": "Plain carbon, about 1.1 % C",
}


def _grade(
    scale: str, name: str, words: str, whole: tuple[float, float, float], *steels: tuple[float, float, float]
) -> dict[str, Any]:
    def figures(three: tuple[float, float, float]) -> dict[str, float]:
        return dict(zip(("grade", "low90", "high90"), three, strict=True))

    return {
        "scale": scale,
        "name": name,
        "low": 1,
        "high": 5,
        "step": 0.5,
        **figures(whole),
        "at_end": None,
        "words": words,
        "by_steel": [
            {"steel": key, "steel_name": STEELS[key], **figures(three), "n_trials": n}
            for key, three, n in zip(STEELS, steels, (4, 3, 4), strict=True)
        ],
    }


_ORDINARY: dict[str, Any] = {
    "code": "7K2M9-QX4TP",
    "issued_on": "2026-11-25",
    "withdrawn": None,
    "club_name": "Hollow Ford Stone Club",
    "invented": False,
    "purpose": "knife",
    "override_reason": None,
    "stone": {
        "code": "TAR-03",
        "kind": "garnet_slate",
        "form": "bench",
        "length_mm": 200,
        "width_mm": 65,
        "thickness_mm": 23.4,
        "mass_g": 853,
        "density_g_cm3": 2.735,
        "colour": "grey-green",
        "face": "front",
        "sides_sealed": False,
        "marks": [{"face": "back", "kind": "stamp", "notes": "Three bars in a ring"}],
    },
    "grades": [
        _grade(
            "hardness", "Hardness of the stone",
            "Hard. Little mud by the end of the count, grey to dark; the face hardly changes.",
            (3.76, 3.50, 4.02), (3.54, 3.20, 3.87), (3.92, 3.59, 4.24), (3.81, 3.51, 4.11),
        ),
        _grade(
            "fineness", "Fineness of the finish",
            "Very fine. An even face; faint lines through the loupe.",
            (4.19, 3.95, 4.44), (4.00, 3.66, 4.33), (4.37, 4.05, 4.70), (4.20, 3.88, 4.52),
        ),
        _grade(
            "ease", "Ease of use", "Workable. Good with ordinary care.",
            (2.91, 2.66, 3.16), (2.72, 2.39, 3.06), (3.03, 2.70, 3.35), (2.98, 2.68, 3.28),
        ),
    ],
    "evidence": {
        "n_trials": 11,
        "n_testers": 8,
        "n_steels": 3,
        "steels": list(STEELS.values()),
        "level_note": "3 stones of agreed grade keep the club’s scale in place, but all its grades together could lie "
        "up to 0.2 higher or lower.",
        "signs_note": "",
        "inspected": {"at": "2026-11-20T18:05:00.000Z"},
    },
    "testers": [],
    "findings": [
        {
            "verdict": "seal sides",
            "urgency": "soon",
            "because": "Its layers lie flat under the face and a drop is gone within 14 s.",
        },
        {
            "verdict": "watch",
            "urgency": "watch",
            "because": "A fissure of 21 mm runs 9 mm from the nearest edge and does not reach it.",
        },
    ],
    "care": [
        "It drinks: wet it well before use and add water as you work.",
        "Let it dry slowly, out of the sun, and never let it freeze while wet.",
        "Stone dust holds crystalline silica. Lap it wet and wipe up the mud before it dries.",
        "A blade on a wet stone slips easily: keep fingers off the edge.",
    ],
    "method_version": "whetpanel-pool-1",
    "inputs_digests": {
        "ease": "239ab492d44975978cbd72cb01baf35a8d3c770648acc1178d44aa34b63403e1",
        "fineness": "c275e047b4128f6d0c4fbb2d3f5dcb9b2a9f6c9e6f7a5b4c3d2e1f0a9b8c7d6e",
        "hardness": "6ee5b1925f3e0a1b2c3d4e5f60718293a4b5c6d7e8f90123456789abcdef0123",
    },
}  # fmt: skip


def published_slip(**changes: Any) -> dict[str, Any]:
    """A fresh slip as served by its code, with some fields changed."""
    return {**copy.deepcopy(_ORDINARY), **changes}


def at_the_end(end: str) -> dict[str, Any]:
    """Fineness: every grade was the last one on the scale."""
    slip = published_slip()
    three = (4.99, 4.75, 5.0) if end == "high" else (1.01, 1.0, 1.25)
    slip["grades"][1] |= dict(zip(("grade", "low90", "high90"), three, strict=True)) | {"at_end": end}
    for steel in slip["grades"][1]["by_steel"]:
        steel |= dict(zip(("grade", "low90", "high90"), three, strict=True))
    return slip


def withdrawn() -> dict[str, Any]:
    """A slip that no longer holds."""
    return published_slip(
        withdrawn={"at": "2027-03-03T09:12:00Z", "reason": "A fissure under the face opened in use."}
    )


def long_slip() -> dict[str, Any]:
    """More steels, findings and advice than a page bears, in Japanese and in signs that mean something to machines."""
    slip = published_slip(
        club_name="刃物研ぎ会「青砥」 – Verein für Schärfkunst & Söhne",
        override_reason=f"The buyer is waiting. {HOSTILE}",
        invented=True,
    )
    slip["stone"] |= {
        "code": "砥石-0123456789",
        "colour": f"浅葱色 {HOSTILE}",
        "mass_g": None,
        "density_g_cm3": None,
        "marks": [{"face": "front", "kind": "natural_skin", "notes": HOSTILE}],
    }
    slip["testers"] = [f"研ぎ師 {HOSTILE}", "Tomma"]
    slip["evidence"]["signs_note"] = f"Hardness: what was noted would suggest about 2.0. {HOSTILE}"
    for grade in slip["grades"]:
        grade["name"] += " 硬さ"
        grade["words"] = "中程度。" * 20
        grade["by_steel"] += [
            {
                **grade["by_steel"][0],
                "steel": f"s{i}",
                "steel_name": f"青紙 {i} {'x' * 50 * i}",
                "n_trials": i,
            }
            for i in range(3)
        ]
    slip["findings"] = slip["findings"] * 3 + [
        {"verdict": "keep_off_the_face", "urgency": "before_use", "because": HOSTILE}
    ]
    slip["care"].append("とても重い石です。" * 6)
    return slip


def never_inspected() -> dict[str, Any]:
    """Nobody had looked at the graded face; two testers like to be named; the signs disagree."""
    slip = published_slip(findings=[], testers=["Imke", "Rolf Ander"])
    slip["evidence"] |= {
        "inspected": None,
        "signs_note": "Hardness of the stone: what was noted of the stone beside the grades, above all its density, "
        "would suggest about 2.2; its trials say 3.8. The grade is what the trials say.",
    }
    return slip


def older() -> dict[str, Any]:
    """From before slips said whether the face was inspected, and by whom it was tried."""
    slip = published_slip()
    del slip["testers"], slip["evidence"]["signs_note"], slip["evidence"]["inspected"]
    return slip


CASES = {
    "ordinary": published_slip,
    "never inspected": never_inspected,
    "older": older,
    "long": long_slip,
    "at the high end": lambda: at_the_end("high"),
    "at the low end": lambda: at_the_end("low"),
    "withdrawn": withdrawn,
}
