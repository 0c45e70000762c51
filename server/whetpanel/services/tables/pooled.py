"""Tables of what pooling makes of the records: computed afresh from the records in the same export."""

from collections.abc import Callable, Iterable, Mapping

from .club import PURPOSES
from .shape import Link, Row, Table, among, ident, number, text, whole, yes_no

ON = ("purpose", "scale")
OF_SCALE = Link(ON, "pooled_scales", ON)
HEAD = (among("purpose", PURPOSES, "For which purpose."), text("scale", "Key of the scale."))
STEP = 6
"""Decimals of a pooled figure: far below what a panel can know, far above what the last bit of arithmetic changes."""


def rounded(row: Row) -> Row:
    """The row with its figures to STEP decimals, so that the same records give the same bytes."""
    return {
        name: round(value, STEP) + 0.0 if isinstance(value, float) else value for name, value in row.items()
    }


def _each(name: str) -> Callable[[Row], Iterable[Row]]:
    """One row for each part of a pooled scale; parts carry the scale's purpose and key."""

    def rows(scale: Row) -> Iterable[Row]:
        for part in scale[name]:
            yield rounded({**part, "purpose": scale["purpose"], "scale": scale["scale"]})

    return rows


def _scale(scale: Row) -> Iterable[Row]:
    yield rounded({**scale, "signs_used": scale["signs"]["used"], "signs_reason": scale["signs"]["reason"]})


def _steels(scale: Row) -> Iterable[Row]:
    for stone in scale["stones"]:
        for cell in stone["by_steel"]:
            yield rounded(
                {**cell, "purpose": scale["purpose"], "scale": scale["scale"], "stone_id": stone["stone_id"]}
            )


def _signs(name: str) -> Callable[[Row], Iterable[Row]]:
    def rows(scale: Row) -> Iterable[Row]:
        for part in scale["signs"][name]:
            yield rounded({**part, "purpose": scale["purpose"], "scale": scale["scale"]})

    return rows


def _drifts(scale: Row) -> Iterable[Row]:
    drifts: Mapping[str, Row] = scale["drifts"]
    for tester, drift in sorted(drifts.items()):
        for on, name in (("all", "all"), ("check_stones", "check")):
            if drift[name] is not None:
                of = {"purpose": scale["purpose"], "scale": scale["scale"], "tester_id": tester, "stones": on}
                yield rounded({**drift[name], **of})


def _trial_readings(scale: Row) -> Iterable[Row]:
    for _, account in sorted(scale["readings"]["stones"].items()):
        for trial in account["trials"]:
            yield {**trial, "purpose": scale["purpose"], "scale": scale["scale"]}


def _beginnings(scale: Row) -> Iterable[Row]:
    for stone, account in sorted(scale["readings"]["stones"].items()):
        yield {**account, "purpose": scale["purpose"], "scale": scale["scale"], "stone_id": stone}


def _steel_leans(scale: Row) -> Iterable[Row]:
    for steel, lean in sorted(scale["readings"]["steels"].items()):
        yield {"purpose": scale["purpose"], "scale": scale["scale"], "steel": steel, "lean": lean}


INTERVAL = (
    number("grade", "Pooled grade: severity taken out, trials weighted.", "grades"),
    number("low90", "Lower end of its 90 % interval.", "grades"),
    number("high90", "Upper end of its 90 % interval.", "grades"),
    number("sd", "Standard deviation.", "grades"),
    whole("n_trials", "Trials that count.", "trials"),
)

