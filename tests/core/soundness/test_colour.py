"""Colour against published values."""

import pytest
from tests.core.published import rows

from whetpanel.core.soundness.colour import ciede2000, lab, lightness, luminance, mud_shade, munsell_y
from whetpanel.errors import Invalid


def test_grey_ramp():
    """IEC 61966-2-1 and CIE L*, recomputed with a colour library (tests/data/SOURCES.md)."""
    for row in rows("srgb_grey_lightness"):
        grey = float(row["srgb_8bit"])
        y = luminance((grey, grey, grey))

        assert float(row["Y"]) == pytest.approx(y, abs=1e-6)
        assert float(row["L_star"]) == pytest.approx(lightness(y), abs=1e-4)


@pytest.mark.parametrize(
    ("rgb", "expected"),
    [
        ((56, 79, 132), (34.188, 8.072, -32.478)),
        ((90, 80, 70), (34.708, 2.282, 7.408)),
        ((60, 62, 65), (26.121, -0.135, -2.128)),
        ((200, 190, 170), (77.286, 0.154, 11.367)),
    ],
)
def test_lab(rgb, expected):
    """The first from a public question and answer on sRGB to Lab, the others by a colour library.

    The last digits depend on the white used, so 0.02.
    """
    assert expected == pytest.approx(lab(rgb), abs=0.02)


@pytest.mark.parametrize("row", rows("ciede2000_pairs"), ids=lambda row: row["pair"])
def test_ciede2000(row):
    """Sharma, Wu & Dalal 2005, Color Research & Application 30:21–30, to four decimals, both ways round."""
    one = (float(row["L1"]), float(row["a1"]), float(row["b1"]))
    other = (float(row["L2"]), float(row["a2"]), float(row["b2"]))

    assert float(row["dE00"]) == pytest.approx(ciede2000(one, other), abs=5e-5)
    assert float(row["dE00"]) == pytest.approx(ciede2000(other, one), abs=5e-5)


@pytest.mark.parametrize(
    ("value", "y", "l_star"),
    [(3.5, 8.778, 35.55), (5, 19.272, 51.00), (8, 57.620, 80.53), (9.5, 87.756, 95.06)],
)
def test_munsell_greys(value, y, l_star):
    """ASTM D1535's polynomial (from memory) for the patches of a grey card."""
    assert y == pytest.approx(munsell_y(value), abs=5e-4)
    assert l_star == pytest.approx(lightness(munsell_y(value) / 100), abs=5e-3)


def test_mud_is_read_against_the_card_not_by_itself():
    """Half the light on both changes nothing: L* follows the ratio of linear light, not the exposure."""

    def dimmed(rgb, factor):
        """The sRGB colour that has ``factor`` times the linear light (the inverse of IEC 61966-2-1)."""
        light = [((c / 255 + 0.055) / 1.055) ** 2.4 * factor for c in rgb]
        return tuple(255 * (1.055 * c ** (1 / 2.4) - 0.055) for c in light)

    mud, card = (110.0, 100.0, 90.0), (235.0, 235.0, 235.0)

    bright, dim = mud_shade(mud, card), mud_shade(dimmed(mud, 0.5), dimmed(card, 0.5))
    assert bright.lightness == pytest.approx(dim.lightness, abs=1e-6)


def test_darker_mud_has_a_higher_shade():
    """Shade 1 is pale, 5 is black."""
    shades = [mud_shade((g, g, g), (240, 240, 240)).shade for g in (230, 150, 110, 80, 30)]

    assert shades == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("mud", "card", "words"),
    [
        ((90, 80, 70), (255, 255, 255), "overexposed"),
        ((20, 20, 20), (60, 60, 60), "too dark"),
        ((230, 230, 230), (200, 200, 200), "lighter than the card"),
        ((1, 2), (200, 200, 200), "three numbers"),
    ],
)
def test_pictures_that_tell_nothing_are_refused(mud, card, words):
    with pytest.raises(Invalid, match=words):
        mud_shade(mud, card)
