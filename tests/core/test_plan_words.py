"""What a planned trial brings, in words: each sentence says a figure of the trial, and none is made up."""

from dataclasses import replace
from typing import Any

import pytest

from whetpanel.core.plan import PlannedTrial
from whetpanel.core.plan_words import nth, reasons

WIDE = PlannedTrial("a", "s", "white", 0.2, 0.82, 0.61, n_testers=2, n_steels=2)
RULES: dict[str, Any] = {
    "scale_name": "Hardness of the stone", "target_half_width": 0.5,
    "min_testers": 3, "min_steels": 2,
}  # fmt: skip


@pytest.mark.parametrize(
    ("trial", "said"),
    [
        (WIDE, ["Narrows hardness of the stone from ±0.82 to ±0.61."]),
        (
            replace(WIDE, half_width_before=0.62, half_width_after=0.58),
            ["Narrows hardness of the stone from ±0.62 to ±0.58."],
        ),
        (
            replace(WIDE, half_width_after=0.5),
            ["Narrows hardness of the stone from ±0.82 to ±0.50, narrow enough then."],
        ),
        (
            replace(WIDE, half_width_before=0.4, half_width_after=0.3, brings_tester=True, n_testers=3),
            ["Third tester of the 3 that the club asks for."],
        ),
        (
            replace(WIDE, brings_tester=True, brings_steel=True),
            [
                "Narrows hardness of the stone from ±0.82 to ±0.61.",
                "Second tester of the 3 that the club asks for.",
                "First with this steel: second of the 2 that the club asks for.",
            ],
        ),
        (
            replace(WIDE, brings_tester=True, brings_steel=True, n_testers=1, n_steels=1),
            ["Narrows hardness of the stone from ±0.82 to ±0.61.", "Nobody has tried it yet."],
        ),
        (
            replace(WIDE, half_width_before=0.4, half_width_after=0.35),
            ["Needed by no rule: hardness of the stone is known to ±0.40, and goes to ±0.35."],
        ),
        (
            replace(WIDE, links=True, in_hands=True),
            [
                "Links groups of stones whose grades cannot be set side by side until then.",
                "Narrows hardness of the stone from ±0.82 to ±0.61.",
                "The stone is in this tester's hands already.",
            ],
        ),
    ],
)
def test_each_sentence_says_what_the_trial_brings(trial: PlannedTrial, said: list[str]) -> None:
    """Written out by hand from the figures."""
    assert said == list(reasons(trial, **RULES))


def test_ordinals_of_english() -> None:
    """In words to ten, then with the endings that English has, eleven to thirteen among them."""
    assert ["first", "tenth", "11th", "12th", "13th", "21st", "22nd", "23rd", "111th", "101st"] == [
        nth(n) for n in (1, 10, 11, 12, 13, 21, 22, 23, 111, 101)
    ]
