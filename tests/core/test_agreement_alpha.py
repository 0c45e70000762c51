"""Krippendorff's alpha against its published example, the public library, and known truth."""

import itertools

import krippendorff
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.core.published import table

from whetpanel.core.agreement import LEVELS, Level, Ratings, krippendorff_alpha, make_ratings
from whetpanel.errors import Invalid


def long(grid: np.ndarray) -> Ratings:
    """Ratings from an (n_raters, n_units) table with NaN gaps."""
    r, u = np.nonzero(~np.isnan(grid))
    return make_ratings([f"u{i:03}" for i in u], [f"r{i:03}" for i in r], grid[r, u])


@pytest.mark.parametrize(
    ("level", "printed", "digits"),
    [
        # Krippendorff, Computing Krippendorff's Alpha-Reliability (2011): 0.743, 0.815, 0.849, 0.797;
        # the further digits by the krippendorff library.
        ("nominal", 0.743, 0.743421),
        ("ordinal", 0.815, 0.815388),
        ("interval", 0.849, 0.849107),
        ("ratio", 0.797, 0.797403),
    ],
)
def test_the_published_example_comes_out_to_its_printed_digits(
    level: Level, printed: float, digits: float
) -> None:
    alpha = krippendorff_alpha(long(table("krippendorff_2011")), level=level)

    assert alpha.alpha is not None
    assert round(alpha.alpha, 3) == printed
    assert round(alpha.alpha, 6) == digits
    # Unit 12 has one rating and drops out; 40 pairable values remain (same source).
    assert (alpha.n_units, alpha.n_raters, alpha.n_ratings) == (11, 4, 40)


@pytest.mark.parametrize("level", LEVELS)
@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), n_units=st.integers(2, 9), n_raters=st.integers(2, 5))
def test_any_table_agrees_with_the_public_library(
    level: Level, seed: int, n_units: int, n_raters: int
) -> None:
    """Values and gaps at random; source: the krippendorff package."""
    rng = np.random.default_rng(seed)
    grid = rng.choice([0.0, 1.0, 1.5, 2.0, 4.0], size=(n_raters, n_units))
    grid[rng.random(grid.shape) < 0.25] = np.nan
    paired = (~np.isnan(grid)).sum(axis=0) >= 2
    ours = krippendorff_alpha(long(grid), level=level).alpha
    if np.unique(grid[:, paired][~np.isnan(grid[:, paired])]).size < 2:
        assert ours is None
    else:
        assert ours == pytest.approx(krippendorff.alpha(grid, level_of_measurement=level), abs=1e-12)


def by_the_definition(ratings: Ratings, metric) -> float:  # type: ignore[no-untyped-def]
    """Alpha by listing every pair of different raters, votes shared among a rater's repeats."""
    votes: dict[tuple[int, int], int] = {}
    for cell in zip(ratings.unit, ratings.rater, strict=True):
        votes[cell] = votes.get(cell, 0) + 1
    rows = list(zip(ratings.unit, ratings.rater, ratings.value, strict=True))
    raters = {u: {r for v, r in votes if v == u} for u, _ in votes}
    rows = [row for row in rows if len(raters[row[0]]) >= 2]
    weight = [1.0 / votes[(u, r)] for u, r, _ in rows]
    n = sum(weight)
    if metric is None:  # Krippendorff's ordinal metric, from the frequencies between two values
        often = {v: sum(w for w, row in zip(weight, rows, strict=True) if row[2] == v) for _, _, v in rows}

        def metric(a: float, b: float) -> float:
            between = sum(f for v, f in often.items() if min(a, b) <= v <= max(a, b))
            return 0.0 if a == b else float((between - (often[a] + often[b]) / 2) ** 2)

    observed = sum(
        weight[a] * weight[b] * metric(rows[a][2], rows[b][2]) / (len(raters[rows[a][0]]) - 1)
        for a, b in itertools.permutations(range(len(rows)), 2)
        if rows[a][0] == rows[b][0] and rows[a][1] != rows[b][1]
    )
    expected = sum(
        weight[a] * weight[b] * metric(rows[a][2], rows[b][2])
        for a in range(len(rows))
        for b in range(len(rows))
    )
    return 1.0 - observed / n / (expected / (n * (n - 1)))


@pytest.mark.parametrize(
    ("level", "metric"),
    [
        ("ordinal", None),
        ("nominal", lambda a, b: float(a != b)),
        ("interval", lambda a, b: (a - b) ** 2),
        ("ratio", lambda a, b: ((a - b) / (a + b)) ** 2),
    ],
)
def test_repeats_by_one_rater_share_one_vote(level: Level, metric) -> None:  # type: ignore[no-untyped-def]
    """Source: the definition, pair by pair (a second method)."""
    rng = np.random.default_rng(5)
    unit = rng.integers(0, 8, 60).astype(str)
    rater = rng.integers(0, 4, 60).astype(str)
    ratings = make_ratings(list(unit), list(rater), rng.integers(1, 6, 60).astype(float))

    assert krippendorff_alpha(ratings, level=level).alpha == pytest.approx(by_the_definition(ratings, metric))


