"""Tables of the dealer's side: check stones, what is asked and handed over, slips, offers; photos and journal."""

from collections.abc import Iterable

from .club import FACES, OF_STONE, PURPOSES, URGENCIES
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
)

OF_SLIP = Link(("slip_id",), "slips")
WITH_PHOTOS = ("stone", "inspection", "repair", "trial")


def _agreed(check_stone: Row) -> Iterable[Row]:
    for scale, agreed in sorted(check_stone["grades"].items()):
        yield {"check_stone_id": check_stone["id"], "scale": scale, **agreed}


def _slip_steels(slip: Row) -> Iterable[Row]:
    for grade in slip["grades"]:
        for cell in grade["by_steel"]:
            yield {**cell, "slip_id": slip["id"], "scale": grade["scale"]}


def _slip_care(slip: Row) -> Iterable[Row]:
    for n, advice in enumerate(slip["care"], start=1):
        yield {"slip_id": slip["id"], "position": n, "advice": advice}


def photo_links(thing: str, record: Row) -> Iterable[Row]:
    """The photos that a record shows, with the face's corners where somebody has marked them."""
    for n, photo in enumerate(record["photos"], start=1):
        at = [place for corner in photo.get("corners", [(None, None)] * 4) for place in corner]
        corners = {column.name: place for column, place in zip(CORNERS, at, strict=True)}
        yield {**photo, **corners, "thing": thing, "record_id": record["id"], "position": n}


CORNERS = tuple(
    number(
        f"corner_{n}_{axis}",
        f"Where the face's corner {n} lies on the photo, clockwise from the face's origin along the length.",
        "pixels",
        maybe=True,
    )
    for n in (1, 2, 3, 4)
    for axis in ("x", "y")
)


GRADE = (
    number("grade", "The grade.", "grades"),
    number("low90", "Lower end of its 90 % interval.", "grades"),
    number("high90", "Upper end of its 90 % interval.", "grades"),
)

