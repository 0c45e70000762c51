"""The loader against the real service in a process of its own: complete, once, run as a user runs it."""

import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
from seed.client import ApiProblem, Client
from seed.inspections import looks
from seed.load import Loaded, load_demo, some_stones
from seed.pictures import look_shots, stone_shots, trial_shots
from seed.records import Ids
from seed.scenario import BLADES, LOTS, PEOPLE
from seed.stones import CHECK_STONES, STONES
from seed.trials import trials

from seed import trade
from tests.service import PASSWORD, Service, running_club

LOADER = Path(__file__).parents[2] / "seed" / "load.py"

# These ask for what only the service's own history can tell (lapped or repaired since, the pooled fineness),
# or for a stone without sizes, which the API does not take.
NOT_FROM_A_RECORD = {"first_lapping", "after_repair", "out_of_flat_for_fineness", "sizes_not_measured"}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    with running_club(tmp_path_factory.mktemp("demo")) as running:
        yield running


@pytest.fixture(scope="module")
def first(service: Service) -> Loaded:
    """The whole demo club, loaded once for this module."""
    return load_demo(service.url, "hill", "steward", PASSWORD)


@pytest.fixture
def dealer(service: Service, first: Loaded) -> Iterator[Client]:
    client = Client(service.url, requests.Session())
    client.sign_in("hill", "edda", next(p.password for p in PEOPLE if p.key == "edda"))
    yield client
    client.sign_out()


def expected() -> Counter[str]:
    all_looks = list(looks())
    photos = [
        *(shot for stone in STONES for shot in stone_shots(stone)),
        *(shot for look in all_looks for shot in look_shots(look)),
        *(shot for trial in trials() for shot in trial_shots(trial)),
    ]
    return Counter(
        {
            "members": len(PEOPLE),
            "lots": len(LOTS),
            "blades": len(BLADES),
            "stones": len(STONES),
            "check-stones": len(CHECK_STONES),
            "inspections": len(all_looks),
            "trials": len(trials()),
            "photos": len(photos),
            "offers": len(STONES),
            "consents": len(trade.AGREED),
            "hand-overs": len(trade.WITH),
            "assignments": len(trade.ASKED),
            "slips": len(trade.PUBLISHED),
        }
    )


def everything(service: Service) -> list[dict[str, object]]:
    """Every record the steward may see, as the changes tell it."""
    client = Client(service.url, requests.Session())
    client.sign_in("hill", "steward", PASSWORD)
    changes, after = [], 0
    while True:
        page = client.get("/changes", after=after, limit=500)
        changes += page["changes"]
        after = page["next_after"]
        if not page["more"]:
            client.sign_out()
            return changes


def test_everything_arrives_and_a_second_run_changes_nothing(service, first):
    """Each record is new once. Loaded again in part, the service holds the same records."""
    assert first.created == expected()
    assert not first.unchanged
    before = everything(service)

    again = load_demo(service.url, "hill", "steward", PASSWORD, scale=0.3)

    assert not again.created
    assert again.unchanged.total() > 150
    assert all(again.unchanged[thing] for thing in set(expected()) - {"slips", "hand-overs", "assignments"})
    assert json.dumps(before, sort_keys=True) == json.dumps(everything(service), sort_keys=True)


def test_each_trial_is_its_own_tester_s(service, first, dealer):
    ids = Ids("hill")
    author = {ids.trial(t): next(ids.member(p) for p in PEOPLE if p.key == t.tester) for t in trials()}
    served = {trial["id"]: trial for trial in dealer.every("/trials")}

    assert author == {key: trial["created_by"] for key, trial in served.items()}
    assert {ids.trial(t) for t in trials() if t.excluded} == {k for k, t in served.items() if t["excluded"]}


def test_published_stones_meet_the_club_s_rule(service, first, dealer):
    """No slip of the demo needed a reason, and names stand on them as members agreed."""
    slips = list(dealer.every("/slips"))

    assert len(trade.PUBLISHED) == len(slips)
    assert {None} == {slip["override_reason"] for slip in slips}
    shown = [dealer.get(f"/published/{slip['code']}")["testers"] for slip in slips]
    agreed = {person.display_name for person in PEOPLE if person.key in trade.AGREED}
    assert agreed == {name for names in shown for name in names}


def test_the_demo_meets_the_default_rules(service, first, dealer):
    """Findings, flatness and uptake together bring up every rule that a record alone can bring up."""
    (rule_set,) = dealer.every("/rule-sets")
    rules = {rule["id"] for rule in rule_set["rules"]}
    met = {verdict["rule_id"] for look in dealer.every("/inspections") for verdict in look["verdicts"]}

    assert rules - met <= NOT_FROM_A_RECORD


