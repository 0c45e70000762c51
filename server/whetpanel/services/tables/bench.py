"""Tables of what happens at the bench: inspections, repairs, lappings, trials."""

from collections.abc import Iterable
from typing import Any

from .club import FACES, OF_STONE, URGENCIES
from .shape import (
    POSITION,
    Column,
    Link,
    Row,
    Table,
    among,
    ident,
    moment,
    number,
    parts_of,
    record_table,
    text,
    whole,
    yes_no,
)

GRITS = ("jis", "fepa_f", "fepa_p")
OF_INSPECTION = Link(("inspection_id",), "inspections")
OF_TRIAL = Link(("trial_id",), "trials")


def _findings(inspection: Row) -> Iterable[Row]:
    return parts_of("findings", "inspection_id")(inspection)


def _finding_points(inspection: Row) -> Iterable[Row]:
    for finding in inspection["findings"]:
        for n, point in enumerate(finding["points"], start=1):
            yield {**point, "inspection_id": inspection["id"], "finding_id": finding["id"], "position": n}


def _flatness(inspection: Row) -> Iterable[Row]:
    flatness = inspection["flatness"] or {"readings": []}
    for n, reading in enumerate(flatness["readings"], start=1):
        yield {**reading, "inspection_id": inspection["id"], "position": n, "method": flatness["method"]}


def _grades(trial: Row) -> Iterable[Row]:
    for scale, grade in sorted(trial["grades"].items()):
        yield {"trial_id": trial["id"], "scale": scale, "grade": grade}


def _observations(trial: Row) -> Iterable[Row]:
    """A value goes into the column of its own kind; the others stay empty."""
    for name, value in sorted(trial["observations"].items()):
        row: dict[str, Any] = {
            "trial_id": trial["id"], "observation": name, "number": None, "text": None, "yes_no": None,
            "grit_low": None, "grit_high": None, "grit_system": None,
        }  # fmt: skip
        if isinstance(value, bool):
            row["yes_no"] = value
        elif isinstance(value, int | float):
            row["number"] = value
        elif isinstance(value, dict):
            row.update({f"grit_{key}": value[key] for key in ("low", "high", "system")})
        elif value is not None:
            row["text"] = value
        yield row


def _verdicts(inspection: Row) -> Iterable[Row]:
    return parts_of("verdicts", "inspection_id")(inspection)