TRADE_TABLES: tuple[Table, ...] = (
    record_table(
        "check_stones", "check_stone", "Stones whose grades the club has agreed on.",
        ident("stone_id", "The stone."),
        among("purpose", PURPOSES, "For which purpose."),
        day("agreed_on", "When it was agreed."),
        text("notes", "Notes."),
        links=(OF_STONE,),
        elsewhere={"grades": "check_grades"},
    ),
    Table(
        "check_grades", "check_stone", "The agreed grades.",
        (ident("check_stone_id", "The check stone."), text("scale", "Key of the scale."),
         number("grade", "The agreed grade.", "grades"),
         number("sd", "How sure the club is of it: standard deviation.", "grades")),
        ("check_stone_id", "scale"), (Link(("check_stone_id",), "check_stones"),), _agreed,
    ),
    record_table(
        "assignments", "assignment", "Trials that the dealer asked for.",
        ident("stone_id", "The stone."),
        ident("tester_id", "The tester asked."),
        among("purpose", PURPOSES, "For which purpose."),
        text("steel", "Key of the steel; empty when any will do.", maybe=True),
        day("due_on", "By when.", maybe=True),
        text("notes", "Notes."),
        links=(OF_STONE, Link(("tester_id",), "members")),
    ),
    record_table(
        "hand_overs", "hand_over", "Stones changing hands.",
        ident("stone_id", "The stone."),
        ident("holder_id", "Who has it from then on; empty: it is back with the dealer.", maybe=True),
        moment("handed_at", "When."),
        text("notes", "Notes."),
        links=(OF_STONE, Link(("holder_id",), "members")),
    ),
    record_table(
        "slips", "slip", "Published grades, fixed on the day of issue.",
        ident("stone_id", "The stone."),
        among("purpose", PURPOSES, "For which purpose."),
        text("override_reason", "Why it was published before the club's rule was met; empty when it was met.",
             maybe=True),
        text("notes", "Notes of the club's own; not on the slip."),
        text("code", "Verification code."),
        day("issued_on", "Day of issue."),
        text("club_name", "Name of the club then."),
        text("method_version", "Version of the pooling method."),
        whole("pool_revision", "Revision of the records that were pooled."),
        Column("inputs_digests", "object", "SHA-256 of what was pooled, by scale."),
        Column("stone", "object", "The stone as it was graded: lengths in mm, mass in g, density in g/cm³."),
        Column("evidence", "object", "What the grades rest on. Names are shown to a buyer only where they agreed."),
        links=(OF_STONE,),
        elsewhere={"grades": "slip_grades", "findings": "slip_findings", "care": "slip_care"},
    ),
    Table(
        "slip_grades", "slip", "The published grades.",
        (ident("slip_id", "The slip."), text("scale", "Key of the scale."), text("name", "Name of the scale."),
         number("low", "Lowest grade of the scale.", "grades"), number("high", "Highest grade of the scale.", "grades"),
         number("step", "Step of the scale.", "grades"), *GRADE,
         among("at_end", ("low", "high"), "End of the scale where every grade lies, so that only a bound is known.",
               maybe=True),
         text("words", "What the nearest level means.", maybe=True)),
        ("slip_id", "scale"), (OF_SLIP,), parts_of("grades", "slip_id"),
    ),
    Table(
        "slip_steels", "slip", "The published grades with each steel.",
        (ident("slip_id", "The slip."), text("scale", "Key of the scale."), text("steel", "Key of the steel."),
         text("steel_name", "Name of the steel."), *GRADE, whole("n_trials", "Trials with this steel.", "trials")),
        ("slip_id", "scale", "steel"), (Link(("slip_id", "scale"), "slip_grades", ("slip_id", "scale")),),
        _slip_steels,
    ),
    Table(
        "slip_findings", "slip", "What the slip says of the stone's soundness.",
        (ident("slip_id", "The slip."), POSITION, text("verdict", "What is to be done."),
         among("urgency", URGENCIES, "How urgent that is."), text("because", "Why.")),
        ("slip_id", "position"), (OF_SLIP,), parts_of("findings", "slip_id"),
    ),
    Table(
        "slip_care", "slip", "Care advice and cautions on the slip.",
        (ident("slip_id", "The slip."), POSITION, text("advice", "The advice.")),
        ("slip_id", "position"), (OF_SLIP,), _slip_care,
    ),
    record_table(
        "offers", "offer", "What stones cost and fetch. The id is the stone's.",
        ident("stone_id", "The stone."),
        among("state", ("for_sale", "reserved", "sold", "kept_back"), "Whether it is for sale."),
        number("cost", "What it cost.", "currency", maybe=True),
        number("price", "What is asked for it.", "currency", maybe=True),
        text("currency", "ISO 4217 code."),
        text("notes", "Notes; the reason when it is kept back."),
        links=(OF_STONE,),
    ),
    record_table(
        "shortlists", "shortlist", "Stones found for a buyer on one day.",
        text("name", "For whom or for what."),
        text("notes", "Notes."),
        text("code", "Verification code."),
        day("made_on", "Day it was made."),
        text("club_name", "Name of the club then."),
        text("method_version", "Version of the pooling method."),
        whole("pool_revision", "Revision of the records that were pooled."),
        Column("wish", "object", "What the buyer has and wants."),
        Column("stone_ids", "list", "Ids of the stones chosen, in order."),
        Column("found", "object", "The stones found, with reasons."),
    ),
)  # fmt: skip

OTHER_TABLES: tuple[Table, ...] = (
    Table(
        "photos", "photo", "What is known of each photo. The bytes are in the whole-club bundle, not here.",
        (text("sha256", "SHA-256 of what was sent; the photo's name."), text("media_type", "Kind of file."),
         whole("n_bytes", "Size as kept.", "bytes"), whole("width", "Width.", "pixels"),
         whole("height", "Height.", "pixels"), ident("sent_by", "Who sent it."), moment("sent_at", "When it came.")),
        ("sha256",), (Link(("sent_by",), "members"),),
    ),
    Table(
        "record_photos", "photo_link",
        "Which record shows which photo. A photo that has not arrived yet is named here and not in photos.",
        (among("thing", WITH_PHOTOS, "Kind of record."), ident("record_id", "The record."), POSITION,
         text("sha256", "The photo's name."),
         among("view", ("front", "back", "side", "mud", "finish", "before", "after"), "What it shows."),
         text("caption", "Caption."), *CORNERS),
        ("thing", "record_id", "position"),
    ),
    Table(
        "journal", "journal", "Who wrote which record when. Earlier states themselves are in the whole-club bundle.",
        (whole("revision", "The club's counter at this write."), text("thing", "Kind of record."),
         ident("record_id", "The record."), whole("version", "The record's version after the write."),
         whole("base_version", "The version the writer had in hand; 0 for a new record."),
         ident("member_id", "Who wrote.", maybe=True), moment("written_at", "When."),
         text("digest", "SHA-256 of the record's own fields.")),
        ("revision",), (Link(("member_id",), "members"),),
    ),
)  # fmt: skip

__all__ = ["FACES", "OTHER_TABLES", "TRADE_TABLES", "WITH_PHOTOS", "photo_links"]
