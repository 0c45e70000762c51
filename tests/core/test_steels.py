"""The list of steels, and which of a club's steels speaks for a buyer's."""

import pytest

from whetpanel.core.steels import (
    BY_KEY,
    CLASSES,
    STEELS,
    ClubSteel,
    SteelMap,
    class_hardness,
    map_steel,
    same_as,
)

WHITE = ClubSteel("white_carbon", "Plain carbon, about 1.1 % C", "plain_carbon")
BEARING = ClubSteel("bearing", "52100 / 1.3505", "low_alloy")
RUSTLESS = ClubSteel("fine_stainless", "Fine stainless, 14 % Cr", "stainless")


@pytest.mark.parametrize(
    ("first", "same", "steel_class"),
    [
        # Pairs from memory, as the comparison tables of EN ISO 4957, EN ISO 683-17, EN 10088 and JIS G 44xx have them.
        ("C100S", "1.1274", "plain_carbon"),
        ("C105U", "W1", "plain_carbon"),
        ("100Cr6", "SUJ2", "low_alloy"),
        ("100Cr6", "1.3505", "low_alloy"),
        ("90MnCrV8", "O2", "low_alloy"),
        ("X50CrMoV15", "1.4116", "stainless"),
        ("X105CrMo17", "440C", "stainless"),
        ("X153CrMoV12", "D2", "high_alloy"),
        ("X153CrMoV12", "1.2379", "high_alloy"),
    ],
)
def test_a_steel_goes_by_the_names_of_several_standards(first: str, same: str, steel_class: str) -> None:
    found = [steel for steel in STEELS if steel.designations[0] == first]

    assert 1 == len(found)
    assert same in found[0].designations
    assert steel_class == found[0].steel_class


def test_the_list_can_be_used() -> None:
    """Keys are distinct and fit the API; every class is there; hardness is that of a blade."""
    assert len(BY_KEY) == len(STEELS)
    assert set(CLASSES) == {steel.steel_class for steel in STEELS}
    for steel in STEELS:
        assert 45 <= steel.hrc_low < steel.hrc_high <= 70
        assert steel.key.replace("_", "").isalnum()
        assert len(steel.key) <= 40
        assert steel.key == steel.key.lower()
    for steel_class in CLASSES:
        low, high = class_hardness(steel_class)
        assert low < high


def test_a_steel_the_club_tried_speaks_for_itself() -> None:
    """By the club's own key, or by a designation in the name of the club's steel, spelled in whatever way."""
    assert SteelMap("same", ("white_carbon",), "plain_carbon") == map_steel(
        "white_carbon", None, [WHITE, BEARING]
    )
    assert SteelMap("same", ("bearing",), "low_alloy") == map_steel("s_100cr6", None, [WHITE, BEARING])
    assert same_as(BY_KEY["s_100cr6"], ClubSteel("suj_2", "ball bearing steel", "low_alloy"))
    assert not same_as(BY_KEY["s_100cr6"], WHITE)


def test_another_steel_leans_on_its_class_and_then_on_none() -> None:
    """A listed steel on the tried ones of its class; one of a class nobody tried on none, like a key nobody knows."""
    tried = [RUSTLESS, WHITE, ClubSteel("other_carbon", "", "plain_carbon")]

    listed = map_steel("s_c100s", None, tried)
    assert SteelMap("class", ("other_carbon", "white_carbon"), "plain_carbon") == listed
    assert SteelMap("class", ("fine_stainless",), "stainless") == map_steel(None, "stainless", tried)
    assert SteelMap("any", (), "powder") == map_steel("s_pm_hs6_5_4", None, tried)
    assert SteelMap("any", (), None) == map_steel("no_such_steel", None, tried)
    untried = ClubSteel("club_powder", "", "powder")
    assert SteelMap("any", (), "powder") == map_steel("club_powder", None, tried, known=[*tried, untried])
