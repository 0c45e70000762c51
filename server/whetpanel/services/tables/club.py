"""Tables of what a club is and has agreed on: members, stones, blades, protocols, rules."""

from collections.abc import Iterable

from .shape import (
    POSITION,
    Column,
    Link,
    Row,
    Table,
    among,
    day,
    ident,
    moment,
    number,
    parts_of,
    record_table,
    text,
    whole,
    yes_no,
)

PURPOSES = ("knife", "razor", "plane_iron")
FACES = ("front", "back")
URGENCIES = ("none", "watch", "soon", "before_use", "reject")
OF_STONE = Link(("stone_id",), "stones")
VERSIONED = ("protocol_id", "version")
OF_PROTOCOL = Link(VERSIONED, "protocol_versions", VERSIONED)


def _protocol_scales(protocol: Row) -> Iterable[Row]:
    for row in parts_of("scales", "protocol_id", "version")(protocol):
        yield {**row, "scale": row["id"]}


def _protocol_levels(protocol: Row) -> Iterable[Row]:
    for scale in protocol["scales"]:
        for level, words in scale["words"].items():
            yield {
                "protocol_id": protocol["id"], "version": protocol["version"], "scale": scale["id"],
                "level": level, "words": words,
            }  # fmt: skip


def _protocol_observations(protocol: Row) -> Iterable[Row]:
    for row in parts_of("observations", "protocol_id", "version")(protocol):
        yield {**row, "observation": row["id"]}


def _protocol_choices(protocol: Row) -> Iterable[Row]:
    for observation in protocol["observations"]:
        for n, choice in enumerate(observation["choices"], start=1):
            yield {
                "protocol_id": protocol["id"], "version": protocol["version"], "observation": observation["id"],
                "position": n, "value": str(choice["value"]), "words": choice["words"],
            }  # fmt: skip


def _protocol_steps(protocol: Row) -> Iterable[Row]:
    for row in parts_of("steps", "protocol_id", "version")(protocol):
        yield {**row, "step": row["id"]}


def _protocol_cautions(protocol: Row) -> Iterable[Row]:
    for row in parts_of("cautions", "protocol_id", "version")(protocol):
        yield {**row, "caution": row["id"]}


def _rules(rule_set: Row) -> Iterable[Row]:
    for row in parts_of("rules", "rule_set_id", "version")(rule_set):
        yield {**row, "rule_id": row["id"]}


def _rule_parameters(rule_set: Row) -> Iterable[Row]:
    for rule in rule_set["rules"]:
        for parameter in rule["parameters"]:
            yield {
                **parameter, "rule_set_id": rule_set["id"], "version": rule_set["version"], "rule_id": rule["id"],
            }  # fmt: skip


PROTOCOL = (ident("protocol_id", "The protocol."), whole("version", "Its version."))
RULE_SET = (ident("rule_set_id", "The rule set."), whole("version", "Its version."))

