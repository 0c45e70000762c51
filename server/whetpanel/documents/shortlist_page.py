"""What the public page of a shortlist shows: each stone found, in words and with its rulers as SVG numbers.

``shortlist`` is what ``GET /api/v1/shortlists/by-code/<code>`` serves. It names no member and no cost, and nothing
here could add one.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from .drawing import PAGE_RULER, ruler_drawing
from .frame import date_in_words, plain_number, ruler

_PURPOSES = {"knife": "knives", "razor": "razors", "plane_iron": "plane irons"}
_FORMS = {
    "bench": "bench stone",
    "hand": "hand stone",
    "finger": "finger stone",
    "irregular": "stone of irregular shape",
}
_SYSTEMS = {"jis": "#{} (JIS R 6001)", "fepa_f": "F{} (FEPA 42-2)", "fepa_p": "P{} (FEPA 43-2)"}
_WANT_HEIGHT = 5


def shortlist_page(shortlist: Mapping[str, Any]) -> dict[str, Any]:
    """``shortlist`` for web/templates/shortlist.html."""
    withdrawn = shortlist["withdrawn"]
    blades = [need["blade"] for need in shortlist["needs"]]
    return {
        "name": shortlist["name"],
        "code": shortlist["code"],
        "club": shortlist["club_name"],
        "made_on": date_in_words(_day(shortlist["made_on"])),
        "graded_on": date_in_words(_day(shortlist["computed_at"])),
        "purpose": _PURPOSES.get(shortlist["purpose"], shortlist["purpose"].replace("_", " ")),
        "notes": shortlist["notes"],
        "invented": bool(shortlist["invented"]),
        "withdrawn": None
        if withdrawn is None
        else {"on": date_in_words(_day(withdrawn["at"])), "reason": withdrawn["reason"] or ""},
        "wish": [
            {"name": "Finish", "value": shortlist["finish_words"], "note": shortlist["finish_means"]},
            {"name": "Hand", "value": shortlist["skill_words"], "note": ""},
            *(
                [{"name": "Finest stone owned", "value": shortlist["owned_words"], "note": ""}]
                if shortlist["owned_words"]
                else []
            ),
            *(
                {"name": "Blade", "value": _blade(need), "note": need["steel_words"]}
                for need in shortlist["needs"]
            ),
        ],
        "stones": [_stone(stone, blades) for stone in shortlist["stones"]],
        "method": shortlist["method_version"],
        "pool_method": shortlist["pool_method_version"],
    }


def _day(moment: date | str) -> date:
    return moment if isinstance(moment, date) else date.fromisoformat(moment[:10])


def _blade(need: Mapping[str, Any]) -> str:
    return f"{need['blade']}, {need['hrc_words']}" if need["hrc_words"] else str(need["blade"])


def _stone(stone: Mapping[str, Any], blades: Sequence[str]) -> dict[str, Any]:
    size = " × ".join(plain_number(stone[side]) for side in ("length_mm", "width_mm", "thickness_mm"))
    facts = [{"name": "Size", "value": f"{size} mm"}]
    if stone["mass_g"] is not None:
        facts.append({"name": "Mass", "value": f"{plain_number(round(stone['mass_g']))} g"})
    if stone["price"] is not None:
        facts.append({"name": "Price", "value": f"{stone['price']:.2f} {stone['currency']}"})
    for band in stone["finish_bands"]:
        words = _SYSTEMS[band["system"]]
        ends = " to ".join(dict.fromkeys((words.format(band["low"]), words.format(band["high"]))))
        facts.append({"name": "Finish in trials", "value": f"like {ends}"})
    drawn = [
        (_grade(grade, blades[grade["blade"]] if len(blades) > 1 else ""), grade["scale"])
        for grade in stone["grades"]
    ]
    return {
        "code": stone["code"],
        "kind": f"{stone['kind'].replace('_', ' ')}, {_FORMS.get(stone['form'], stone['form'])}",
        "odds": stone["odds"],
        "percent": f"{100 * stone['probability']:.0f} %",
        "by_blade": [
            {"blade": one["blade"], "odds": one["odds"]} for one in stone["by_blade"]
        ] if len(blades) > 1 else [],
        "facts": facts,
        "first": [one for one, scale in drawn if scale == "fineness"],
        "rest": [one for one, scale in drawn if scale != "fineness"],
        "speaks_for": stone["speaks_for"],
        "against": stone["against"],
        "uncertain": stone["uncertain"],
        "evidence": f"{_counted(stone['evidence']['n_trials'], 'trial')} by "
        f"{_counted(stone['evidence']['n_testers'], 'tester')}"
        + (": less than the club asks for before it publishes." if stone["evidence"]["thin"] else "."),
        "slip_code": stone["slip_code"],
    }  # fmt: skip


def _counted(n: int, one: str) -> str:
    return f"{n} {one}" if n == 1 else f"{n} {one}s"


def _grade(grade: Mapping[str, Any], blade: str) -> dict[str, Any]:
    low, high = grade["low"], grade["high"]

    def at(value: float) -> float:
        return float((value - low) / (high - low))

    at_end = "high" if grade["high90"] >= high else "low" if grade["low90"] <= low else ""
    whole = [float(level) for level in range(round(low), round(high) + 1)]
    drawing = ruler_drawing(
        ruler(low, high, grade["step"], whole),
        {
            "grade": at(grade["grade"]),
            "low": at(grade["low90"]),
            "high": at(grade["high90"]),
            "at_end": at_end,
        },
        PAGE_RULER,
    )
    words = f"{grade['grade']:.1f}, from {grade['low90']:.1f} to {grade['high90']:.1f}"
    want = None
    if grade["want_low"] is not None:
        inner = PAGE_RULER.length - 2 * PAGE_RULER.inset
        left, right = (PAGE_RULER.inset + at(grade[end]) * inner for end in ("want_low", "want_high"))
        want = {
            "x": round(left, 2),
            "width": round(max(right - left, 1), 2),
            "y": drawing["rail"]["y"] - _WANT_HEIGHT,
            "height": _WANT_HEIGHT,
            "words": _wanted(grade),
        }
    return {
        "name": grade["name"],
        "blade": blade,
        "words": words,
        "drawing": drawing,
        "want": want,
        "spoken": f"{grade['name']}{f' with {blade}' if blade else ''}: {words}"
        + (f"; wanted {want['words']}" if want else ""),
    }


def _wanted(grade: Mapping[str, Any]) -> str:
    low, high = grade["want_low"], grade["want_high"]
    if low <= grade["low"]:
        return f"up to {plain_number(high)}"
    if high >= grade["high"]:
        return f"{plain_number(low)} or more"
    return f"{plain_number(low)} to {plain_number(high)}"
