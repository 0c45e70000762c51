"""Rules as data: thresholds from parameters, sentences filled in, unusable rules refused when written."""

import copy

import pytest

from whetpanel.core.soundness import DEFAULT_RULES, Rule, read_rules
from whetpanel.core.soundness.facts import FACTS
from whetpanel.core.soundness.rules import facts_used, matches, reason, with_parameters
from whetpanel.core.soundness.words import say_number
from whetpanel.errors import Invalid

LENGTH = {
    "id": "long",
    "applies_to": "finding",
    "verdict": "watch",
    "urgency": "watch",
    "when": {
        "properties": {"length_mm": {"type": "number", "minimum": {"$param": "limit_mm"}}},
        "required": ["length_mm"],
    },
    "because": "{length_mm} mm long, {angle_deg}° to the edge; the club's limit is {limit_mm}.",
    "caution": None,
    "parameters": [{"name": "limit_mm", "label": "From", "unit": "mm", "value": 40, "low": 10, "high": 200}],
}


def changed(**changes) -> dict:
    return copy.deepcopy(LENGTH) | changes


def one(record=LENGTH) -> Rule:
    return read_rules([record])[0]


def test_a_threshold_comes_from_its_parameter():
    assert with_parameters(one())["properties"]["length_mm"] == {"type": "number", "minimum": 40}
    assert not matches(one(), {"length_mm": 39.9999})
    assert matches(one(), {"length_mm": 40.0})


def test_what_is_not_known_does_not_match():
    assert not matches(one(), {})


def test_the_reason_names_facts_and_thresholds():
    """Numbers in three figures or so; what is not known is said to be so."""
    expected = "52.1 mm long, not known° to the edge; the club's limit is 40."

    assert expected == reason(one(), {"length_mm": 52.0588})


def test_a_part_in_brackets_goes_where_its_fact_is_not_known():
    rule = one(changed(because="A crack[, {length_mm} mm][ at {angle_deg}°]."))

    assert reason(rule, {"length_mm": 12.5}) == "A crack, 12.5 mm."
    assert reason(rule, {"length_mm": 12.5, "angle_deg": 30.0}) == "A crack, 12.5 mm at 30°."


def test_a_verdict_carries_the_facts_it_rests_on_and_no_others():
    assert facts_used(one(), {"length_mm": 52.0, "reach": "inside"}) == {"length_mm": 52.0, "limit_mm": 40}


@pytest.mark.parametrize(
    ("record", "field", "words"),
    [
        (
            changed(when={"properties": {"kind": {"pattern": "^f"}}}),
            "when.properties.kind.pattern",
            "not allowed",
        ),
        (changed(when={"patternProperties": {}}), "when.patternProperties", "not allowed"),
        (changed(when={"$ref": "#"}), "when.$ref", "not among the keywords"),
        (changed(when={"properties": {"lenght_mm": {}}}), "when.properties.lenght_mm", "no such fact"),
        (changed(when={"required": ["nonsense"]}), "when.required", "no fact 'nonsense'"),
        (changed(when={"anyOf": []}), "when.anyOf", "not empty"),
        (changed(when={"not": {"multipleOf": 2}}), "when.not.multipleOf", "not among"),
        (
            changed(when={"properties": {"length_mm": {"minimum": {"$param": "gone"}}}}),
            "when.properties.length_mm.minimum",
            "no parameter 'gone'",
        ),
        (
            changed(when={"properties": {"length_mm": {"minimum": "40"}}}),
            "when.properties.length_mm.minimum",
            "must be a number",
        ),
        (
            changed(when={"properties": {"length_mm": {"properties": {"x": {}}}}}),
            "when.properties.length_mm.properties.x",
            "no such fact",
        ),
        (changed(when=[]), "when", "JSON Schema object"),
        (changed(because="{nothing} here"), "because", "'nothing'"),
        (changed(verdict="burn"), "verdict", "one of"),
        (changed(urgency="now"), "urgency", "one of"),
        (changed(applies_to="club"), "applies_to", "one of"),
        (changed(id=""), "id", "not empty"),
        (changed(note="x"), "note", "no such field"),
        (
            changed(parameters=[{**LENGTH["parameters"][0], "value": 5}]),
            "parameters.0.value",
            "between 10 and 200",
        ),
        (
            changed(parameters=[{**LENGTH["parameters"][0], "name": "Limit mm"}]),
            "parameters.0.name",
            "small letters",
        ),
        (changed(parameters=[{"name": "limit_mm"}]), "parameters.0", "exactly"),
        (
            changed(parameters=[LENGTH["parameters"][0], {**LENGTH["parameters"][0], "name": "kind"}]),
            "parameters",
            "name of a fact",
        ),
    ],
)
def test_a_rule_that_could_fail_later_is_refused_when_written(record, field, words):
    with pytest.raises(Invalid) as refused:
        read_rules([record])

    told = {e.field: e.message for e in refused.value.errors}
    assert f"rules.0.{field}" in told
    assert words in told[f"rules.0.{field}"]


@pytest.mark.parametrize(
    "rules", [None, {}, "x", [None], [3], [[]], [LENGTH, LENGTH], [changed(parameters=3)]]
)
def test_anything_that_is_no_list_of_rules_is_refused(rules):
    with pytest.raises(Invalid):
        read_rules(rules)


def test_all_faults_are_told_at_once():
    with pytest.raises(Invalid) as refused:
        read_rules([changed(verdict="burn", urgency="now", because="{a} {b}")])

    assert len(refused.value.errors) == 4


class TestDefaultRules:
    def test_they_survive_being_stored(self):
        """What a rule set keeps is what core reads again."""
        assert read_rules([rule.to_record() for rule in DEFAULT_RULES]) == DEFAULT_RULES

    @pytest.mark.parametrize("rule", DEFAULT_RULES, ids=lambda rule: rule.id)
    def test_work_carries_its_caution(self, rule):
        """Whoever laps or relieves reads of dust, whoever glues of vapour, whoever seals of lacquer, whoever
        lifts of help (common practice; silica limits 29 CFR 1910.1053 and EH40 are why dust comes first)."""
        words = {
            "lap": "wet",
            "relieve below the face": "wet",
            "trim the corner": "wet",
            "round the edge": "wet",
            "glue before lapping": "vapour",
            "mount on a base": "vapour",
            "seal sides": "lacquer",
            "lift with two": "local rules",
        }
        if rule.verdict in words:
            assert words[rule.verdict] in (rule.caution or "")

    @pytest.mark.parametrize("rule", DEFAULT_RULES, ids=lambda rule: rule.id)
    def test_a_sentence_only_tells_facts_that_the_vocabulary_explains(self, rule):
        parameters = {p.name for p in rule.parameters}
        facts = dict.fromkeys(FACTS[rule.applies_to], 1.0)

        assert "not known" not in reason(rule, facts)
        assert parameters <= set(facts_used(rule, facts))


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "0"),
        (0.004, "0"),
        (0.005, "0.01"),
        (1.5, "1.5"),
        (9.999, "10"),
        (12.34, "12.3"),
        (12.0, "12"),
        (123.5, "124"),
        (16000, "16000"),
        (-3.21, "−3.21"),
        (-0.001, "0"),
        (100.4, "100"),
    ],
)
def test_numbers_in_sentences(number, text):
    assert text == say_number(number)
