"""From a buyer's wish to a shortlist that anybody with its code can read."""

import json
import re
from typing import Any

import pytest

from tests.conftest import ClubHouse, new_id
from tests.stories.test_pooling import fill
from tests.stories.test_publishing import publish, wide_rules
from tests.stories.test_repairs import inclusion, inspection_body

COST = 17.23


def wish(**changes: Any) -> dict[str, Any]:
    """A kitchen knife of a steel the club tried, for a clean edge."""
    return {
        "purpose": "knife",
        "blades": [
            {"name": "", "steel": "white_carbon", "steel_class": "plain_carbon", "hrc": 61, "bevel": "ordinary"}
        ],
        "finish": "clean",
        "skill": "practised",
        **changes,
    }  # fmt: skip


def offer(house: ClubHouse, stone: str, **changes: Any) -> None:
    body = {
        "stone_id": stone,
        "state": "for_sale",
        "cost": COST,
        "price": 90.0,
        "currency": "EUR",
        "notes": "",
        **changes,
    }
    assert house.dealer.put(f"/offers/{stone}", body).status_code == 201


def match(house: ClubHouse, **changes: Any) -> dict[str, Any]:
    answer = house.dealer.post("/match", wish(**changes))
    assert answer.status_code == 200, answer.json
    body: dict[str, Any] = answer.json
    return body


def left_out(answer: dict[str, Any]) -> dict[str, list[str]]:
    return {one["reason"]: one["stone_ids"] for one in answer["left_out"]}


def shortlist(house: ClubHouse, stones: list[str], **changes: Any) -> Any:
    body = {"name": "A kitchen knife", "wish": wish(), "stone_ids": stones, "notes": "", **changes}
    return house.dealer.put(f"/shortlists/{new_id()}", body)


def test_stones_are_ranked_with_reasons_and_what_is_not_certain(house: ClubHouse) -> None:
    """Fineness runs from 2 to 4 over the stones, so those in the middle serve a clean edge best. Each says why."""
    stones, _ = fill(house)
    for stone in stones:
        offer(house, stone)

    answer = match(house)

    ranked = [row["stone_id"] for row in answer["ranked"]]
    probabilities = [row["probability"] for row in answer["ranked"]]
    assert probabilities == sorted(probabilities, reverse=True)
    assert probabilities[0] == answer["best"]
    assert ranked.index(stones[3]) < ranked.index(stones[0]) if stones[0] in ranked else True
    first = answer["ranked"][0]
    assert first["speaks_for"]
    assert "Its grade is not published." in first["uncertain"]
    assert "same" == answer["needs"][0]["mapped"]
    assert ["ease"] == answer["missing_scales"]
    fineness = next(one for one in first["grades"] if one["scale"] == "fineness")
    assert (2.75, 4.25) == (fineness["want_low"], fineness["want_high"])
    assert 1 <= fineness["low90"] <= fineness["grade"] <= fineness["high90"] <= 5
    assert len(ranked) + sum(map(len, left_out(answer).values())) == len(stones)


def test_a_steel_nobody_tried_is_known_less_surely(house: ClubHouse) -> None:
    """Over its class to no steel at all, the interval of every stone grows; the answer says whose trials speak."""
    fill(house)
    blades = wish()["blades"][0]

    def widths(**blade: Any) -> dict[str, float]:
        answer = match(
            house, blades=[{**blades, "steel": None, "steel_class": None, **blade}], waived=["hardness"]
        )
        assert expected == answer["needs"][0]["mapped"]
        return {
            row["stone_id"]: grade["high90"] - grade["low90"]
            for row in answer["ranked"]
            for grade in row["grades"]
            if grade["scale"] == "fineness"
        }

    expected = "same"
    tried = widths(steel="white_carbon")
    expected = "class"
    alike = widths(steel="s_c100s", steel_class="plain_carbon")
    expected = "any"
    unknown = widths()
    for stone in tried.keys() & alike.keys() & unknown.keys():
        assert tried[stone] < alike[stone] <= unknown[stone]
    assert tried


def test_every_stone_left_out_is_counted_with_its_reason(house: ClubHouse) -> None:
    """Sold, kept back, with open work, untried, too dear, too short: each once and not listed."""
    stones, _ = fill(house, 7)
    middle = stones[3]
    offer(house, stones[0], state="sold")
    offer(house, stones[1], state="kept_back", notes="For the club.")
    house.testers[0].put(f"/inspections/{new_id()}", inspection_body(stones[2], findings=[inclusion()]))
    untried = house.stone()
    offer(house, stones[4], price=500.0)
    offer(house, stones[5], price=60.0, currency="CHF")
    withdrawn = house.stone()
    house.dealer.post(f"/stones/{withdrawn}/withdraw", {"reason": "Dropped."})

    answer = match(house, budget={"amount": 100, "currency": "EUR"}, waived=["finish", "hardness"])
    longer = match(house, size={"min_length_mm": 300}, waived=["finish", "hardness"])

    why = left_out(answer)
    assert {stones[0]} == set(why["sold"])
    assert {stones[1]} == set(why["kept_back"])
    assert {stones[2]} == set(why["work"])
    assert {untried} == set(why["untried"])
    assert {stones[4]} == set(why["budget"])
    rows = {row["stone_id"]: row for row in answer["ranked"]}
    assert {middle, stones[5], stones[6]} == set(rows)
    assert withdrawn not in json.dumps(answer)
    assert "It has no price yet." in rows[middle]["uncertain"]
    assert "Its price is in CHF, the budget in EUR." in rows[stones[5]]["uncertain"]
    assert 8 == answer["n_stones"]
    assert 8 == len(rows) + sum(map(len, why.values()))
    assert {middle, stones[4], stones[5], stones[6]} == set(left_out(longer)["size"])


