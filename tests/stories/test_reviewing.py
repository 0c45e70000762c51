"""The dealer reviews one stone: every figure behind its grades, and what became of the trials that are left out."""

from typing import Any

import pytest
from sqlalchemy import update

from tests.conftest import ClubHouse, Person, new_id
from tests.stories.test_pooling import fill, hardness
from whetpanel.services.pool_desk import PoolDesk
from whetpanel.storage.schema import PoolResult


@pytest.fixture
def house(small_house: ClubHouse) -> ClubHouse:
    """On SQLite alone: what these stories claim is worked out above the database, and a fit takes its time."""
    return small_house


def review(who: Person, stone: str, purpose: str = "knife") -> Any:
    return who.get(f"/stones/{stone}/review?purpose={purpose}")


def by_trial(scale: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {trial["trial_id"]: trial for trial in scale["trials"]}


def test_the_review_and_the_panel_tell_the_same_grade(house: ClubHouse) -> None:
    """The pooled grade, residuals and pulls are the panel's; every trial of the stone is there, in order of time."""
    stones, trials = fill(house)
    stone = stones[2]

    answer = review(house.dealer, stone)
    panel = hardness(house.dealer.get(f"/stones/{stone}/panel?purpose=knife"))

    scale = hardness(answer)
    assert (200, stone, "knife", False) == (
        answer.status_code, answer.json["stone_id"], answer.json["purpose"], answer.json["behind"],
    )  # fmt: skip
    assert panel["stones"] == [scale["stone"]]
    assert panel["inputs_digest"] == scale["inputs_digest"]
    assert sorted(trials[stone]) == sorted(by_trial(scale))
    for reading in panel["trials"]:
        one = by_trial(scale)[reading["trial_id"]]
        assert reading == {name: one[name] for name in reading}
    times = [trial["finished_at"] for trial in scale["trials"]]
    assert sorted(times) == times


def test_each_figure_of_a_trial_follows_from_the_others(house: ClubHouse) -> None:
    """The corrected grade is the reported one with tester and steel taken out; the history ends at today's grade."""
    stones, _ = fill(house)

    scale = hardness(review(house.dealer, stones[1]))
    pooled = hardness(house.dealer.get("/pooled?purpose=knife"))

    severity = {tester["tester_id"]: tester["severity"] for tester in pooled["testers"]}
    for trial in scale["trials"]:
        assert "counts" == trial["state"]
        assert severity[trial["tester_id"]] == pytest.approx(trial["severity"], abs=1e-6)
        assert trial["reported"] + trial["severity"] - trial["steel_lean"] == pytest.approx(
            trial["corrected"], abs=3e-6
        )
        assert trial["reported"] - trial["expected"] == pytest.approx(trial["residual"], abs=3e-6)
        assert 0 < trial["weight"] < 1
    assert 1.0 == pytest.approx(scale["borrowed"] + sum(t["weight"] for t in scale["trials"]), abs=1e-5)
    last = scale["trials"][-1]["after"]
    assert {name: scale["stone"][name] for name in last} == pytest.approx(last, abs=1e-5)
    before = scale["before"]
    assert last["high90"] - last["low90"] < before["high90"] - before["low90"]


def test_an_excluded_trial_is_shown_with_its_reason_and_comes_back(house: ClubHouse) -> None:
    """Left out it counts nothing, yet what is known of its tester is still taken out of it; then it is put back."""
    stones, trials = fill(house, 3)
    trial = trials[stones[0]][2]
    before = hardness(review(house.dealer, stones[0]))

    house.dealer.post(f"/trials/{trial}/exclude", {"reason": "Wrong stone on the bench"})
    out = hardness(review(house.dealer, stones[0]))
    shown = hardness(
        house.dealer.post(
            "/pooled/what-if", {"purpose": "knife", "include_trials": [trial], "stone_id": stones[0]}
        )
    )
    house.dealer.post(f"/trials/{trial}/include")
    back = hardness(review(house.dealer, stones[0]))

    left_out = by_trial(out)[trial]
    assert ("excluded", "Wrong stone on the bench") == (left_out["state"], left_out["excluded"]["reason"])
    assert (None, None, None) == (left_out["weight"], left_out["pull"], left_out["after"])
    assert left_out["corrected"] == pytest.approx(
        left_out["reported"] + left_out["severity"] - left_out["steel_lean"], abs=3e-6
    )
    assert (6, 5) == (before["stone"]["n_trials"], out["stone"]["n_trials"])
    assert back["inputs_digest"] == before["inputs_digest"] == shown["inputs_digest"]
    assert abs(before["stone"]["grade"] - back["stone"]["grade"]) < 2e-3
    assert abs(before["stone"]["grade"] - shown["stones"][0]["grade"]) < 2e-3
    assert "counts" == by_trial(back)[trial]["state"]


def test_a_what_if_for_one_stone_equals_the_whole_one(house: ClubHouse) -> None:
    """Only that stone is answered, with the grades that the whole answer gives it."""
    stones, trials = fill(house, 3)
    body = {"purpose": "knife", "exclude_trials": [trials[stones[1]][0]]}

    whole = hardness(house.dealer.post("/pooled/what-if", body))
    one = hardness(house.dealer.post("/pooled/what-if", {**body, "stone_id": stones[1]}))

    assert [stone for stone in whole["stones"] if stone["stone_id"] == stones[1]] == one["stones"]
    assert ([], [], []) == (one["testers"], one["groups"], one["proposed_links"])
    assert 404 == house.dealer.post("/pooled/what-if", {**body, "stone_id": new_id()}).status_code


def test_only_dealer_and_steward_review(house: ClubHouse) -> None:
    """A tester is refused even after an own trial: the review names every other tester's grade and severity."""
    stones, _ = fill(house, 2)

    assert 200 == review(house.steward, stones[0]).status_code
    assert 403 == review(house.testers[0], stones[0]).status_code
    assert 404 == review(house.dealer, new_id()).status_code
    assert 422 == review(house.dealer, stones[0], "scissors").status_code


def test_an_untried_stone_and_an_empty_club_have_an_honest_review(house: ClubHouse) -> None:
    """No grade, no trials, no error."""
    stone = house.stone()

    empty = hardness(review(house.dealer, stone))
    fill(house, 2)
    untried = hardness(review(house.dealer, stone))

    for scale in (empty, untried):
        assert (None, None, []) == (scale["stone"], scale["before"], scale["trials"])


def test_a_withdrawn_trial_is_not_reviewed(house: ClubHouse) -> None:
    """Its author has taken it back: it is neither evidence nor something for the dealer to put back."""
    stones, trials = fill(house, 2)
    trial = trials[stones[0]][0]
    house.testers[0].post(f"/trials/{trial}/withdraw", {"reason": "Typed for another stone"})

    scale = hardness(review(house.dealer, stones[0]))

    assert trial not in by_trial(scale)
    assert 5 == len(scale["trials"])


def test_a_result_kept_by_an_earlier_code_is_made_anew(house: ClubHouse) -> None:
    """Its readings were a plain list; the review neither fails on it nor shows it."""
    stones, _ = fill(house, 2)
    fresh = review(house.dealer, stones[0]).json
    with house.database.write() as session:
        rows = session.query(PoolResult).filter(PoolResult.purpose == "knife").all()
        assert rows
        for row in rows:
            old = {name: value for name, value in row.result.items() if name != "kept_as"}
            session.execute(
                update(PoolResult)
                .where(PoolResult.scale == row.scale, PoolResult.purpose == "knife")
                .values(readings=[{"trial_id": new_id(), "residual": 0.0}], result=old)
            )
    another_process = PoolDesk(house.database, house.clock)
    assert "kept_as" not in another_process.pooled(house.dealer.get("/club").json["id"], "knife").scales[0]
    another_process.close()

    again = review(house.dealer, stones[0]).json

    assert [s["scale"] for s in fresh["scales"]] == [s["scale"] for s in again["scales"]]
    for one, other in zip(fresh["scales"], again["scales"], strict=True):
        assert one["inputs_digest"] == other["inputs_digest"]
        assert by_trial(one).keys() == by_trial(other).keys()
