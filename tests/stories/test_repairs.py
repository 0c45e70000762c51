"""From a finding to its repair and the fresh look after it."""

from typing import Any

from tests.conftest import ClubHouse, new_id


def inspection_body(stone: str, **changes: Any) -> dict[str, Any]:
    return {
        "stone_id": stone,
        "face": "front",
        "thickness_mm": 25,
        "inspected_at": "2026-03-01T10:00:00Z",
        "water_uptake_s": 40,
        "drop_state": "slow",
        "tap_tone": "ring",
        "sides_sealed": True,
        **changes,
    }


def inclusion(**changes: Any) -> dict[str, Any]:
    """A hard spot that scratches: harmful by common practice (no source), since it acts on the edge."""
    return {
        "id": new_id(),
        "kind": "inclusion",
        "points": [{"x_mm": 60, "y_mm": 30}],
        "size_mm": 2,
        "catches_edge": True,
        "scratches_finish": True,
        **changes,
    }


def work_of(house: ClubHouse, stone: str) -> list[dict[str, Any]]:
    return [item for item in house.dealer.get("/work").json["items"] if item["stone_id"] == stone]


def test_a_scratching_inclusion_is_relieved_and_tested_again(house: ClubHouse) -> None:
    """The verdict is on the list; its repair asks for a fresh look; a clean look empties the list."""
    stone, first = house.stone(), new_id()
    tester = house.testers[0]
    finding = inclusion()
    sent = tester.put(f"/inspections/{first}", inspection_body(stone, findings=[finding]))
    assert 201 == sent.status_code, sent.json
    verdict = next(v for v in sent.json["verdicts"] if v["finding_id"] == finding["id"])
    before = work_of(house, stone)

    repair = {
        "stone_id": stone, "inspection_id": first, "finding_id": finding["id"], "rule_id": verdict["rule_id"],
        "verdict": verdict["verdict"], "outcome": "done", "done_at": "2026-03-02T10:00:00Z",
        "with_what": "carbide point",
    }  # fmt: skip
    assert 201 == tester.put(f"/repairs/{new_id()}", repair).status_code
    after = work_of(house, stone)
    second = inspection_body(
        stone,
        inspected_at="2026-03-03T10:00:00Z",
        findings=[inclusion(id=finding["id"], relieved=True, catches_edge=False, scratches_finish=False)],
    )
    assert 201 == tester.put(f"/inspections/{new_id()}", second).status_code

    assert ("relieve below the face", "before_use") == (verdict["verdict"], verdict["urgency"])
    assert [verdict["rule_id"]] == [item["rule_id"] for item in before]
    assert [("inspect again", "before_use", None)] == [
        (item["verdict"], item["urgency"], item["rule_id"]) for item in after
    ]
    assert [] == work_of(house, stone)


def test_only_the_dealer_says_that_a_repair_is_not_needed(house: ClubHouse) -> None:
    """A tester does the work or leaves it; taking it off the list undone is the dealer's word."""
    stone, first = house.stone(), new_id()
    sent = house.testers[0].put(f"/inspections/{first}", inspection_body(stone, findings=[inclusion()]))
    verdict = next(v for v in sent.json["verdicts"] if v["finding_id"])
    answer = {
        "stone_id": stone, "inspection_id": first, "finding_id": verdict["finding_id"],
        "rule_id": verdict["rule_id"], "verdict": verdict["verdict"], "outcome": "not_needed",
        "done_at": "2026-03-02T10:00:00Z",
    }  # fmt: skip

    refused = house.testers[0].put(f"/repairs/{new_id()}", answer)
    taken = house.dealer.put(f"/repairs/{new_id()}", answer)

    assert (403, 201) == (refused.status_code, taken.status_code)
    assert [] == work_of(house, stone)


