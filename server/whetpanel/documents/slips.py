"""A published slip in plain words and places on a ruler. Pure, and the same for paper and for the public page.

``slip`` is what ``GET /api/v1/published/<code>`` serves. It names no member but those who agreed to it, and
nothing here could add another. What a buyer reads is worked out in one place, so that the page behind the QR code
cannot say other than the paper.
"""

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from .frame import date_in_words, frame, plain_number, ruler
from .papers import Paper
from .text import breakable, each_text

_PURPOSES = {"knife": "knives", "razor": "razors", "plane_iron": "plane irons"}
_FORMS = {
    "bench": "bench stone",
    "hand": "hand stone",
    "finger": "finger stone",
    "irregular": "stone of irregular shape",
}
_MARKS = {"stamp": "stamp", "natural_skin": "natural skin"}
_URGENCIES = {
    "none": "nothing to do",
    "watch": "keep an eye on it",
    "soon": "soon",
    "before_use": "before the stone is used",
    "reject": "do not use the stone",
}

# The first places of a digest are enough to hold two slips side by side; the whole is in the record.
_DIGEST_SHOWN = 12

# Hardness says what kind of stone it is, so it comes first; scales of a club's own follow these.
_FIRST_SCALES = ("hardness", "fineness", "ease")

# Characters of an unbroken word that fit the narrowest column of the slip.
_LONGEST_WORD = 20

CHECK_WORDS = "Paper can be copied. What counts is the page that this code leads to."


def grade_slip(slip: Mapping[str, Any], *, url: str, paper: Paper) -> dict[str, Any]:
    """Data for templates/grade_slip.typ. ``url`` is the full address of the public page."""
    told = slip_in_words(slip)
    return {
        **each_text(told, lambda text: breakable(text, _LONGEST_WORD)),
        **frame(
            title=slip["stone"]["code"],
            kind="Grade slip",
            club_name=slip["club_name"],
            url=url,
            link_words=CHECK_WORDS,
            issued_on=_day(slip["issued_on"]),
            paper=paper,
        ),
        "version": f"slip {slip['code']}" + (", withdrawn" if slip["withdrawn"] else ""),
    }


def slip_in_words(slip: Mapping[str, Any]) -> dict[str, Any]:
    """What a buyer reads, in the order of reading; the drawing's places run from 0 to 1 along the ruler."""
    withdrawn = slip["withdrawn"]
    purpose = _PURPOSES.get(slip["purpose"], _plain(slip["purpose"]))
    return {
        "code": slip["code"],
        "club": slip["club_name"],
        "invented": bool(slip["invented"]),
        "issued_on": date_in_words(_day(slip["issued_on"])),
        "purpose": purpose,
        "withdrawn": None
        if withdrawn is None
        else {"on": date_in_words(_day(withdrawn["at"])), "reason": withdrawn["reason"] or ""},
        "override": slip["override_reason"] or "",
        "stone": _stone(slip["stone"]),
        "grades": [_grade(grade) for grade in sorted(slip["grades"], key=_rank)],
        "evidence": _evidence(slip["evidence"], slip.get("testers", [])),
        "reading": _how_to_read(purpose),
        "inspection": _inspection(slip["evidence"], slip["findings"]),
        "findings": _findings(slip["findings"]),
        "care": list(slip["care"]),
        "method": slip["method_version"],
        "digests": _digests(slip),
    }


def _digests(slip: Mapping[str, Any]) -> list[dict[str, str]]:
    """In the order of the grades; one without a grade on the slip comes after them."""
    known = slip["inputs_digests"]
    order = [grade["scale"] for grade in sorted(slip["grades"], key=_rank) if grade["scale"] in known]
    return [
        {"name": _plain(scale), "short": known[scale][:_DIGEST_SHOWN]}
        for scale in dict.fromkeys([*order, *sorted(known)])
    ]


def _day(moment: date | str) -> date:
    """The day of a date, or of a time in UTC as it is served."""
    return moment if isinstance(moment, date) else date.fromisoformat(moment[:10])


def _plain(key: str) -> str:
    return key.replace("_", " ")


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def _stopped(words: str) -> str:
    """With a full stop, unless its writer set one."""
    return words if words.rstrip().endswith((".", "!", "?", "。")) else f"{words}."