BENCH_TABLES: tuple[Table, ...] = (
    record_table(
        "inspections", "inspection", "Looks at one face of a stone.",
        ident("stone_id", "The stone."),
        among("face", FACES, "The face looked at."),
        number("thickness_mm", "Thickness of the stone then.", "mm", maybe=True),
        moment("inspected_at", "When."),
        number("water_uptake_s", "Time in which a drop of water vanished.", "s", maybe=True),
        among("drop_state", ("beads", "slow", "quick", "at_once"), "How a drop behaved.", maybe=True),
        number("dry_mass_g", "Mass, dry.", "g", maybe=True),
        number("wet_mass_g", "Mass after soaking.", "g", maybe=True),
        among("tap_tone", ("ring", "dull", "rattle"), "Sound when tapped.", maybe=True),
        yes_no("sides_sealed", "Whether the sides were sealed.", maybe=True),
        text("notes", "Notes."),
        whole("rule_set_version", "Version of the rules that gave the verdicts."),
        links=(OF_STONE,),
        elsewhere={"flatness": "flatness_readings", "findings": "findings", "verdicts": "verdicts",
                   "photos": "record_photos"},
    ),
    Table(
        "findings", "inspection", "What was seen on the face. An empty cell means: not probed.",
        (ident("inspection_id", "The inspection."), ident("id", "The finding's id within the inspection."), POSITION,
         among("kind", ("fissure", "inclusion", "line", "chip", "soft_spot", "stain"), "Kind of finding."),
         number("size_mm", "Size.", "mm", maybe=True), number("depth_mm", "Depth.", "mm", maybe=True),
         number("dip_deg", "Dip to the face; near 0 a leaf may lift.", "°", maybe=True),
         yes_no("catches_nail", "Whether a nail catches on it.", maybe=True),
         yes_no("catches_edge", "Whether an edge catches on it.", maybe=True),
         yes_no("scratches_finish", "Whether it scratches the finish.", maybe=True),
         yes_no("stays_dark_wet", "Whether it stays dark when the face dries.", maybe=True),
         yes_no("moves_when_pressed", "Whether it moves when pressed.", maybe=True),
         yes_no("relieved", "Whether it has been relieved below the face."), text("notes", "Notes.")),
        ("inspection_id", "id"), (OF_INSPECTION,), _findings,
    ),
    Table(
        "finding_points", "inspection", "The places tapped on a finding, in order.",
        (ident("inspection_id", "The inspection."), ident("finding_id", "The finding."), POSITION,
         number("x_mm", "Along the length, from one corner of the face.", "mm"),
         number("y_mm", "Along the width, from the same corner.", "mm")),
        ("inspection_id", "finding_id", "position"),
        (Link(("inspection_id", "finding_id"), "findings", ("inspection_id", "id")),), _finding_points,
    ),
    Table(
        "flatness_readings", "inspection", "Heights on a grid, or gaps under a straightedge.",
        (ident("inspection_id", "The inspection."), POSITION,
         among("method", ("grid", "straightedge"), "How measured."),
         number("x_mm", "Along the length, from one corner of the face.", "mm"),
         number("y_mm", "Along the width, from the same corner.", "mm"),
         number("height_um", "Height, or gap.", "µm")),
        ("inspection_id", "position"), (OF_INSPECTION,), _flatness,
    ),
    Table(
        "verdicts", "inspection", "What the rules then in force said, and why.",
        (ident("inspection_id", "The inspection."), POSITION,
         ident("finding_id", "The finding it speaks of; empty when it speaks of the whole.", maybe=True),
         text("rule_id", "Key of the rule."), text("verdict", "What is to be done."),
         among("urgency", URGENCIES, "How urgent that is."), text("because", "Why, with what was measured."),
         text("caution", "The caution that goes with the work.", maybe=True),
         Column("facts", "object", "What was measured: names end in their units.")),
        ("inspection_id", "position"), (OF_INSPECTION,), _verdicts,
    ),
    record_table(
        "repairs", "repair", "Answers to verdicts: done, or found not to be needed.",
        ident("stone_id", "The stone."),
        ident("inspection_id", "The inspection whose verdict it answers."),
        ident("finding_id", "The finding.", maybe=True),
        text("rule_id", "Key of the rule."),
        text("verdict", "What was to be done."),
        among("outcome", ("done", "not_needed"), "What became of it."),
        moment("done_at", "When."),
        text("with_what", "With what it was done."),
        text("notes", "Notes."),
        links=(OF_STONE, OF_INSPECTION),
        elsewhere={"photos": "record_photos"},
    ),
    record_table(
        "lappings", "lapping", "One grit's work on a face.",
        ident("stone_id", "The stone."),
        among("face", FACES, "The face."),
        moment("lapped_at", "When."),
        among("grit_system", GRITS, "System of the grit number."),
        whole("grit_number", "Grit number in that system."),
        whole("strokes", "Strokes.", "strokes", maybe=True),
        number("stroke_mm", "Length of a stroke.", "mm", maybe=True),
        number("force_n", "Force on the stone.", "N", maybe=True),
        number("removed_um", "Depth that came off.", "µm", maybe=True),
        number("thickness_after_mm", "Thickness afterwards.", "mm", maybe=True),
        yes_no("marked_face_agreed", "Whether lapping a face with a stamp or skin was agreed."),
        text("notes", "Notes."),
        links=(OF_STONE,),
    ),
    record_table(
        "trials", "trial", "One tester (created_by), one stone, one blade, by one version of a protocol.",
        ident("stone_id", "The stone."),
        ident("blade_id", "The blade."),
        ident("protocol_id", "The protocol."),
        whole("protocol_version", "The version that was followed."),
        among("face", FACES, "The face tried."),
        number("thickness_mm", "Thickness of the stone then.", "mm", maybe=True),
        moment("started_at", "Start."),
        moment("finished_at", "End."),
        text("notes", "Notes."),
        moment("excluded_at", "When the dealer left it out of pooling; empty while it counts.", maybe=True,
               at="excluded.at"),
        ident("excluded_by", "Who left it out.", maybe=True, at="excluded.by"),
        text("excluded_reason", "Why it is left out.", maybe=True, at="excluded.reason"),
        links=(
            OF_STONE, Link(("blade_id",), "blades"), Link(("excluded_by",), "members"),
            Link(("protocol_id", "protocol_version"), "protocol_versions", ("protocol_id", "version")),
        ),
        elsewhere={"grades": "trial_grades", "observations": "trial_observations", "photos": "record_photos",
                   "excluded": "trials"},
    ),
    Table(
        "trial_grades", "trial", "The grades of each trial.",
        (ident("trial_id", "The trial."), text("scale", "Key of the scale."), number("grade", "The grade.", "grades")),
        ("trial_id", "scale"), (OF_TRIAL,), _grades,
    ),
    Table(
        "trial_observations", "trial",
        "What was noted beside the grades; the value stands in the column of its kind. All empty: not observed.",
        (ident("trial_id", "The trial."), text("observation", "Key of the observation."),
         number("number", "A number, in the unit that the protocol names.", maybe=True),
         text("text", "Words, or the key of a choice.", maybe=True), yes_no("yes_no", "Yes or no.", maybe=True),
         number("grit_low", "Coarser end of a grit band.", "grit number", maybe=True),
         number("grit_high", "Finer end of a grit band.", "grit number", maybe=True),
         among("grit_system", GRITS, "System of the band.", maybe=True)),
        ("trial_id", "observation"), (OF_TRIAL,), _observations,
    ),
)  # fmt: skip
