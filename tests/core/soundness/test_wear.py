"""Preston, Archard, the fitted lapping rate, and the life of a stone."""

import math

import numpy as np
import pytest

from whetpanel.core.soundness import wear
from whetpanel.errors import Invalid

AREA = 205.0 * 75.0


def logged(per_pa, **changes):
    """A lapping that removes exactly what Preston's law with this K says."""
    values = {
        "force_n": 20.0,
        "area_mm2": AREA,
        "strokes": 400.0,
        "stroke_mm": 120.0,
        "grain_um": 68.0,
        **changes,
    }
    pressure, distance = (
        values["force_n"] / (values["area_mm2"] * 1e-6),
        values["strokes"] * values["stroke_mm"] / 1e3,
    )
    removed = wear.preston_depth_um(per_pa, pressure, distance) * values["grain_um"] / 68.0
    return wear.Lapping(removed_um=removed, **values)


def test_preston_on_fused_silica():
    """1.6e−12 1/Pa (16e−14 cm²/dyn, cerium oxide on pitch) at 3 kPa and 0.5 m/s: 2.4 nm/s, 8.64 µm/h."""
    assert wear.preston_depth_um(1.6e-12, 3000, 0.5) == pytest.approx(0.0024)
    assert wear.preston_depth_um(1.6e-12, 3000, 0.5 * 3600) == pytest.approx(8.64)


def test_archard():
    """K 1e−5, 100 N, 500 MPa, 1 m/s: 0.002 mm³/s, so 1 mm³ after 500 s and 7.2 µm/h over 10 cm²."""
    per_second = wear.archard_mm3(1e-5, 100, 1000, 500)

    assert per_second == pytest.approx(0.002)
    assert per_second * 500 == pytest.approx(1)
    assert per_second * 3600 / 1000 * 1000 == pytest.approx(7.2)


def test_wear_and_life():
    """25.00 mm worn to 24.62 mm in 38 h is 0.0100 mm/h; 1462 h left above 10 mm, 1500 h from new."""
    rate = wear.wear_mm_per_h(25.00, 24.62, 38)

    assert rate == pytest.approx(0.0100, abs=5e-5)
    assert wear.hours_left(24.62, 10, rate) == pytest.approx(1462, abs=0.5)
    assert wear.hours_left(25.00, 10, rate) == pytest.approx(1500, abs=0.5)
    assert wear.hours_left(25, 10, 0) == math.inf


def test_without_a_log_the_stated_guess_speaks():
    rate = wear.fit_rate([])

    assert rate.per_pa == pytest.approx(wear.GUESS_PER_PA)
    assert rate.n_lappings == 0
    assert rate.high90 / rate.low90 > 50


def test_the_coefficient_of_one_lapping_comes_back():
    """What Preston's law removed, fitted back, whatever the force, the strokes or the grain."""
    for changes in ({}, {"force_n": 55.0}, {"strokes": 90.0}, {"grain_um": 18.3}):
        assert wear.preston_of(logged(3e-10, **changes)) == pytest.approx(3e-10)


def test_the_log_outweighs_the_guess_and_the_interval_narrows():
    """Simulated lappings with a known K (three times the guess) and a scatter of 20 %."""
    rng = np.random.default_rng(3)
    truth = 3 * wear.GUESS_PER_PA
    log = [logged(truth * math.exp(rng.normal(0, 0.2))) for _ in range(20)]
    rates = [wear.fit_rate(log[:n]) for n in (0, 1, 5, 20)]

    errors = [abs(math.log(r.per_pa / truth)) for r in rates]
    widths = [math.log(r.high90 / r.low90) for r in rates]
    assert errors[3] < 0.15 < errors[0]
    assert widths == sorted(widths, reverse=True)


def test_the_interval_holds_the_next_lapping_as_often_as_it_says():
    """Simulation from the model's own assumptions: about nine times in ten over 2000 clubs."""
    rng = np.random.default_rng(11)
    hits = 0
    for _ in range(2000):
        truth = math.log(wear.GUESS_PER_PA) + rng.normal(0, wear.GUESS_SPREAD)
        draws = [math.exp(truth + rng.normal(0, wear.ONE_LAPPING_SPREAD)) for _ in range(4)]
        rate = wear.fit_rate([logged(k) for k in draws[:3]])
        hits += rate.low90 <= draws[3] <= rate.high90

    assert 0.88 < hits / 2000 < 0.92


def test_strokes_undo_the_removal():
    lapping = logged(wear.GUESS_PER_PA)
    strokes = wear.strokes_for(lapping.removed_um, wear.fit_rate([]), 20, AREA, 120, 68)

    assert strokes.strokes == pytest.approx(400)
    assert strokes.low90 < 400 < strokes.high90


def test_impossible_logs_are_refused():
    with pytest.raises(Invalid):
        wear.preston_of(logged(1e-10, force_n=20.0).__class__(0, 20, AREA, 10, 100, 68))
    with pytest.raises(Invalid, match="thicker"):
        wear.wear_mm_per_h(24, 25, 10)
