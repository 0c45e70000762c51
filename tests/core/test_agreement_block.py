"""The largest complete part of a table with gaps, against trying every set of raters."""

from itertools import combinations

import numpy as np
import pytest
from tests.core.published import table

from whetpanel.core.agreement import (
    Ratings,
    agreement_report,
    complete_block,
    intraclass_correlations,
    kendall_w,
    make_ratings,
)


def ratings_of(cells: np.ndarray) -> Ratings:
    """Every number of a table as a rating; what is not a number is missing."""
    at = np.argwhere(np.isfinite(cells))
    return make_ratings(
        [f"u{i:03d}" for i, _ in at], [f"r{j:02d}" for _, j in at], [float(cells[i, j]) for i, j in at]
    )


def most_freedom(cells: np.ndarray) -> int:
    """(units − 1)·(raters − 1) of the largest complete block, by trying every set of raters."""
    best = 0
    for k in range(2, cells.shape[1] + 1):
        for columns in combinations(range(cells.shape[1]), k):
            n = int(np.isfinite(cells[:, columns]).all(1).sum())
            best = max(best, (n - 1) * (k - 1))
    return best


@pytest.mark.parametrize("seed", range(6))
def test_no_set_of_raters_shares_more(seed: int) -> None:
    """By counting every set of six raters."""
    rng = np.random.default_rng(seed)
    cells = np.where(rng.random((15, 6)) < 0.6, rng.normal(size=(15, 6)), np.nan)

    block = complete_block(ratings_of(cells))

    assert block is not None
    n, k = block.table.shape
    assert most_freedom(cells) == (n - 1) * (k - 1)
    rows, columns = [int(u[1:]) for u in block.units], [int(r[1:]) for r in block.raters]
    np.testing.assert_array_equal(cells[np.ix_(rows, columns)], block.table)


def test_a_published_table_with_units_and_a_rater_added_gives_the_published_figures() -> None:
    """Shrout and Fleiss (1979), Table 2: what is added has gaps and drops out; figures of the paper's table remain."""
    whole = table("shrout_fleiss_1979")
    cells = np.full((whole.shape[0] + 2, whole.shape[1] + 1), np.nan)
    cells[: whole.shape[0], : whole.shape[1]] = whole
    cells[-1, :2], cells[0, -1] = (4.0, 5.0), 3.0
    ratings = ratings_of(cells)

    with_gaps = agreement_report(ratings, level="interval", rng=np.random.default_rng(1), n_resamples=0)
    report = agreement_report(
        ratings, level="interval", rng=np.random.default_rng(1), n_resamples=0, largest_block=True
    )

    assert (None, None) == (with_gaps.icc, with_gaps.kendall_w)
    assert intraclass_correlations(whole) == report.icc
    assert kendall_w(whole) == report.kendall_w
    assert 0.29 == round(report.icc.two_1.icc or 0, 2)
    assert (6, 4) == (len(report.block_units), len(report.block_raters))


def test_a_repeat_is_left_out() -> None:
    """No one of two ratings by the same rater is the rating: the unit drops out for that rater."""
    units, raters = ["a", "a", "a", "b", "b", "c", "c"], ["x", "x", "y", "x", "y", "x", "y"]

    block = complete_block(make_ratings(units, raters, [1.0, 2.0, 1.0, 3.0, 3.0, 4.0, 5.0]))

    assert block is not None
    assert (("b", "c"), ("x", "y")) == (block.units, block.raters)


def test_without_two_of_each_there_is_none() -> None:
    """One shared unit says nothing of order or spread."""
    assert complete_block(make_ratings(["a", "a", "b"], ["x", "y", "x"], [1.0, 2.0, 3.0])) is None
    assert complete_block(make_ratings([], [], [])) is None
    report = agreement_report(
        make_ratings(["a", "a", "b"], ["x", "y", "x"], [1.0, 2.0, 3.0]), level="interval",
        rng=np.random.default_rng(1), n_resamples=0, largest_block=True,
    )  # fmt: skip
    assert "No two raters" in report.why_not["icc"]
