"""Is the stone sound? Geometry, rules, flatness, lapping and the small physics around them.

``assess`` answers everything about one inspection; the other modules hold the parts of that answer.
"""

from .assess import Assessment, FindingFacts, Verdict, assess, assess_stone_json
from .default_rules import DEFAULT_RULES
from .rule_check import read_rules
from .rules import URGENCIES, VERDICT_WORDS, Parameter, Rule
from .values import FindingValues, FlatnessReading, FlatnessValues, History, InspectionValues, StoneShape
from .work import BLOCKS_PUBLICATION, WorkItem, open_work

__all__ = [
    "BLOCKS_PUBLICATION",
    "DEFAULT_RULES",
    "URGENCIES",
    "VERDICT_WORDS",
    "Assessment",
    "FindingFacts",
    "FindingValues",
    "FlatnessReading",
    "FlatnessValues",
    "History",
    "InspectionValues",
    "Parameter",
    "Rule",
    "StoneShape",
    "Verdict",
    "WorkItem",
    "assess",
    "assess_stone_json",
    "open_work",
    "read_rules",
]
