"""What a change of the rules does to the stones at hand, told before it is saved."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .assess import Assessment, assess
from .rules import Rule, urgency_rank
from .values import History, InspectionValues, StoneShape

Spoken = tuple[str, str | None]


@dataclass(frozen=True)
class InspectedStone:
    """One stone with the inspection that counts for it; ``key`` names the case to whoever asked."""

    key: str
    stone: StoneShape
    inspection: InspectionValues
    history: History | None = None


@dataclass(frozen=True)
class RuleEffect:
    """How one stone fares under the new rules. ``gained`` and ``lost``: (rule id, finding id) of its verdicts."""

    key: str
    urgency_before: str
    urgency_after: str
    gained: tuple[Spoken, ...]
    lost: tuple[Spoken, ...]

    @property
    def stricter(self) -> bool:
        """Whether the stone is judged more strictly than before."""
        return urgency_rank(self.urgency_after) > urgency_rank(self.urgency_before)


def effect_of_rules(
    before: Sequence[Rule], after: Sequence[Rule], cases: Iterable[InspectedStone]
) -> tuple[RuleEffect, ...]:
    """The stones whose verdicts change, in the order given; a stone with the same verdicts is left out.

    Raises Invalid if an inspection cannot be measured (for instance after its stone's sizes were amended).
    """
    effects = []
    for case in cases:
        old, new = (assess(case.stone, case.inspection, rules, case.history) for rules in (before, after))
        was, now = _spoken(old), _spoken(new)
        if was != now or old.urgency != new.urgency:
            gained = tuple(v for v in now if v not in was)
            lost = tuple(v for v in was if v not in now)
            effects.append(RuleEffect(case.key, old.urgency, new.urgency, gained, lost))
    return tuple(effects)


def _spoken(assessment: Assessment) -> list[Spoken]:
    return [(v.rule_id, v.finding_id) for v in assessment.verdicts]
