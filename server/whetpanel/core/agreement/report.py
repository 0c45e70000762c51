"""All figures of agreement that a set of ratings allows, each with the count it rests on."""

from dataclasses import dataclass

import numpy as np

from whetpanel.core.agreement.alpha import Alpha, Level, krippendorff_alpha
from whetpanel.core.agreement.block import complete_block
from whetpanel.core.agreement.icc import IccFamily, intraclass_correlations
from whetpanel.core.agreement.kendall import Concordance, kendall_w
from whetpanel.core.agreement.precision_iso5725 import Precision, repeatability_and_reproducibility
from whetpanel.core.agreement.ratings import Ratings


@dataclass(frozen=True)
class AgreementReport:
    """A figure that the ratings do not allow is None, and ``why_not`` says why under its name.

    ``block_raters`` and ``block_units`` name the part of the table that ICC and Kendall's W rest on; all of it if it
    is complete.
    """

    alpha: Alpha
    icc: IccFamily | None
    kendall_w: Concordance | None
    precision: Precision | None
    n_units: int
    n_raters: int
    n_ratings: int
    n_repeats: int
    why_not: dict[str, str]
    block_raters: tuple[str, ...] = ()
    block_units: tuple[str, ...] = ()


def agreement_report(
    ratings: Ratings,
    *,
    level: Level,
    rng: np.random.Generator,
    n_resamples: int = 2000,
    largest_block: bool = False,
) -> AgreementReport:
    """Alpha always; ICC and Kendall's W on a complete table; ISO 5725 precision where there are repeats.

    ``largest_block`` lets ICC and Kendall's W stand for the largest complete part of an incomplete table.

    Numbers are needed for all but nominal alpha. Raises Invalid as ``krippendorff_alpha`` does.
    """
    alpha = krippendorff_alpha(ratings, level=level, n_resamples=n_resamples, rng=rng)
    why_not: dict[str, str] = {}
    if alpha.alpha is None:
        why_not["alpha"] = alpha.note
    icc: IccFamily | None = None
    concordance: Concordance | None = None
    precision: Precision | None = None
    table = ratings.table()
    raters, units = (ratings.raters, ratings.units) if table is not None else ((), ())
    if table is None and largest_block and not ratings.categories:
        block = complete_block(ratings)
        if block is not None:
            table, raters, units = block.table, block.raters, block.units
    if ratings.categories or level == "nominal":
        reason = "Nominal values have no order and no distance."
        why_not |= {"icc": reason, "kendall_w": reason, "precision": reason}
    else:
        if table is None and largest_block:
            reason = "No two raters have rated the same two units once each."
        elif table is None:
            reason = "The table is not complete: it needs every rater to rate every unit exactly once."
        elif min(table.shape) < 2:
            reason = "It needs at least two units and two raters."
        else:
            reason = ""
            icc, concordance = intraclass_correlations(table), kendall_w(table)
        if reason:
            why_not |= {"icc": reason, "kendall_w": reason}
        if ratings.n_repeats():
            precision = repeatability_and_reproducibility(ratings)
        else:
            why_not["precision"] = "No rater rated a unit twice, so repeatability is not known."
    return AgreementReport(
        alpha=alpha,
        icc=icc,
        kendall_w=concordance,
        precision=precision,
        n_units=len(ratings.units),
        n_raters=len(ratings.raters),
        n_ratings=ratings.n_ratings,
        n_repeats=ratings.n_repeats(),
        why_not=why_not,
        block_raters=raters if icc is not None else (),
        block_units=units if icc is not None else (),
    )
