"""The default protocols can be followed, and a protocol that cannot is told so.

What the steps and words say is common practice of the trade, no source; that they cover what a trial has to
record is checked against the list of standard observations and the facts named beside each check.
"""

import copy
import json
from typing import Any, cast

import pytest

from whetpanel.core.protocols import HAVE_READY, PURPOSES, Protocol, default_protocols, protocol_faults

STANDARD = {
    "water_uptake_s": "number",
    "mud_shade": "choice",
    "metal_share": "choice",
    "strokes_to_mud": "number",
    "feel": "choice",
    "pressure_sensitivity": "choice",
    "contrast": "choice",
    "finish_band": "grit_band",
    "refines": "yes_no",
    "scratches_seen": "yes_no",
    "notes": "text",
}


@pytest.fixture(params=PURPOSES)
def protocol(request: pytest.FixtureRequest) -> Protocol:
    return default_protocols()[request.param]


def test_every_purpose_has_its_own() -> None:
    """A new club can begin with any of the three purposes."""
    protocols = default_protocols()

    assert set(PURPOSES) == set(protocols)
    assert all(purpose == p["purpose"] for purpose, p in protocols.items())


def test_nothing_keeps_a_tester_from_following_it(protocol: Protocol) -> None:
    """Ids are unique, every record named by a step exists, every scale reaches its end."""
    assert protocol_faults(protocol) == []


def test_it_survives_json(protocol: Protocol) -> None:
    """It is stored and sent as JSON and comes back the same."""
    assert protocol == json.loads(json.dumps(protocol, ensure_ascii=False))


def test_the_standard_observations_are_there(protocol: Protocol) -> None:
    """Trials of every purpose share the standard ids and kinds, so that they can be compared."""
    assert {o["id"]: o["kind"] for o in protocol["observations"]} == STANDARD


def test_everything_is_recorded_in_some_step_once(protocol: Protocol) -> None:
    """A tester who follows the steps is asked for each observation and each grade exactly once."""
    asked = [record for step in protocol["steps"] for record in step["records"]]
    wanted = [s["id"] for s in protocol["scales"]] + [o["id"] for o in protocol["observations"]]

    assert sorted(wanted) == sorted(asked)


def test_scales_run_from_one_to_five_by_halves_with_words_for_whole_levels(
    protocol: Protocol,
) -> None:
    """The three grades of a trial; a half step lies between two levels with words."""
    assert [s["id"] for s in protocol["scales"]] == ["hardness", "fineness", "ease"]
    for scale in protocol["scales"]:
        assert (scale["low"], scale["high"], scale["step"]) == (1, 5, 0.5)
        assert list(scale["words"]) == ["1", "2", "3", "4", "5"]
        assert len(set(scale["words"].values())) == 5


def test_hard_does_not_mean_the_same_to_every_purpose() -> None:
    """Razor, knife and plane-iron people anchor "hard" differently (common practice, no source)."""
    words = [tuple(p["scales"][0]["words"].values()) for p in default_protocols().values()]

    assert len(set(words)) == 3


def test_at_least_two_reference_steels(protocol: Protocol) -> None:
    """A stone may suit one steel and slip on another: one is not enough (common practice, no source)."""
    assert len(set(protocol["reference_steels"])) >= 2


@pytest.mark.parametrize(
    "danger", ["silica", "wet", "before it dries", "mask", "local rules", "edge", "split"]
)
def test_the_usual_cautions_are_named(protocol: Protocol, danger: str) -> None:
    """Silica dust (worked wet, mud wiped up before it dries, mask by local rules), blades, splitting stones.

    Crystalline silica is dangerous to breathe, and wet work and wet cleaning hold it down: that lies
    behind 29 CFR 1910.1053; the cautions name no limit and defer to local rules.
    """
    assert any(danger in caution["text"] for caution in protocol["cautions"])


def test_it_begins_with_what_to_lay_out_and_ends_with_cleaning_up(protocol: Protocol) -> None:
    """Nobody looks for a cloth with wet hands, and no mud is left to dry."""
    assert protocol["steps"][0]["id"] == HAVE_READY
    assert protocol["steps"][0]["conditions"]
    assert protocol["steps"][-1]["id"] == "clean_up"


def test_it_says_where_it_comes_from(protocol: Protocol) -> None:
    """No reader takes it for a published standard."""
    assert "Common practice" in protocol["summary"]
    assert "no published standard" in protocol["summary"]


def test_a_copy_is_the_callers_own() -> None:
    """A club that changes its protocol does not change the next club's."""
    mine = default_protocols()["knife"]
    mine["cautions"][0]["text"] = ""
    mine["steps"].clear()
    mine["observations"][2]["choices"].clear()

    assert mine != default_protocols()["knife"]
    assert protocol_faults(default_protocols()["knife"]) == []
    assert default_protocols()["knife"]["cautions"][0]["text"]


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        (("purpose",), "axe", "purpose"),
        (("scales",), [], "scales"),
        (("steps", 1, "id"), HAVE_READY, "steps"),
        (("cautions", 1, "id"), "silica_dust", "cautions"),
        (("scales", 0, "id"), "feel", "scales and observations"),
        (("steps", 0, "records"), ["gloss"], "steps.0.records"),
        (("steps", 2, "timer_s"), 0, "steps.2.timer_s"),
        (("steps", 4, "counter"), {"name": "strokes", "target": 0}, "steps.4.counter.target"),
        (("scales", 0, "high"), 1, "scales.0"),
        (("scales", 0, "step"), 0, "scales.0"),
        (("scales", 0, "step"), 0.75, "scales.0.step"),
        (("scales", 0, "words"), {"1": "soft"}, "scales.0.words"),
        (("scales", 0, "words", "1.2"), "between", "scales.0.words"),
        (("scales", 0, "words", "hard"), "hard", "scales.0.words"),
        (("scales", 0, "words", "nan"), "nothing", "scales.0.words"),
        (("observations", 2, "choices"), [], "observations.2.choices"),
        (("observations", 2, "choices", 1, "value"), 1, "observations.2.choices"),
        (("observations", 0, "choices"), [{"value": 1, "words": "one"}], "observations.0.choices"),
        (("observations", 0, "low"), 600, "observations.0"),
    ],
)
def test_a_fault_is_found_and_its_field_named(path: tuple[Any, ...], value: Any, field: str) -> None:
    """Each way in which a steward can make a protocol that no tester could follow."""
    protocol = cast(dict[str, Any], copy.deepcopy(default_protocols()["knife"]))
    place: Any = protocol
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value

    faults = protocol_faults(cast(Protocol, protocol))

    assert field in [fault.field for fault in faults]
    assert all(fault.message for fault in faults)
