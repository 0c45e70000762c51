"""Pooled stone grades from many testers' trials: estimates and honest intervals per stone,
tester and trial.
"""

from whetpanel.core.pooling.model import PoolSettings, ScalePrior
from whetpanel.core.pooling.pool import METHOD_VERSION, pool_arrays, pool_grades
from whetpanel.core.pooling.result import (
    Anchor,
    ComparableGroup,
    PooledArrays,
    PoolResult,
    ProposedLink,
    SteelGrade,
    StoneGrade,
    TesterCalibration,
    TrialGrade,
    TrialReading,
)
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.core.pooling.warm import WarmState

__all__ = [
    "METHOD_VERSION",
    "Anchor",
    "ComparableGroup",
    "GradeScale",
    "PoolResult",
    "PoolSettings",
    "PooledArrays",
    "ProposedLink",
    "ScalePrior",
    "SteelGrade",
    "StoneGrade",
    "TesterCalibration",
    "TrialGrade",
    "TrialReading",
    "WarmState",
    "pool_arrays",
    "pool_grades",
]
