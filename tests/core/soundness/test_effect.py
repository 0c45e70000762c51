"""What a change of thresholds does, told before it is saved."""

from tests.vectors.write_vectors import effects

from whetpanel.core.soundness import DEFAULT_RULES, FindingValues, InspectionValues, StoneShape
from whetpanel.core.soundness.effect import InspectedStone, effect_of_rules

HAIRLINE = InspectedStone(
    "S-1",
    StoneShape(205, 75, 25),
    InspectionValues(
        findings=(
            FindingValues(
                "f", "fissure", ((80.0, 30.0), (100.0, 36.0)), catches_nail=False, moves_when_pressed=False
            ),
        )
    ),
)


def test_the_same_rules_change_nothing():
    assert effect_of_rules(DEFAULT_RULES, DEFAULT_RULES, [HAIRLINE]) == ()


def test_without_rules_every_verdict_is_lost():
    (effect,) = effect_of_rules(DEFAULT_RULES, [], [HAIRLINE])

    assert ("fissure_hairline", "f") in effect.lost
    assert effect.gained == ()
    assert not effect.stricter


def test_moved_thresholds_touch_just_the_stones_they_should():
    """Long from 15 mm, not 60; soft spots from 0.2 % of the face, not 2; chips from 20 %, not 1.5."""
    told = {e.key: e for e in effects()}

    assert told["closed hairline inside"].gained == (("fissure_long", "f1"),)
    assert told["closed hairline inside"].stricter
    assert told["small soft spot"].gained == (("soft_spot_large", "f1"),)
    assert ("chip_large", "f1") in told["large corner chip of known depth"].lost
    assert "dark line, harmless" not in told
    assert "large soft spot" not in told