CLUB_TABLES: tuple[Table, ...] = (
    record_table(
        "clubs", "club", "The club, and its rule for publishing a grade.",
        text("slug", "Short name, given once."),
        text("name", "Full name."),
        yes_no("invented", "Whether the club and all in it are made up."),
        whole("min_testers", "Testers that a stone needs before it is published.", "testers",
              at="publish_rules.min_testers"),
        whole("min_steels", "Steels that a stone needs before it is published.", "steels",
              at="publish_rules.min_steels"),
        number("max_half_width", "The widest half of a 90 % interval that is published.", "grades",
               at="publish_rules.max_half_width"),
        number("confirm_depth_mm", "Depth taken off a face after which a stone asks for a confirming trial.", "mm"),
        elsewhere={"publish_rules": "clubs"},
    ),
    record_table(
        "members", "member", "The people of the club. Passwords are not in the export.",
        text("display_name", "Name shown to others."),
        text("sign_in_name", "Name to sign in with."),
        Column("roles", "list", "Roles in the club: tester, dealer, steward."),
        yes_no("active", "Whether the member can sign in."),
    ),
    record_table(
        "consents", "consent", "What members agreed to. The id is the member's.",
        yes_no("names_on_slips", "Whether slips that rest on own trials may show the name."),
        links=(Link(("id",), "members"),),
    ),
    record_table(
        "lots", "lot", "Stones that came in together.",
        text("code", "Code."),
        text("name", "Name."),
        text("quarry", "Where the stones are from."),
        day("received_on", "Day they came in.", maybe=True),
        text("notes", "Notes."),
    ),
    record_table(
        "stones", "stone", "The whetstones.",
        text("code", "Code, as on the label."),
        ident("lot_id", "The lot it came with."),
        among("kind", ("slate", "novaculite", "schist", "sandstone", "siltstone", "garnet_slate", "chert", "other"),
              "Kind of stone."),
        among("form", ("bench", "hand", "finger", "irregular"), "Form."),
        number("length_mm", "Length.", "mm"),
        number("width_mm", "Width.", "mm"),
        number("thickness_mm", "Thickness at intake.", "mm"),
        number("mass_g", "Mass, dry.", "g", maybe=True),
        text("colour", "Colour in words."),
        yes_no("sides_sealed", "Whether the sides are sealed."),
        text("notes", "Notes."),
        links=(Link(("lot_id",), "lots"),),
        elsewhere={"marks": "stone_marks", "photos": "record_photos"},
    ),
    Table(
        "stone_marks", "stone", "Stamps and natural skin, which no lapping may touch unasked.",
        (ident("stone_id", "The stone."), POSITION, among("face", FACES, "Face."),
         among("kind", ("stamp", "natural_skin"), "Kind of mark."), text("notes", "Notes.")),
        ("stone_id", "position"), (OF_STONE,), parts_of("marks", "stone_id"),
    ),
    record_table(
        "blades", "blade", "The reference blades.",
        text("name", "Name."),
        text("steel", "Key of the steel; trials are pooled by it."),
        text("steel_name", "Name of the steel."),
        among("steel_class", ("plain_carbon", "low_alloy", "stainless", "high_alloy", "powder"), "Class of steel."),
        among("construction", ("mono", "laminated", "clad"), "Construction."),
        number("hardness_hrc", "Hardness.", "HRC", maybe=True),
        among("form", PURPOSES, "What the blade is for."),
        text("notes", "Notes."),
    ),
    record_table(
        "protocols", "protocol", "How trials are done: the protocols as they stand.",
        text("name", "Name."),
        among("purpose", PURPOSES, "For which purpose it grades."),
        text("summary", "Summary."),
        Column("reference_steels", "list", "Keys of the steels that the pooled grade averages over."),
        elsewhere={"scales": "protocol_scales", "observations": "protocol_observations", "steps": "protocol_steps",
                   "cautions": "protocol_cautions"},
    ),
    Table(
        "protocol_versions", "protocol_version", "Every version of a protocol; trials name the one they followed.",
        (ident("protocol_id", "The protocol.", at="id"), whole("version", "Its version."), text("name", "Name then."),
         among("purpose", PURPOSES, "Purpose then."), text("summary", "Summary then."),
         Column("reference_steels", "list", "Reference steels then."), moment("updated_at", "When it was written.")),
        VERSIONED, (Link(("protocol_id",), "protocols"),),
    ),
    Table(
        "protocol_scales", "protocol_version", "The graded scales of each version.",
        (*PROTOCOL, POSITION, text("scale", "Key of the scale."), text("name", "Name."),
         number("low", "Lowest grade.", "grades"), number("high", "Highest grade.", "grades"),
         number("step", "Step of the scale.", "grades")),
        (*VERSIONED, "scale"), (OF_PROTOCOL,), _protocol_scales,
    ),
    Table(
        "protocol_levels", "protocol_version", "What the levels of a scale mean in words.",
        (*PROTOCOL, text("scale", "Key of the scale."), text("level", "The level, a number as text."),
         text("words", "What it means.")),
        (*VERSIONED, "scale", "level"),
        (Link((*VERSIONED, "scale"), "protocol_scales", (*VERSIONED, "scale")),), _protocol_levels,
    ),
    Table(
        "protocol_observations", "protocol_version", "What a tester notes beside the grades.",
        (*PROTOCOL, POSITION, text("observation", "Key of the observation."), text("name", "Name."),
         text("help", "How to observe it."),
         among("kind", ("choice", "number", "grit_band", "yes_no", "text"), "Kind of answer."),
         text("unit", "Unit of a number.", maybe=True), number("low", "Least number, in that unit.", maybe=True),
         number("high", "Greatest number, in that unit.", maybe=True),
         yes_no("required", "Whether a trial is incomplete without it.")),
        (*VERSIONED, "observation"), (OF_PROTOCOL,), _protocol_observations,
    ),
    Table(
        "protocol_choices", "protocol_version", "The answers to choose from.",
        (*PROTOCOL, text("observation", "Key of the observation."), POSITION,
         text("value", "The value that a trial holds."), text("words", "What it means.")),
        (*VERSIONED, "observation", "position"),
        (Link((*VERSIONED, "observation"), "protocol_observations", (*VERSIONED, "observation")),),
        _protocol_choices,
    ),
    Table(
        "protocol_steps", "protocol_version", "The steps of a trial.",
        (*PROTOCOL, POSITION, text("step", "Key of the step."), text("title", "Title."), text("text", "What to do."),
         Column("conditions", "list", "What has to be the same for every tester: name and value."),
         number("timer_s", "Length of the timed part.", "s", maybe=True),
         Column("counter", "object", "What is counted, and up to how many.", maybe=True),
         Column("records", "list", "Keys of the observations and scales written down in it.")),
        (*VERSIONED, "step"), (OF_PROTOCOL,), _protocol_steps,
    ),
    Table(
        "protocol_cautions", "protocol_version", "Dangers of the work and how to meet them.",
        (*PROTOCOL, POSITION, text("caution", "Key of the caution."), text("text", "The caution.")),
        (*VERSIONED, "caution"), (OF_PROTOCOL,), _protocol_cautions,
    ),
    record_table(
        "rule_sets", "rule_set", "The club's soundness rules as a whole.",
        text("name", "Name."),
        elsewhere={"rules": "rules"},
    ),
    Table(
        "rules", "rule_set_version", "The rules in every version of the set; inspections name the one that judged.",
        (*RULE_SET, POSITION, text("rule_id", "Key of the rule."),
         among("applies_to", ("finding", "inspection", "stone"), "What it looks at."),
         Column("when", "object", "A JSON Schema; the rule speaks when the facts fit it."),
         text("verdict", "What is to be done."), among("urgency", URGENCIES, "How urgent that is."),
         text("because", "Why."), text("caution", "The caution that goes with the work.", maybe=True)),
        ("rule_set_id", "version", "rule_id"), (Link(("rule_set_id",), "rule_sets"),), _rules,
    ),
    Table(
        "rule_parameters", "rule_set_version", "Thresholds that a steward may set.",
        (*RULE_SET, text("rule_id", "Key of the rule."), text("name", "Key of the threshold."),
         text("label", "What it is."), text("unit", "Its unit."), number("value", "Its value, in that unit."),
         number("low", "Least value, in that unit."), number("high", "Greatest value, in that unit.")),
        ("rule_set_id", "version", "rule_id", "name"),
        (Link(("rule_set_id", "version", "rule_id"), "rules", ("rule_set_id", "version", "rule_id")),),
        _rule_parameters,
    ),
)  # fmt: skip
