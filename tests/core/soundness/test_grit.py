"""Grain sizes against the published tables."""

import pytest
from tests.core.published import rows

from whetpanel.core.soundness.grit import SYSTEMS, band, equivalent, grain
from whetpanel.errors import Invalid


@pytest.mark.parametrize(
    ("system", "table", "size", "tolerance"),
    [
        ("jis", "grit_jis_r6001_fine", "d50_um", "d50_tol_um"),
        ("fepa_f", "grit_fepa_f_micro", "d50_um", "tol_um"),
        ("fepa_p", "grit_fepa_p", "mean_um", "tol_um_from_memory"),
    ],
)
def test_the_tables_are_the_published_ones(system, table, size, tolerance):
    """JIS R 6001:1987, FEPA 42-2 and FEPA 43-2 (tests/data/SOURCES.md)."""
    published = rows(table)

    assert [int(r["grade"].lstrip("#FP")) for r in published] == [n for n, _, _ in SYSTEMS[system].grades]
    for row in published:
        g = grain(system, int(row["grade"].lstrip("#FP")))
        assert float(row[size]) == g.um
        assert (float(row[tolerance]) if row[tolerance] else None) == g.tolerance_um
        assert g.between is None


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_higher_number_is_always_finer(system):
    sizes = [um for _, um, _ in SYSTEMS[system].grades]

    assert sizes == sorted(sizes, reverse=True)
    assert len(set(sizes)) == len(sizes)


def test_one_number_three_sizes():
    """1000 is 18.3 µm as P, 11.5 as JIS, 4.5 as F."""
    assert [grain(s, 1000).um for s in ("fepa_p", "jis", "fepa_f")] == [18.3, 11.5, 4.5]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (("fepa_p", 400), ("jis", 360)), (("fepa_f", 1200), ("jis", 4000)), (("fepa_f", 1500), ("jis", 6000)),
        (("fepa_f", 2000), ("jis", 8000)),
    ],
)  # fmt: skip
def test_exact_ties_between_systems(one, other):
    """The tables share these sizes exactly, so each is the other's equivalent."""
    assert grain(*one).um == grain(*other).um
    assert equivalent(band(one[0], one[1], one[1]), other[0]).coarse == other[1]


@pytest.mark.parametrize(
    ("system", "number"), [("jis", 10000), ("jis", 30000), ("jis", 200), ("fepa_p", 5000)]
)
def test_no_size_beyond_the_standard(system, number):
    """JIS R 6001 stops at #8000; what lies beyond is a maker's own claim."""
    with pytest.raises(Invalid, match=r"ends at (#8000|#240|P2500)"):
        grain(system, number)


def test_between_two_grades_the_size_lies_between_and_says_so():
    g = grain("jis", 5000)

    assert g.between == (4000, 6000)
    assert 2.0 < g.um < 3.0


def test_an_equivalent_stops_where_the_other_system_stops():
    """JIS #3000 (4.0 µm) is finer than P2500 (8.4 ± 0.5 µm), the last of its standard; #1000 (11.5) is nearer
    to P1500 (12.6) than to P2000 (10.3) on a logarithmic scale."""
    e = equivalent(band("jis", 1000, 3000), "fepa_p")

    assert (e.coarse, e.fine, e.beyond) == (1500, None, ("finer",))


def test_a_band_the_wrong_way_round_is_refused():
    with pytest.raises(Invalid, match="swap"):
        band("jis", 3000, 1000)