def test_when_none_fits_it_says_so_and_what_would_help(house: ClubHouse) -> None:
    """A budget below every price: nothing serves; without the budget the best stone does, as the answer foretold."""
    stones, _ = fill(house)
    for stone in stones:
        offer(house, stone, price=300.0)

    answer = match(house, budget={"amount": 100, "currency": "EUR"})
    best = answer["relax"][0]
    again = match(house, budget={"amount": 100, "currency": "EUR"}, waived=["budget"])

    assert (False, 0.0, []) == (answer["fits"], answer["best"], answer["ranked"])
    assert answer["verdict"].startswith("No stone here is likelier than not to serve.")
    assert "budget" == best["wish"]
    assert again["best"] == pytest.approx(best["probability"], abs=1e-9)
    assert again["ranked"][0]["stone_id"] == best["stone_id"]


def test_thin_evidence_is_said(house: ClubHouse) -> None:
    """One trial of one tester is told as that, in the stone's row and in the verdict."""
    stone = house.stone()
    house.testers[0].put(
        f"/trials/{new_id()}",
        house.trial_body(stone, house.blade("white_carbon"), grades={"hardness": 3.0, "fineness": 3.5}),
    )

    row = match(house)["ranked"][0]

    assert {"n_trials": 1, "n_testers": 1, "thin": True} == row["evidence"]
    assert any("Tried once by one tester" in words for words in row["uncertain"])


def test_a_wish_that_cannot_be_asked_names_its_field(house: ClubHouse) -> None:
    """A finish of another purpose, and a grit number past the end of JIS R 6001, which ends at #8000."""
    fill(house, 2)

    refused = house.dealer.post("/match", wish(finish="shaving", owned={"system": "jis", "number": 10000}))

    assert 422 == refused.status_code
    fields = {one["field"]: one["message"] for one in refused.json["errors"]}
    assert {"finish", "owned.number"} == set(fields)
    assert "#8000" in fields["owned.number"]


def test_the_step_goes_by_size_not_by_number(house: ClubHouse) -> None:
    """The buyer owns JIS #1000 (11.5 µm). A finish like P1000 (FEPA, 18.3 µm) is coarser, one like #3000 (4.0 µm) a
    sensible step, and one past #8000, where JIS R 6001 ends, has no size: it counts as even odds, and that is said."""
    blade = house.blade("white_carbon")
    bands = {
        "coarser": {"low": 1000, "high": 1000, "system": "fepa_p"},
        "finer": {"low": 3000, "high": 3000, "system": "jis"},
        "past": {"low": 10000, "high": 12000, "system": "jis"},
    }
    stones = {}
    for name, band in bands.items():
        stones[name] = house.stone()
        for tester in house.testers:
            body = house.trial_body(stones[name], blade, grades={"hardness": 3.0, "fineness": 3.5})
            body["observations"]["finish_band"] = band
            assert tester.put(f"/trials/{new_id()}", body).status_code == 201

    answer = match(house, owned={"system": "jis", "number": 1000})

    said = {row["stone_id"]: row for row in answer["ranked"]}
    assert "#1000 (JIS R 6001 (1987), precision grits), 11.5 µm" == answer["owned_words"]
    assert any("a sensible step" in words for words in said[stones["finer"]]["speaks_for"])
    assert any("4.0 µm" in words for words in said[stones["finer"]]["speaks_for"])
    assert stones["coarser"] in left_out(answer).get("ruled_out", []) or any(
        "hardly a step" in words for words in said[stones["coarser"]]["against"]
    )
    assert any("Nobody noted its scratches" in words for words in said[stones["past"]]["uncertain"])
    assert said[stones["past"]]["probability"] < said[stones["finer"]]["probability"]
    # From #8000 on no step has a size: the fineness alone decides, and no stone is held against the buyer's.
    finest = match(house, owned={"system": "jis", "number": 8000})
    assert finest["owned_words"].endswith("so the fineness alone decides")
    assert match(house)["best"] == finest["best"]