@pytest.mark.parametrize("level", LEVELS)
def test_repeating_every_rating_changes_nothing(level: Level) -> None:
    """A rater who says the same thing twice adds no agreement between raters."""
    once = long(table("krippendorff_2011"))
    units = [once.units[u] for u in once.unit]
    raters = [once.raters[r] for r in once.rater]
    twice = make_ratings(units * 2, raters * 2, np.tile(once.value, 2))

    expected = krippendorff_alpha(once, level=level).alpha
    assert krippendorff_alpha(twice, level=level).alpha == pytest.approx(expected, abs=1e-12)


def test_labels_may_be_words_at_the_nominal_level_only() -> None:
    ratings = make_ratings(["a", "a", "b", "b"], ["x", "y", "x", "y"], ["silky", "silky", "sandy", "sandy"])

    assert krippendorff_alpha(ratings, level="nominal").alpha == pytest.approx(1.0)
    with pytest.raises(Invalid, match="needs numbers"):
        krippendorff_alpha(ratings, level="ordinal")


def test_order_and_names_do_not_matter() -> None:
    grid = table("krippendorff_2011")
    a = krippendorff_alpha(long(grid), level="ordinal", n_resamples=200, rng=np.random.default_rng(1))
    flipped = krippendorff_alpha(long(grid[::-1]), level="ordinal")
    assert flipped.alpha == pytest.approx(a.alpha, abs=1e-15)

    ratings = long(grid)
    order = np.random.default_rng(2).permutation(ratings.n_ratings)
    shuffled = make_ratings(
        [ratings.units[u] for u in ratings.unit[order]],
        [ratings.raters[r] for r in ratings.rater[order]],
        ratings.value[order],
    )
    again = krippendorff_alpha(shuffled, level="ordinal", n_resamples=200, rng=np.random.default_rng(1))
    assert again == a


def test_ratings_without_a_pair_or_without_variation_have_no_alpha() -> None:
    alone = krippendorff_alpha(make_ratings(["a", "b"], ["x", "y"], [1.0, 2.0]), level="interval")
    same = krippendorff_alpha(
        make_ratings(["a", "a", "b", "b"], ["x", "y", "x", "y"], [3.0] * 4), level="ordinal"
    )

    assert (alone.alpha, same.alpha) == (None, None)
    assert "two raters" in alone.note
    assert "same" in same.note


def test_a_negative_value_is_refused_at_the_ratio_level() -> None:
    ratings = make_ratings(["a", "a"], ["x", "y"], [-1.0, 2.0])

    with pytest.raises(Invalid, match="zero and above"):
        krippendorff_alpha(ratings, level="ratio")


def test_the_bootstrap_interval_covers_the_true_alpha() -> None:
    """Truth by algebra: values u + e have interval alpha var(u) / (var(u) + var(e)) = 0.8 in the long run.

    60 units, 4 raters; a nominal 95 % interval over 200 panels should cover 0.8 about 190 times. The
    percentile interval is known to run a little short; 178 is 3.7 standard deviations below 95 %.
    """
    rng = np.random.default_rng(2026)
    covered = 0
    for _ in range(200):
        grid = rng.normal(0, 2.0, 60)[None, :] + rng.normal(0, 1.0, (4, 60))
        a = krippendorff_alpha(long(grid), level="interval", n_resamples=300, rng=rng)
        assert a.low95 is not None
        assert a.high95 is not None
        covered += a.low95 <= 0.8 <= a.high95
    assert 178 <= covered <= 199


@pytest.mark.parametrize("level", LEVELS)
def test_a_bootstrap_in_pieces_and_the_other_way_round_is_the_same(
    level: Level, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two methods: counting how often values met, and summing over ratings when there are many values."""
    rng = np.random.default_rng(3)
    unit, rater = rng.integers(0, 40, 300).astype(str), rng.integers(0, 5, 300).astype(str)
    ratings = make_ratings(list(unit), list(rater), rng.integers(1, 6, 300).astype(float))

    whole = krippendorff_alpha(ratings, level=level, n_resamples=50, rng=np.random.default_rng(4))
    monkeypatch.setattr("whetpanel.core.agreement.alpha._CHUNK", 500)
    pieces = krippendorff_alpha(ratings, level=level, n_resamples=50, rng=np.random.default_rng(4))
    for name in ("alpha", "low95", "high95"):
        assert getattr(pieces, name) == pytest.approx(getattr(whole, name), abs=1e-12)
