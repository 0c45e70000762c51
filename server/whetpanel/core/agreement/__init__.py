"""How far testers agree, and how far one tester agrees with himself.

Start from ``make_ratings`` or ``ratings_of_trials``, and go on to ``agreement_report``; the single
figures are here as well.
"""

from whetpanel.core.agreement.agreed_value import AgreedValue, agreed_value
from whetpanel.core.agreement.alpha import LEVELS, Alpha, Level, krippendorff_alpha
from whetpanel.core.agreement.block import CompleteBlock, complete_block
from whetpanel.core.agreement.gauge import GaugeStudy, gauge_anova, gauge_ranges, range_constant
from whetpanel.core.agreement.icc import Icc, IccFamily, intraclass_correlations
from whetpanel.core.agreement.kappa import Kappa, category_counts, fleiss_kappa
from whetpanel.core.agreement.kendall import Concordance, kendall_w
from whetpanel.core.agreement.latent_classes import LatentClasses, latent_classes
from whetpanel.core.agreement.precision_iso5725 import (
    LevelPrecision,
    Precision,
    repeatability_and_reproducibility,
)
from whetpanel.core.agreement.ratings import Ratings, make_ratings, ratings_of_trials
from whetpanel.core.agreement.report import AgreementReport, agreement_report
from whetpanel.core.agreement.robust import RobustMean, algorithm_a

__all__ = [
    "LEVELS",
    "AgreedValue",
    "AgreementReport",
    "Alpha",
    "CompleteBlock",
    "Concordance",
    "GaugeStudy",
    "Icc",
    "IccFamily",
    "Kappa",
    "LatentClasses",
    "Level",
    "LevelPrecision",
    "Precision",
    "Ratings",
    "RobustMean",
    "agreed_value",
    "agreement_report",
    "algorithm_a",
    "category_counts",
    "complete_block",
    "fleiss_kappa",
    "gauge_anova",
    "gauge_ranges",
    "intraclass_correlations",
    "kendall_w",
    "krippendorff_alpha",
    "latent_classes",
    "make_ratings",
    "range_constant",
    "ratings_of_trials",
    "repeatability_and_reproducibility",
]
