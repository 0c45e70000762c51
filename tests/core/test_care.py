"""Care advice follows from what is known of the stone, and says what is not known. Common practice, no source."""

from typing import Any

from whetpanel.core.care import BLADE, DUST, FROST, HOLDS_WATER, NOT_MEASURED, SPLASH, care_advice


def stone(**changes: Any) -> dict[str, Any]:
    """An ordinary bench stone."""
    return {"sides_sealed": False, "marks": [], "mass_g": 900.0, **changes}


def verdict(words: str, urgency: str = "soon") -> dict[str, Any]:
    """What a rule said and nobody has answered."""
    return {"verdict": words, "urgency": urgency}


def test_water_goes_by_what_was_measured() -> None:
    """A dense stone is splashed, one that drinks is wetted; where nobody measured, it says so and plays safe."""
    dense = care_advice(stone(), water_uptake_s=300, verdicts=[])
    by_rule = care_advice(stone(), water_uptake_s=None, verdicts=[verdict("splash only", "none")])
    thirsty = care_advice(stone(), water_uptake_s=5, verdicts=[])
    unknown = care_advice(stone(), water_uptake_s=None, verdicts=[])
    between = care_advice(stone(), water_uptake_s=60, verdicts=[])

    assert SPLASH == dense[0] == by_rule[0]
    assert thirsty[0].startswith("It drinks")
    assert NOT_MEASURED == unknown[0]
    assert not {SPLASH, NOT_MEASURED} & set(between)


def test_what_can_hurt_is_always_said() -> None:
    """Dust, the blade and frost, whatever is known."""
    for advice in (
        care_advice(stone(), water_uptake_s=None, verdicts=[]),
        care_advice(stone(mass_g=None), water_uptake_s=300, verdicts=[verdict("watch", "watch")]),
    ):
        assert {DUST, BLADE, FROST} <= set(advice)
    heavy = care_advice(stone(mass_g=6000.0), water_uptake_s=60, verdicts=[])
    assert any("two hands" in words for words in heavy)


def test_findings_and_marks_shape_the_advice() -> None:
    """A fissure that holds water, sides to seal, a stamp, natural skin, a spot to watch."""
    marks = [{"kind": "stamp"}, {"kind": "natural_skin"}]
    verdicts = [verdict("keep from frost", "watch"), verdict("seal sides"), verdict("watch", "watch")]
    advice = " ".join(care_advice(stone(marks=marks), water_uptake_s=60, verdicts=verdicts))
    sealed = " ".join(care_advice(stone(sides_sealed=True), water_uptake_s=60, verdicts=verdicts))

    for told in (
        HOLDS_WATER,
        "Seal its sides",
        "do not lap the stamped face",
        "leave it on",
        "stop if it opens",
    ):
        assert told in advice
    assert FROST not in advice
    assert "Keep the seal whole" in sealed
    assert "Seal its sides" not in sealed
