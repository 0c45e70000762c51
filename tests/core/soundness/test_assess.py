"""One inspection in, one answer out."""

import pytest

from whetpanel.core.soundness import DEFAULT_RULES, InspectionValues, StoneShape, assess, assess_stone_json
from whetpanel.errors import Invalid

STONE = {
    "length_mm": 205,
    "width_mm": 75,
    "thickness_mm": 25,
    "mass_g": 960,
    "kind": "chert",
    "form": "bench",
}


def fissure(*points, **probes):
    return {
        "id": "f1", "kind": "fissure", "points": [{"x_mm": x, "y_mm": y} for x, y in points], **probes,
    }  # fmt: skip


def answer(*findings, stone=STONE, **inspection):
    return assess_stone_json({"stone": stone, "inspection": {"findings": list(findings), **inspection}})


def rule_ids(result):
    return {v["rule_id"] for v in result["verdicts"]}


def test_an_open_fissure_across_a_corner_is_glued_first_and_says_what_would_break_off():
    """Legs 30 and 20 mm make 300 mm² (½·30·20), 1.95 % of 205 × 75 mm."""
    result = answer(fissure((0, 20), (30, 0), catches_nail=True, moves_when_pressed=False))

    assert result["urgency"] == "before_use"
    verdict = result["verdicts"][0]
    assert verdict["verdict"] == "glue before lapping"
    assert "30 × 20 mm (1.95 % of the face)" in verdict["because"]
    assert "vapour" in verdict["caution"]
    assert result["findings"][0]["facts"]["piece_area_mm2"] == 300


def test_a_record_with_its_envelope_goes_straight_in():
    """A served record carries fields that soundness does not read; they do no harm."""
    stone = StoneShape.from_record({**STONE, "id": "x", "version": 3, "colour": "grey", "cost": 12})
    inspection = InspectionValues.from_record({"face": "back", "verdicts": [], "notes": "", "later_field": 1})

    assert assess(stone, inspection, DEFAULT_RULES).stone["density_g_cm3"] == 2.4976


def test_every_mistake_of_a_body_is_told_at_once_with_its_path():
    """Nothing is guessed: each faulty field is named."""
    body = {
        "stone": {**STONE, "length_mm": -3, "widht_mm": 4},
        "inspection": {},
    }

    with pytest.raises(Invalid) as refused:
        assess_stone_json(body)

    assert {"stone.length_mm", "stone.widht_mm"} == {e.field for e in refused.value.errors}


def test_a_point_off_the_face_is_refused_by_its_path():
    with pytest.raises(Invalid) as refused:
        answer(fissure((10, 10), (300, 10)))

    assert [e.field for e in refused.value.errors] == ["inspection.findings.0.points.1"]
