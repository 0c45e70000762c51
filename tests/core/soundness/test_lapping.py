"""Stock, mass, thickness left and the grits."""

import numpy as np
import pytest

from whetpanel.core.soundness import FlatnessReading, FlatnessValues
from whetpanel.core.soundness.flatness import measure_flatness
from whetpanel.core.soundness.lapping import LAPPING_GRADES, grit_steps, plan_lapping
from whetpanel.errors import Invalid

FACE = (205.0, 75.0)
D_UM = 120.0


def plan(surface, n=5, thickness=25.0, density=2.5, method="grid"):
    readings = tuple(
        FlatnessReading(float(x), float(y), surface(2 * x / 205 - 1, 2 * y / 75 - 1))
        for x in np.linspace(0, 205, n)
        for y in np.linspace(0, 75, n)
    )
    values = FlatnessValues(method, readings)
    return plan_lapping(values, measure_flatness(values, FACE), FACE, thickness, density)


@pytest.mark.parametrize(
    ("surface", "stock_mm3"),
    [
        (lambda u, v: D_UM * u * u, 615.0),
        (lambda u, v: -D_UM * u * u, 1230.0),
        (lambda u, v: D_UM / 2 * u * v, 922.5),
    ],
    ids=["hollow along: A·d/3", "crowned along: 2·A·d/3", "twisted: A·d/2"],
)
def test_stock_of_the_three_plain_forms(surface, stock_mm3):
    """Integrals of the parabolic cylinder and the saddle over 205 × 75 mm with d = 0.12 mm."""
    p = plan(surface)

    assert stock_mm3 == pytest.approx(p.stock_mm3)
    assert p.stock_um == pytest.approx(D_UM)
    assert p.stock_g == pytest.approx(stock_mm3 * 2.5 / 1000)


def test_stock_of_any_surface_against_numerical_integration():
    """A general quadratic surface: the mean height over the lowered least-squares plane, on a fine raster."""

    def surface(u, v):
        return 60 * u * u - 25 * v * v + 18 * u * v + 40 * u - 12 * v

    p = plan(surface, n=9)
    u, v = np.meshgrid((np.arange(400) + 0.5) / 200 - 1, (np.arange(400) + 0.5) / 200 - 1)
    # On a raster even in u and v the least-squares plane is the linear part of the surface plus a constant.
    over = surface(u, v) - 40 * u + 12 * v
    at_readings = [
        surface(a, b) - 40 * a + 12 * b for a in np.linspace(-1, 1, 9) for b in np.linspace(-1, 1, 9)
    ]

    assert p.stock_mm3 == pytest.approx((over.mean() - min(at_readings)) * 205 * 75 / 1000, rel=1e-4)


def test_a_straightedge_takes_the_face_as_bent_one_way():
    readings = (FlatnessReading(5, 5, 0), FlatnessReading(102.5, 37.5, -D_UM), FlatnessReading(200, 70, 0))
    values = FlatnessValues("straightedge", readings)
    p = plan_lapping(values, measure_flatness(values, FACE), FACE, None, None)

    assert p.stock_mm3 == pytest.approx(615.0)
    assert (p.stock_g, p.thickness_after_mm) == (None, None)


@pytest.mark.parametrize("stock", [0.0, 5.0, 40.0, 120.0, 700.0])
@pytest.mark.parametrize("finish", [400, 1000, 2500])
def test_grits_get_finer_reach_the_finish_and_take_the_stock(stock, finish):
    """Common practice, no source: each grit is finer than the last, and together they take the stock."""
    steps = grit_steps(stock, finish)

    sizes = [s.grain.um for s in steps]
    assert sizes == sorted(sizes, reverse=True)
    assert len(set(sizes)) == len(sizes)
    assert steps[-1].grain.number == finish
    assert sum(s.remove_um for s in steps) >= stock - 1e-9
    assert all(s.grain.number in LAPPING_GRADES for s in steps)


def test_thickness_left_counts_every_grit():
    p = plan(lambda u, v: D_UM * u * u)

    assert p.thickness_after_mm == pytest.approx(25 - sum(s.remove_um for s in p.grits) / 1000)


def test_an_unknown_finish_is_refused():
    with pytest.raises(Invalid):
        grit_steps(100, 333)
