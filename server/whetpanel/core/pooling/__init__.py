"""Pooled stone grades from many testers' trials: estimates and honest intervals per stone,
tester and trial.
"""

from whetpanel.core.pooling.account import Estimate, StoneAccount, TrialAccount, account_for, steel_leans
from whetpanel.core.pooling.evidence import METHOD_VERSION, Anchor, TrialGrade
from whetpanel.core.pooling.model import PoolSettings, ScalePrior
from whetpanel.core.pooling.pool import pool_arrays, pool_grades
from whetpanel.core.pooling.result import (
    ComparableGroup,
    PooledArrays,
    PoolResult,
    ProposedLink,
    SteelGrade,
    StoneGrade,
    TesterCalibration,
    TrialReading,
)
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.warm import WarmState

__all__ = [
    "METHOD_VERSION",
    "Anchor",
    "ComparableGroup",
    "Estimate",
    "GradeScale",
    "PoolResult",
    "PoolSettings",
    "PooledArrays",
    "ProposedLink",
    "ScalePrior",
    "SteelGrade",
    "StoneAccount",
    "StoneGrade",
    "TesterCalibration",
    "TrialAccount",
    "TrialGrade",
    "TrialReading",
    "WarmState",
    "account_for",
    "pool_arrays",
    "pool_grades",
    "steel_leans",
]