def _counted(n: int, one: str, many: str) -> str:
    return f"{n} {one if n == 1 else many}"


def _listed(names: Sequence[str]) -> str:
    """Steels have commas in their names, so semicolons stand between them."""
    return "; ".join(names)


# ---- the stone


def _stone(stone: Mapping[str, Any]) -> dict[str, Any]:
    length, width, thickness = (
        _tenths(stone["length_mm"]), _tenths(stone["width_mm"]), _tenths(stone["thickness_mm"])
    )  # fmt: skip
    facts = [
        {"name": "Face graded", "value": f"{stone['face']}, {length} × {width} mm"},
        {"name": "Thickness then", "value": f"{thickness} mm"},
    ]
    if stone["mass_g"] is not None:
        facts.append({"name": "Mass", "value": f"{plain_number(round(stone['mass_g']))} g"})
    if stone["density_g_cm3"] is not None:
        facts.append({"name": "Density", "value": f"{stone['density_g_cm3']:.2f} g/cm³"})
    if stone["colour"]:
        facts.append({"name": "Colour", "value": stone["colour"]})
    facts.append({"name": "Sides", "value": "sealed" if stone["sides_sealed"] else "not sealed"})
    marks = [
        _sentence(_MARKS.get(mark["kind"], _plain(mark["kind"])))
        + f" on the {mark['face']}"
        + (f": {_stopped(mark['notes'])}" if mark["notes"] else ".")
        for mark in stone["marks"]
    ]
    return {
        "code": stone["code"],
        "kind": _sentence(f"{_plain(stone['kind'])}, {_FORMS.get(stone['form'], _plain(stone['form']))}"),
        "facts": facts,
        "marks": marks,
    }


def _tenths(length_mm: float) -> str:
    return plain_number(round(length_mm, 1))


# ---- grades


def _rank(grade: Mapping[str, Any]) -> int:
    scale = grade["scale"]
    return _FIRST_SCALES.index(scale) if scale in _FIRST_SCALES else len(_FIRST_SCALES)


def _grade(grade: Mapping[str, Any]) -> dict[str, Any]:
    low, high, step, at_end = grade["low"], grade["high"], grade["step"], grade["at_end"]
    told = _figure(grade, grade, at_end)
    return {
        "name": grade["name"],
        **told,
        "words": grade["words"] or "",
        "note": _end_note(at_end),
        "spoken": _spoken(grade, told),
        "ruler": ruler(low, high, step, [low, high]),
        "mark": _mark(grade, grade, at_end),
        "steels": [_steel(steel, grade, at_end) for steel in grade["by_steel"]],
    }


def _spoken(grade: Mapping[str, Any], told: Mapping[str, str]) -> str:
    """The drawing in a sentence or two, for a reader aloud."""
    ends = f"{plain_number(grade['low'])} to {plain_number(grade['high'])}"
    said = f"{grade['name']}: {told['figure_words']}, on a scale from {ends}."
    interval = told["interval"].removeprefix("90 %: ")
    return f"{said} 90 % interval {interval}." if interval else said


def _steel(steel: Mapping[str, Any], grade: Mapping[str, Any], at_end: str | None) -> dict[str, Any]:
    """One steel's grade. With every grade of the stone at one end, each steel's are there too."""
    n_trials = steel["n_trials"]
    return {
        "name": steel["steel_name"],
        **_figure(steel, grade, at_end if n_trials else None),
        "trials": _counted(n_trials, "trial", "trials") if n_trials else "no trial",
        "tried": n_trials > 0,
        "mark": _mark(steel, grade, at_end if n_trials else None),
    }


def _figure(estimate: Mapping[str, Any], scale: Mapping[str, Any], at_end: str | None) -> dict[str, str]:
    """The number as printed. Where every grade was the last on the scale, half a step short of it is all that
    was seen: "4.75 or above"."""
    decimals = max(1, _decimals(scale["step"]))
    low90, high90 = estimate["low90"], estimate["high90"]
    half = scale["step"] / 2
    if at_end == "high":
        figure, beyond = plain_number(scale["high"] - half), "or above"
        interval = _one_sided(figure, "90 %: from ", low90, decimals)
    elif at_end == "low":
        figure, beyond = plain_number(scale["low"] + half), "or below"
        interval = _one_sided(figure, "90 %: up to ", high90, decimals)
    else:
        figure, beyond = f"{estimate['grade']:.{decimals}f}", ""
        interval = f"{low90:.{decimals}f} to {high90:.{decimals}f}"
    return {
        "figure": figure,
        "beyond": beyond,
        "figure_words": f"{figure} {beyond}".rstrip(),
        "interval": interval,
    }


