"""The list of tables is complete, and the dictionary and the descriptor say what it says."""

import re

import marshmallow as ma
import pytest

from whetpanel.services.tables import TABLES, Table, dictionary, table_schema
from whetpanel.services.tables.shape import RECORD
from whetpanel.storage.schema import RECORDS
from whetpanel.web.inspections import InspectionRead
from whetpanel.web.offers import ConsentRead, OfferRead
from whetpanel.web.plans import AssignmentRead, HandOverRead
from whetpanel.web.schemas.clubs import ClubRead, MemberRead
from whetpanel.web.schemas.inspections import FindingBody, Flatness, VerdictRead
from whetpanel.web.schemas.protocols import Observation, ProtocolRead, Rule
from whetpanel.web.schemas.repairs import LappingRead, RepairRead
from whetpanel.web.schemas.slips import SlipGrade, SlipRead
from whetpanel.web.schemas.stones import BladeRead, LotRead, Mark, StoneRead
from whetpanel.web.schemas.trials import CheckStoneRead, TrialRead

MAIN = {table.source: table for table in TABLES if table.source in RECORDS and table.key == ("id",)}
SERVED: dict[str, type[ma.Schema]] = {
    "clubs": ClubRead, "members": MemberRead, "lots": LotRead, "stones": StoneRead, "stone_marks": Mark,
    "blades": BladeRead, "protocols": ProtocolRead, "protocol_observations": Observation, "rules": Rule,
    "inspections": InspectionRead, "findings": FindingBody, "flatness_readings": Flatness, "verdicts": VerdictRead,
    "repairs": RepairRead, "lappings": LappingRead, "trials": TrialRead, "check_stones": CheckStoneRead,
    "assignments": AssignmentRead, "hand_overs": HandOverRead, "slips": SlipRead, "slip_grades": SlipGrade,
    "offers": OfferRead, "consents": ConsentRead,
}  # fmt: skip


def test_every_kind_of_record_has_its_table() -> None:
    """One row a record."""
    assert set(RECORDS) == set(MAIN)


@pytest.mark.parametrize("thing", RECORDS)
def test_no_field_of_a_record_is_forgotten(thing: str) -> None:
    """Each own and each derived field is a column, or the table says in which other table it stands."""
    model, table = RECORDS[thing], MAIN[thing]
    fields = {*model.FIELDS, *getattr(model, "FIXED", ())}
    fields |= {"trial": {"excluded"}, "inspection": {"verdicts", "rule_set_version"}, "club": {"slug"}}.get(
        thing, set()
    )

    told = {column.name for column in table.columns} | set(table.elsewhere)
    names = {one.name for one in TABLES}

    assert set() == fields - told
    assert set(table.elsewhere.values()) <= names
    assert set(table.elsewhere) <= fields
    assert set(RECORD) <= set(table.columns)


def test_names_are_told_once_and_keys_and_links_exist() -> None:
    """A table's key and links name columns that are there; a link leads to the other table's key."""
    by_name = {table.name: table for table in TABLES}
    assert len(TABLES) == len(by_name)
    for table in TABLES:
        columns = [column.name for column in table.columns]
        assert len(columns) == len(set(columns)), table.name
        assert set(table.key) <= set(columns), table.name
        for link in table.links:
            assert set(link.columns) <= set(columns), table.name
            assert set(by_name[link.table].key) == set(link.to), (table.name, link)


@pytest.mark.parametrize("table", [one for one in TABLES if one.name in SERVED], ids=lambda table: table.name)
def test_the_few_words_of_a_column_are_those_that_the_api_takes(table: Table) -> None:
    """An enumeration that grew in the API and not here would refuse good records."""
    fields = SERVED[table.name]().fields
    n = 0
    for column in table.columns:
        field = fields.get(column.name)
        if field is None:
            continue
        few = [rule for rule in field.validators if isinstance(rule, ma.validate.OneOf)]
        if few:
            assert [one for one in few[0].choices if one is not None] == list(column.among), column.name
        assert not (field.allow_none and not column.maybe), (table.name, column.name)
        n += 1
    assert n


def test_dictionary_and_descriptor_walk_together() -> None:
    """Every table and column stands in both, in the same order, with its words and its unit."""
    words = dictionary(TABLES)
    sections = dict(re.findall(r"^## (\w+)\n(.*?)(?=^## |\Z)", words, re.MULTILINE | re.DOTALL))
    assert [table.name for table in TABLES] == list(sections)
    for table in TABLES:
        fields = table_schema(table)["fields"]
        rows = re.findall(
            r"^\| `(\w+)` \| (.+?) \| (.+?) \| (.+?) \| (.+) \|$", sections[table.name], re.MULTILINE
        )
        assert [field["name"] for field in fields] == [row[0] for row in rows], table.name
        for field, (_, _, unit, there, meaning) in zip(fields, rows, strict=True):
            assert field["description"].startswith(meaning)
            assert (unit == "—") == (" Unit: " not in field["description"])
            assert ("required" in field.get("constraints", {})) == (there == "always there")


def test_every_measure_names_its_unit() -> None:
    """A number is a pure number only if it says so by its name: a count that is no measure, a share, a ratio."""
    pure = {"weight", "borrowed", "x", "y"}
    for table in TABLES:
        for column in table.columns:
            if column.kind == "number" and column.name not in pure:
                told = column.unit or "unit" in column.words
                assert told, (table.name, column.name)