def test_verdicts_keep_the_rules_that_made_them(house: ClubHouse) -> None:
    """A changed threshold speaks for later inspections; the preview shows beforehand what it would change."""
    stone, early, late = house.stone(), new_id(), new_id()
    tester = house.testers[0]
    chip = {"id": new_id(), "kind": "chip", "points": [{"x_mm": 0.5, "y_mm": 30}], "size_mm": 3}
    tester.put(f"/inspections/{early}", inspection_body(stone, findings=[chip]))
    rule_set = house.steward.get("/rule-sets").json["items"][0]
    rules = rule_set["rules"]
    # No rule may say anything: the plainest change of all.
    quiet = [{**rule, "when": {"not": {}}} for rule in rules[:1]]

    preview = house.steward.post("/rule-sets/preview", {"rules": quiet})
    changed = house.steward.put(
        f"/rule-sets/{rule_set['id']}", {"name": rule_set["name"], "rules": quiet}, version=1
    )
    tester.put(
        f"/inspections/{late}", inspection_body(stone, inspected_at="2026-03-02T10:00:00Z", findings=[chip])
    )

    assert 200 == preview.status_code, preview.json
    assert [stone] == [effect["stone_id"] for effect in preview.json["changed"]]
    assert 200 == changed.status_code
    one, two = (tester.get(f"/inspections/{i}").json for i in (early, late))
    assert (1, 2) == (one["rule_set_version"], two["rule_set_version"])
    assert one["verdicts"]
    assert [] == two["verdicts"]


def test_a_rule_that_cannot_be_evaluated_is_refused(house: ClubHouse) -> None:
    """An unknown fact, a banned keyword: 422 with the place, and the rules stay as they were."""
    rule_set = house.steward.get("/rule-sets").json["items"][0]
    rules = [
        {**rule_set["rules"][0], "when": {"properties": {"luck": {"minimum": 1}}}},
        {**rule_set["rules"][1], "when": {"properties": {"kind": {"pattern": "^f"}}}},
    ]

    answer = house.steward.put(f"/rule-sets/{rule_set['id']}", {"name": "x", "rules": rules}, version=1)

    assert 422 == answer.status_code
    assert all(error["field"].startswith("rules.") for error in answer.json["errors"])
    assert 1 == house.steward.get("/rule-sets").json["items"][0]["version"]


def test_assessing_stores_nothing_and_equals_the_stored_verdicts(house: ClubHouse) -> None:
    """The same stone and findings, once stored and once only asked about."""
    stone, inspection = house.stone(), new_id()
    body = inspection_body(stone, findings=[inclusion()])
    stored = house.testers[0].put(f"/inspections/{inspection}", body).json
    record = house.dealer.get(f"/stones/{stone}").json
    revision = house.dealer.get("/changes?limit=1000").json["next_after"]

    asked = house.testers[0].post(
        "/assess", {"stone": record, "inspection": body, "history": {"repaired_since": False}}
    )

    assert 200 == asked.status_code, asked.json
    assert stored["verdicts"] == asked.json["verdicts"]
    assert revision == house.dealer.get("/changes?limit=1000").json["next_after"]


def test_a_stamped_face_is_not_lapped_unasked(house: ClubHouse) -> None:
    """A quarry stamp is part of the value: the lapping is refused until the dealer's word is noted."""
    stone = house.stone(marks=[{"face": "back", "kind": "stamp"}])
    lapping = {
        "stone_id": stone, "face": "back", "lapped_at": "2026-03-01T10:00:00Z", "grit_system": "fepa_p",
        "grit_number": 220, "strokes": 200, "stroke_mm": 150, "force_n": 20, "removed_um": 50,
    }  # fmt: skip

    refused = house.testers[0].put(f"/lappings/{new_id()}", lapping)
    taken = house.testers[0].put(f"/lappings/{new_id()}", {**lapping, "marked_face_agreed": True})

    assert (422, 201) == (refused.status_code, taken.status_code)
    assert 1 == house.dealer.get("/lappings/rate").json["n_lappings"]