def test_only_dealer_and_steward_match_and_list(house: ClubHouse) -> None:
    """What they see would tell a tester the panel's grades."""
    stones, _ = fill(house, 2)
    made = shortlist(house, stones[1:]).json
    tester = house.testers[0]

    assert 403 == tester.post("/match", wish()).status_code
    assert (
        403
        == tester.put(
            f"/shortlists/{new_id()}", {"name": "x", "wish": wish(), "stone_ids": stones}
        ).status_code
    )
    assert 403 == tester.get(f"/shortlists/{made['id']}").status_code
    assert 403 == tester.get("/shortlists").status_code
    assert "shortlist" not in {entry["thing"] for entry in tester.get("/changes?after=0").json["changes"]}
    assert 200 == tester.get("/steels").status_code


def test_a_shortlist_is_fixed_and_sending_it_again_is_harmless(house: ClubHouse) -> None:
    """It keeps the figures of its day though the grades move; another list under the same id is refused."""
    stones, _ = fill(house)
    list_id = new_id()
    body = {
        "name": "A kitchen knife",
        "wish": wish(),
        "stone_ids": stones[2:4],
        "notes": "Try them on Saturday.",
    }

    made = house.dealer.put(f"/shortlists/{list_id}", body)
    for blade in ("white_carbon", "blue_alloy", "third"):
        trial = house.trial_body(stones[2], house.blade(blade), grades={"hardness": 5.0, "fineness": 5.0})
        house.testers[2].put(f"/trials/{new_id()}", trial)
    again = house.dealer.put(f"/shortlists/{list_id}", body)
    other = house.dealer.put(f"/shortlists/{list_id}", {**body, "name": "Another"})

    assert (201, 200, 409) == (made.status_code, again.status_code, other.status_code)
    assert made.json == again.json
    assert set(stones[2:4]) == {row["stone_id"] for row in made.json["found"]["stones"]}
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{5}-[0-9A-HJKMNP-TV-Z]{5}", made.json["code"])
    assert [made.json] == house.dealer.get(f"/shortlists/{list_id}/versions").json["items"]
    assert [list_id] == [one["id"] for one in house.dealer.get("/shortlists").json["items"]]


def test_a_stone_left_out_of_every_match_is_on_no_shortlist(house: ClubHouse) -> None:
    """The refusal names the place in the list and says why."""
    stones, _ = fill(house, 3)
    offer(house, stones[0], state="sold")

    refused = shortlist(house, [stones[1], stones[0], new_id()])

    assert 422 == refused.status_code
    assert {"stone_ids[1]": "Sold.", "stone_ids[2]": "This stone is not in your club."} == {
        one["field"]: one["message"] for one in refused.json["errors"]
    }


def test_anybody_with_the_code_reads_it_and_nobody_learns_cost_or_names(house: ClubHouse) -> None:
    """As JSON and as a page without a script: slips are linked, no member is named, no cost is there, a price is."""
    stones, _ = fill(house, 3)
    wide_rules(house)
    for stone in stones:
        offer(house, stone)
    slip = publish(house, stones[1]).json["code"]
    made = shortlist(house, stones[1:], notes="Both can be tried.").json
    client = house.app.test_client()

    shown = client.get(f"/api/v1/shortlists/by-code/{made['code'].lower()}")
    page = client.get(f"/m/{made['code']}")

    assert (200, 200) == (shown.status_code, page.status_code)
    codes = {row["code"]: row["slip_code"] for row in shown.json["stones"]}
    assert [slip, None] == sorted(codes.values(), key=lambda one: one is None)
    assert f'href="/s/{slip}"' in page.text
    assert "<script" not in page.text
    assert "style=" not in page.text
    assert "90.00 EUR" in page.text
    assert "Both can be tried." in page.text
    for text in (shown.text, page.text, house.dealer.post("/match", wish()).text, json.dumps(made)):
        assert str(COST) not in text
        assert "cost" not in text
    for person in (house.dealer, house.steward, *house.testers):
        assert person.name.title() not in page.text
        assert person.id not in shown.text
    assert 301 == client.get(f"/m/{made['code'].lower()}").status_code
    missing = client.get("/m/AAAAA-AAAAA")
    assert 404 == missing.status_code
    assert "No shortlist with this code" in missing.text
    assert 404 == client.get("/api/v1/shortlists/by-code/AAAAA-AAAAA").status_code


def test_a_withdrawn_shortlist_stays_readable_as_withdrawn(house: ClubHouse) -> None:
    """Its page says so with the reason; a slip withdrawn since is no longer linked."""
    stones, _ = fill(house, 3)
    wide_rules(house)
    slip = publish(house, stones[1]).json
    made = shortlist(house, [stones[1]]).json
    house.dealer.post(f"/slips/{slip['id']}/withdraw", {"reason": "Lapped since."})
    client = house.app.test_client()

    before = client.get(f"/m/{made['code']}")
    gone = house.dealer.post(f"/shortlists/{made['id']}/withdraw", {"reason": "Both stones are sold."})
    after = client.get(f"/m/{made['code']}")

    assert f"/s/{slip['code']}" not in before.text
    assert 200 == gone.status_code
    assert 200 == after.status_code
    assert "Both stones are sold." in after.text
    assert "Withdrawn" in after.text
    assert "Withdrawn" not in before.text
