"""The rules a club starts with.

All thresholds are common practice, no source, unless a comment names one: each club sets its own. Three
habits keep the set honest:

- A condition asks for every fact it needs, so what nobody has looked at never counts as sound.
- Urgency only rises as a finding grows or comes nearer a corner: inside < one edge < a corner < edge to edge.
- Every verdict that asks for work carries the caution that goes with the work.
"""

from .default_finding_rules import FISSURE_RULES, INCLUSION_RULES, PATCH_RULES
from .default_stone_rules import FACE_RULES, STONE_RULES
from .rule_check import read_rules
from .rules import Rule

DEFAULT_RULES: tuple[Rule, ...] = read_rules(
    [*FISSURE_RULES, *INCLUSION_RULES, *PATCH_RULES, *FACE_RULES, *STONE_RULES]
)
"""The default set, checked as any club's set is."""
