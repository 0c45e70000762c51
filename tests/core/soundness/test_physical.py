"""Density, absorption, porosity and capillary uptake, by the formulas of the stone standards."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from whetpanel.core.soundness import physical
from whetpanel.errors import Invalid


@pytest.mark.parametrize(
    ("dry", "wet", "hung", "absorption", "gravity", "porosity"),
    [(1250.0, 1262.5, 770.0, 1.0, 2.53807, 2.53807), (1975.4, 1979.1, 1230.2, 0.18730, 2.63774, 0.49406)],
)
def test_worked_specimens(dry, wet, hung, absorption, gravity, porosity):
    """Worked by hand from the formulas of EN 13755, ASTM C97 and EN 1936."""
    assert absorption == pytest.approx(physical.absorption_percent(dry, wet), abs=5e-6)
    assert gravity == pytest.approx(physical.bulk_specific_gravity(dry, wet, hung), abs=5e-6)
    assert porosity == pytest.approx(physical.open_porosity_percent(dry, wet, hung), abs=5e-6)


def test_apparent_density_with_water_at_20_degrees():
    """1250·998/(1262.5 − 770) = 2532.99 kg/m³, EN 1936; solid 1250/(1250 − 770) = 2.60417."""
    assert physical.apparent_density_kg_m3(1250, 1262.5, 770) == pytest.approx(2532.99, abs=5e-3)
    assert physical.solid_specific_gravity(1250, 770) == pytest.approx(2.60417, abs=5e-6)


def test_density_and_porosity_of_a_block():
    """960 g over 384.375 cm³ is 2.49756 g/cm³; with quartz grains of 2.65 that is 5.752 % pores."""
    density = physical.density_g_cm3(960, 205, 75, 25)

    assert density == pytest.approx(2.49756, abs=5e-6)
    assert physical.total_porosity_percent(density) == pytest.approx(5.752, abs=5e-4)


def test_capillary_uptake():
    """3.1 g through 205 × 75 mm in 600 s: 8.2313 g/(m²·√s), EN 1925."""
    assert physical.capillarity_g_m2_s05(3.1, 205 * 75, 600) == pytest.approx(8.2313, abs=5e-5)


@given(st.floats(100, 5000), st.floats(0, 0.2), st.floats(0.3, 0.8))
def test_open_porosity_is_absorption_times_gravity(dry, taken, hung):
    """An identity of the three formulas."""
    wet, hung_g = dry * (1 + taken), dry * hung
    product = physical.absorption_percent(dry, wet) * physical.bulk_specific_gravity(dry, wet, hung_g)

    assert physical.open_porosity_percent(dry, wet, hung_g) == pytest.approx(product, rel=1e-9)


@pytest.mark.parametrize(
    ("seconds", "state", "word"),
    [
        (None, None, None), (None, "slow", "slow"), (2, None, "at_once"), (5, None, "quick"),
        (59.9, None, "quick"), (60, None, "slow"), (299, "at_once", "slow"), (300, None, "beads"),
    ],
)  # fmt: skip
def test_uptake_class(seconds, state, word):
    """Limits are common practice, no source; a timed drop outranks a looked-at one."""
    assert word == physical.uptake_class(seconds, state)


def test_a_bench_stone_is_no_specimen_and_is_told_why():
    """EN 13755 and ASTM C97 ask for cubes; C97 leaves slate out."""
    limits = " ".join(physical.specimen_limits("slate", 205, 75, 25))

    assert "EN 13755" in limits
    assert "least dimension" in limits
    assert "Slate is outside" in limits


def test_a_cube_of_the_standard_only_lacks_its_fellows():
    """A 70 mm cube: edge 70 ± 5 mm, volume to surface 11.67 mm (ASTM C97: 8 to 12.5)."""
    assert len(physical.specimen_limits("chert", 70, 70, 70)) == 1


@pytest.mark.parametrize(
    "call",
    [
        lambda: physical.absorption_percent(100, 99),
        lambda: physical.absorption_percent(0, 1),
        lambda: physical.bulk_specific_gravity(100, 101, 100),
        lambda: physical.capillarity_g_m2_s05(1, 100, 0),
        lambda: physical.density_g_cm3(0, 1, 1, 1),
    ],
)
def test_impossible_weighings_are_refused(call):
    with pytest.raises(Invalid):
        call()