POOLED_TABLES: tuple[Table, ...] = (
    Table(
        "pooled_scales", "pooled_scale", "One fit for each purpose and scale.",
        (*HEAD, text("name", "Name of the scale."), number("low", "Lowest grade.", "grades"),
         number("high", "Highest grade.", "grades"), number("step", "Step of the scale.", "grades"),
         text("method_version", "Version of the pooling method."),
         whole("revision", "Revision of the records that were pooled."),
         text("inputs_digest", "SHA-256 of what was pooled; empty before the first trial."),
         yes_no("converged", "Whether the fit settled; if not, treat its grades as doubtful."),
         number("level", "Grade of the club's average stone.", "grades", maybe=True),
         number("level_sd", "Its standard deviation.", "grades", maybe=True),
         text("level_note", "What the height of the grades rests on."),
         whole("n_trials", "Trials that count.", "trials"),
         whole("n_off_scale", "Trials left out because their grade is not on the scale.", "trials"),
         yes_no("signs_used", "Whether water uptake, density and mud set where a stone starts."),
         text("signs_reason", "Why, or why not.")),
        ON, (), _scale,
    ),
    Table(
        "pooled_grades", "pooled_scale", "The pooled grade of each stone.",
        (*HEAD, ident("stone_id", "The stone."), *INTERVAL,
         whole("n_testers", "Testers.", "testers"), whole("n_steels", "Steels.", "steels"),
         whole("group", "Number of the group of stones that can be compared; 0: no trial."),
         among("at_end", ("low", "high"), "End of the scale where every grade lies, so that only a bound is known.",
               maybe=True),
         text("note", "What to beware of.")),
        (*ON, "stone_id"), (OF_SCALE, Link(("stone_id",), "stones")), _each("stones"),
    ),
    Table(
        "pooled_steels", "pooled_scale", "Each stone with each steel; without a trial, what the rest foretell.",
        (*HEAD, ident("stone_id", "The stone."), text("steel", "Key of the steel."), *INTERVAL),
        (*ON, "stone_id", "steel"),
        (Link((*ON, "stone_id"), "pooled_grades", (*ON, "stone_id")),), _steels,
    ),
    Table(
        "tester_calibration", "pooled_scale", "How each tester grades.",
        (*HEAD, ident("tester_id", "The tester."),
         number("severity", "How far the tester grades below the panel's mean tester.", "grades"),
         number("severity_low90", "Lower end of its 90 % interval.", "grades"),
         number("severity_high90", "Upper end of its 90 % interval.", "grades"),
         number("severity_sd", "Its standard deviation.", "grades"),
         number("sigma", "Standard deviation of a single grade about the tester's own mean.", "grades"),
         number("sigma_low90", "Lower end of its 90 % interval.", "grades"),
         number("sigma_high90", "Upper end of its 90 % interval.", "grades"),
         number("weight", "What a trial of this tester counts, against the average trial (1)."),
         whole("n_trials", "Trials that count.", "trials"), text("note", "What to beware of.")),
        (*ON, "tester_id"), (OF_SCALE, Link(("tester_id",), "members")), _each("testers"),
    ),
    Table(
        "tester_drift", "pooled_scale", "Whether a tester's severity moves.",
        (*HEAD, ident("tester_id", "The tester."),
         among("stones", ("all", "check_stones"), "On all stones, or on check stones alone."),
         among("state", ("too_few", "steady", "moved"), "What the chart says."),
         whole("n_trials", "Trials in the chart.", "trials"),
         whole("since", "Number of the trial from which it moved, in order of time from 0.", maybe=True),
         number("moved_by", "By how much; below zero: more severe.", "grades", maybe=True),
         text("note", "In words.")),
        (*ON, "tester_id", "stones"), (OF_SCALE, Link(("tester_id",), "members")), _drifts,
    ),
    Table(
        "trial_readings", "pooled_scale", "What each trial said of its stone, and how it stands to the rest.",
        (*HEAD, ident("trial_id", "The trial."), number("reported", "The grade as given.", "grades"),
         number("severity", "How far its tester grades below the panel.", "grades"),
         number("steel_lean", "How far stones come out higher with its steel than over the reference ones.", "grades"),
         number("corrected", "reported + severity − steel_lean: what it says of the stone.", "grades"),
         number("expected", "The grade that was to be expected of this tester without it.", "grades"),
         number("residual", "reported − expected.", "grades"),
         number("standardised", "The residual as a normal score.", "standard deviations"),
         number("pull", "How far the trial moved its stone's grade.", "grades"),
         among("flag", ("", "low", "high"), "Whether the grade sticks out."),
         number("weight", "How far the stone's grade would follow if this trial alone had read one grade higher."),
         number("after_grade", "The stone's grade once this trial and its earlier ones were in.", "grades",
                at="after.grade"),
         number("after_low90", "Lower end of its 90 % interval.", "grades", at="after.low90"),
         number("after_high90", "Upper end of its 90 % interval.", "grades", at="after.high90")),
        (*ON, "trial_id"), (OF_SCALE, Link(("trial_id", "scale"), "trial_grades", ("trial_id", "scale"))),
        _trial_readings,
    ),
    Table(
        "stone_beginnings", "pooled_scale", "What was to be expected of each stone before any trial of its own.",
        (*HEAD, ident("stone_id", "The stone."),
         number("grade", "The grade to be expected.", "grades", at="before.grade"),
         number("low90", "Lower end of its 90 % interval.", "grades", at="before.low90"),
         number("high90", "Upper end of its 90 % interval.", "grades", at="before.high90"),
         number("borrowed", "1 − the sum of its trials' weights: the part of its grade that rests on other stones.")),
        (*ON, "stone_id"), (OF_SCALE, Link(("stone_id",), "stones")), _beginnings,
    ),
    Table(
        "steel_leans", "pooled_scale", "How far stones come out higher with a steel than over the reference steels.",
        (*HEAD, text("steel", "Key of the steel."), number("lean", "How far.", "grades")),
        (*ON, "steel"), (OF_SCALE,), _steel_leans,
    ),
    Table(
        "sign_effects", "pooled_scale", "How far the grade moves with one standard deviation of a sign.",
        (*HEAD, text("name", "The sign."), number("per_sd", "Move of the grade.", "grades"),
         number("low90", "Lower end of its 90 % interval.", "grades"),
         number("high90", "Upper end of its 90 % interval.", "grades"), whole("n_seen", "Stones seen.", "stones")),
        (*ON, "name"), (OF_SCALE,), _signs("effects"),
    ),
    Table(
        "sign_checks", "pooled_scale", "Stones whose grade and signs disagree.",
        (*HEAD, ident("stone_id", "The stone."), number("foretold", "Grade that the signs foretell.", "grades"),
         number("foretold_sd", "Its standard deviation.", "grades"),
         number("gap", "How far the grade lies from it.", "grades"),
         number("z", "The gap as a normal score.", "standard deviations"),
         text("leading", "The sign that speaks loudest.", maybe=True)),
        (*ON, "stone_id"), (OF_SCALE, Link(("stone_id",), "stones")), _signs("checks"),
    ),
)  # fmt: skip