def test_pooling_finds_the_truth_in_the_demo(service, first, dealer):
    """The grades were drawn from known truth (simulation): well-tried stones come out near it, in most of the
    intervals, and the severe and the lenient tester are told apart."""
    ids = Ids("hill")
    truth = {ids.stone(s): s for s in STONES}
    hardness = next(s for s in dealer.get("/pooled", purpose="knife")["scales"] if s["scale"] == "hardness")
    rows = [row for row in hardness["stones"] if row["n_trials"] >= 4]
    misses = [abs(row["grade"] - truth[row["stone_id"]].hardness) for row in rows]
    held = [row["low90"] - 0.25 <= truth[row["stone_id"]].hardness <= row["high90"] + 0.25 for row in rows]
    severity = {row["tester_id"]: row["severity"] for row in hardness["testers"]}
    lean = {p.key: severity[ids.member(p)] for p in PEOPLE if ids.member(p) in severity}

    assert len(rows) > 15
    assert sum(misses) / len(misses) < 0.3
    assert sum(held) / len(held) > 0.8
    assert max(lean, key=lean.__getitem__) == "gwenda"
    assert min(lean, key=lean.__getitem__) == "jonah"


def test_photos_are_served_and_linked(service, first, dealer):
    """Each photo a stone names is there, as a picture of the size its face asks for."""
    linked = [photo for stone in dealer.every("/stones") for photo in stone["photos"]]
    assert len(linked) > len(STONES)
    for photo in linked[:5]:
        response = dealer.send("GET", f"/photos/{photo['sha256']}")
        assert response.headers["Content-Type"].startswith("image/")
        assert response.content


def test_what_a_member_changed_is_left_alone(service, first, dealer):
    """A dealer's later correction of a demo stone outlives another run of the loader."""
    stone_id = Ids("hill").stone(STONES[0])
    stone = dealer.get(f"/stones/{stone_id}")
    own = {
        name: stone[name]
        for name in (
            "code", "lot_id", "kind", "form", "length_mm", "width_mm", "thickness_mm", "mass_g", "colour",
            "marks", "sides_sealed", "photos",
        )
    }  # fmt: skip
    dealer.put(f"/stones/{stone_id}", {**own, "notes": "Measured again."}, if_match=f'"{stone["version"]}"')

    part = load_demo(service.url, "hill", "steward", PASSWORD, scale=0.01)

    assert part.unchanged["stones"] == 1
    assert dealer.get(f"/stones/{stone_id}")["notes"] == "Measured again."


@pytest.mark.parametrize("how", [[str(LOADER)], ["-m", "seed.load"]], ids=["as a file", "as a module"])
def test_run_as_a_user_runs_it(service, first, how, tmp_path):
    """As a file from any folder, as a module from the checkout: the members are printed at the end."""
    run = subprocess.run(
        [sys.executable, *how, "--url", service.url, "--club", "hill", "--steward", "steward",
         "--password-env", "WP_TEST", "--scale", "0.01"],
        env={**os.environ, "WP_TEST": PASSWORD}, capture_output=True, text=True, check=False,
        cwd=tmp_path if how[0] != "-m" else LOADER.parents[1],
    )  # fmt: skip

    assert run.returncode == 0, run.stderr
    assert "already there" in run.stdout
    for person in PEOPLE:
        assert person.display_name in run.stdout
        assert person.password in run.stdout


def test_a_wrong_password_is_told_in_the_service_s_words(service, first):
    with pytest.raises(ApiProblem) as caught:
        load_demo(service.url, "hill", "steward", "not the password", photos=False)
    assert caught.value.code == "wrong_sign_in"


def test_no_service_is_told_as_such(tmp_path):
    """A wrong address ends with a sentence, not with a trace."""
    run = subprocess.run(
        [sys.executable, str(LOADER), "--url", "http://127.0.0.1:9", "--steward", "x",
         "--password-env", "WP_TEST", "--no-photos"],
        env={**os.environ, "WP_TEST": "x"}, capture_output=True, text=True, check=False, cwd=tmp_path,
    )  # fmt: skip

    assert run.returncode == 1
    assert "No service answers at http://127.0.0.1:9" in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.parametrize("scale", [0.0, 0.1, 0.5, 1.0])
def test_a_smaller_club_is_a_part_of_the_whole(scale):
    stones = some_stones(scale)
    assert len(stones) == max(1, round(len(STONES) * scale + 0.4999))
    assert len({s.code for s in stones}) == len(stones)