def _one_sided(figure: str, words: str, bound: float, decimals: int) -> str:
    """The bound of a one-sided interval, rounded outwards; nothing where the figure has said it already."""
    if plain_number(round(bound, decimals + 1)) == figure:
        return ""
    outwards = math.floor if words.endswith("from ") else math.ceil
    return f"{words}{plain_number(outwards(round(bound * 10**decimals, 6)) / 10**decimals)}"


def _decimals(step: float) -> int:
    return len(plain_number(step).partition(".")[2])


def _end_note(at_end: str | None) -> str:
    if at_end is None:
        return ""
    last, beyond = ("highest", "above") if at_end == "high" else ("lowest", "below")
    return (
        f"Every tester gave the {last} grade there is, so the stone may lie {beyond} the end of this scale."
    )


def _mark(estimate: Mapping[str, Any], scale: Mapping[str, Any], at_end: str | None) -> dict[str, Any]:
    """Notch and band, as shares of the ruler's length; ``at_end`` opens the band at that end."""
    low, high = scale["low"], scale["high"]

    def place(value: float) -> float:
        return round(min(1.0, max(0.0, float(value - low) / float(high - low))), 6)

    return {
        "grade": place(estimate["grade"]),
        "low": place(estimate["low90"]),
        "high": place(estimate["high90"]),
        "at_end": at_end or "",
    }


# ---- what stands behind the grades


def _evidence(evidence: Mapping[str, Any], names: Sequence[str]) -> list[str]:
    trials = _counted(evidence["n_trials"], "trial", "trials")
    testers = _counted(evidence["n_testers"], "tester", "testers")
    steels = _counted(evidence["n_steels"], "steel", "steels")
    said = [f"{trials} by {testers}, with {steels}: {_listed(evidence['steels'])}."]
    if not evidence["steels"]:
        said = [f"{trials} by {testers}."]
    if names:
        said[0] += f" {_named(names, evidence['n_testers'])}"
    said.append(
        "Each tester’s habit of grading high or low is taken out, and steadier testers count for more. "
        "A steel with few trials borrows from the others, and its band is wider for it."
    )
    said += [note for note in (evidence["level_note"], evidence.get("signs_note")) if note]
    return said


def _named(names: Sequence[str], n_testers: int) -> str:
    """The testers who agreed to be named; the others are not counted out one by one."""
    together = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    if len(names) >= n_testers:
        return f"Tested by {together}."
    return f"One of the testers is {together}." if len(names) == 1 else f"Among the testers are {together}."


def _inspection(evidence: Mapping[str, Any], findings: Sequence[Mapping[str, Any]]) -> str:
    """Whether and when the graded face was looked at; what an old slip does not say is not made up."""
    if "inspected" not in evidence:
        return "" if findings else "No finding to watch or to mend is noted with this slip."
    inspected = evidence["inspected"]
    if inspected is None:
        return "No inspection of the graded face was on record when this slip was issued."
    on = f"The graded face was inspected on {date_in_words(_day(inspected['at']))}"
    return f"{on}." if findings else f"{on}. Nothing to watch or to mend is noted."


def _findings(findings: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    """What two findings say in the same words is said once, with their number."""
    told: dict[tuple[str, str, str], int] = {}
    for finding in findings:
        key = (finding["verdict"], finding["urgency"], finding["because"])
        told[key] = told.get(key, 0) + 1
    return [
        {
            "verdict": _sentence(_plain(verdict)),
            "urgency": _URGENCIES.get(urgency, _plain(urgency)) + (f" ({n} findings)" if n > 1 else ""),
            "because": because,
        }
        for (verdict, urgency, because), n in told.items()
    ]


def _how_to_read(purpose: str) -> list[str]:
    return [
        "The notch is the estimate; the band is its 90 % interval. Of ten such bands about nine are expected to "
        "hold the grade that a very large panel of such testers would agree on.",
        f"The grades are for {purpose}, this face and this thickness. Deeper layers can differ, and another "
        "purpose has grades of its own.",
    ]
