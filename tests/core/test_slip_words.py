"""What a slip says beside its figures: one and many, mixed scales, contradictions. Wording of our own: no source."""

from whetpanel.core.slip_words import Doubt, Height, doubt_words, height_words


def test_one_and_many_are_told_apart() -> None:
    """The bound is 1.645 times the sd (normal quantile of 95 %), the widest of the scales'."""
    one = height_words([Height("Hardness", 1, 0.12), Height("Fineness", 1, 0.2)])
    two = height_words([Height("Hardness", 2, 0.12), Height("Fineness", 1, 0.06)])
    off = "in place, but all its grades together could lie up to"

    assert f"One stone of agreed grade keeps the club’s scale {off} 0.3 higher or lower." == one
    assert f"2 stones of agreed grade keep the club’s scale {off} 0.2 higher or lower." == two


def test_scales_without_agreed_grades_are_named() -> None:
    """Only where they differ from the others."""
    mixed = height_words([Height("Hardness", 1, 0.1), Height("Ease of use", 0, 0.3)])
    free = height_words([Height("Hardness", 0, 0.3)])

    assert (
        "keeps the club’s scale for hardness in place, but all its grades together could lie up to 0.2"
        in mixed
    )
    assert (
        "No stone of agreed grade keeps the club’s scale for ease of use in place: its stones compare"
        in mixed
    )
    assert free.startswith(
        "No stone of agreed grade keeps the club’s scale in place: its stones compare with each"
    )
    assert free.endswith("all its grades together could lie up to 0.5 higher or lower.")
    assert "" == height_words([])


def test_a_contradiction_names_scale_figures_and_the_loudest_sign() -> None:
    """And is silent where there is none, or less than a step as printed."""
    told = doubt_words([Doubt("Hardness of the stone", 4.02, 2.48, "water_uptake_s", 0.5)])
    mute = doubt_words([Doubt("Hardness", 4.0, 2.5, None, 0.5)])

    assert (
        "Hardness of the stone: what was noted of the stone beside the grades, above all how fast it takes up water, "
        "would suggest about 2.5; its trials say 4.0. The grade is what the trials say." == told
    )
    assert "beside the grades would suggest" in mute
    assert "" == doubt_words([Doubt("Hardness", 1.0, 1.4, "mud_shade", 0.5)])
    assert "" == doubt_words([])
