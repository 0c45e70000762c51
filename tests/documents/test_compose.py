"""Composed data: plain, complete, and where the ruler's ticks belong."""

import copy
import json
from dataclasses import make_dataclass
from datetime import date
from typing import Any

import pytest
from tests.documents.conftest import ISSUED, URL

from whetpanel.core.protocols import HAVE_READY, Protocol
from whetpanel.documents.compose import duration_in_words, protocol_sheet
from whetpanel.documents.frame import date_in_words, plain_number, ruler
from whetpanel.documents.papers import Paper


def compose(protocol: Any) -> dict[str, Any]:
    return protocol_sheet(protocol, club_name="Club", url=URL, paper=Paper.A4, issued_on=ISSUED)


def test_it_is_plain_data_and_leaves_the_protocol_alone(knife: Protocol) -> None:
    """JSON in, JSON out, and the caller's record is as it was."""
    before = copy.deepcopy(knife)

    assert json.loads(json.dumps(compose(knife))) == compose(knife)
    assert knife == before


def test_a_dataclass_will_do_as_well(knife: Protocol) -> None:
    """The record's shape counts, not its class."""
    kind = make_dataclass("AProtocol", list(knife))

    assert compose(kind(**knife)) == compose(knife)
    with pytest.raises(TypeError, match="mapping or a dataclass"):
        compose("knife")


def test_each_observation_is_explained_in_the_first_step_that_asks_for_it(knife: Protocol) -> None:
    """Nobody turns pages with wet hands; a later step only names it."""
    knife["steps"][6]["records"] = ["feel", "pressure_sensitivity"]
    data = compose(knife)
    explained = [o["name"] for step in data["steps"] for o in step["observations"]]

    assert sorted(explained) == sorted(o["name"] for o in knife["observations"])
    assert data["steps"][6]["again"] == ["Feel under the blade"]
    assert data["unasked"] == []


def test_an_observation_that_no_step_asks_for_is_still_there(knife: Protocol) -> None:
    """A steward who forgets to place it does not lose it."""
    knife["steps"][2]["records"] = []

    assert [o["name"] for o in compose(knife)["unasked"]] == ["Water uptake"]


def test_what_to_have_ready_is_the_protocols_own_or_worked_out(knife: Protocol) -> None:
    """A protocol with a step for it keeps that; any other gets the least that its steps need."""
    assert compose(knife)["ready"] == []
    knife["steps"] = [step for step in knife["steps"] if step["id"] != HAVE_READY]

    assert [thing["name"] for thing in compose(knife)["ready"]] == ["Stone", "Blade", "Water", "Clock"]
    knife["steps"] = [{**step, "timer_s": None} for step in knife["steps"]]

    assert [thing["name"] for thing in compose(knife)["ready"]] == ["Stone", "Blade", "Water"]


def test_a_record_without_a_version_has_none_on_paper(knife: Protocol) -> None:
    """A draft is not given a number that nobody could look up."""
    assert compose(knife)["version"] == ""
    assert compose({**knife, "version": 12})["version"] == "version 12"


def test_the_ruler_of_a_grade_scale() -> None:
    """1–5 by halves: nine ticks an eighth of the rail apart, every other one tall and numbered (algebra)."""
    drawn = ruler(1, 5, 0.5, [1, 2, 3, 4, 5])

    assert [tick["at"] for tick in drawn["ticks"]] == [i / 8 for i in range(9)]
    assert [tick["tall"] for tick in drawn["ticks"]] == [True, False] * 4 + [True]
    assert drawn["numbers"] == [{"at": i / 4, "text": str(i + 1)} for i in range(5)]
    assert drawn["small"]["exact"]


def test_the_ruler_of_a_long_scale_is_not_blackened() -> None:
    """0–10 by hundredths has 1001 steps; only its whole levels are drawn, and a cell asks for the number."""
    drawn = ruler(0, 10, 0.01, [0, 10])

    assert [tick["at"] for tick in drawn["ticks"]] == [i / 10 for i in range(11)]
    assert not drawn["small"]["exact"]
    assert [number["text"] for number in drawn["small"]["numbers"]] == ["0", "10"]


def test_a_scale_without_whole_levels_shows_those_with_words() -> None:
    """0.1–0.9 by tenths: no whole number lies on it."""
    drawn = ruler(0.1, 0.9, 0.1, [0.1, 0.5, 0.9])

    assert [number["text"] for number in drawn["numbers"]] == ["0.1", "0.5", "0.9"]
    assert sum(tick["tall"] for tick in drawn["ticks"]) == 3


@pytest.mark.parametrize(
    ("levels", "under"),
    [
        (["1", "2", "3", "4", "5"], True),
        (["1", "5"], True),
        (["1", "2", "5"], False),
        (["1", "1.5", "5"], False),
    ],
)
def test_words_stand_under_their_ticks_only_if_these_are_evenly_spread(
    knife: Protocol, levels: list[str], under: bool
) -> None:
    """Otherwise a word would stand under another level's tick."""
    knife["scales"][0]["words"] = dict.fromkeys(levels, "words")

    assert compose(knife)["scales"][0]["under"] is under


def test_words_are_in_the_order_of_their_levels(knife: Protocol) -> None:
    """JSON does not promise an order, and "10" sorts before "2"."""
    knife["scales"][0] |= {"low": 0, "high": 10, "step": 1, "words": {"10": "all", "2": "some", "0": "none"}}

    assert [level["number"] for level in compose(knife)["scales"][0]["levels"]] == ["0", "2", "10"]


def test_numbers_dates_and_durations_in_words() -> None:
    """No trailing zeros, a date that no reader can turn round, minutes where they are whole."""
    assert [plain_number(x) for x in (3, 2.5, 0.05, 100, 0)] == ["3", "2.5", "0.05", "100", "0"]
    assert date_in_words(date(2026, 3, 7)) == "7 March 2026"
    assert [duration_in_words(s) for s in (45, 90, 60, 600)] == ["45 s", "90 s", "60 s", "600 s (10 min)"]
