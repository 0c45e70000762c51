"""What a pooled result rests on: the trials that count, each once, and a digest of everything the answer depends on."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from whetpanel.core.pooling.model import PoolSettings
from whetpanel.core.pooling.scales import GradeScale
from whetpanel.errors import FieldError, Invalid

METHOD_VERSION = "whetpanel-pool-1"
"""Changes whenever the same trials may give another grade."""


@dataclass(frozen=True)
class TrialGrade:
    """One reported grade: who tried which stone with a blade of which steel, on one scale."""

    trial_id: str
    stone: str
    tester: str
    steel: str
    grade: float


@dataclass(frozen=True)
class Anchor:
    """A check stone: the grade agreed for it (averaged over the reference steels) and that grade's sd."""

    stone: str
    grade: float
    sd: float


@dataclass(frozen=True)
class Evidence:
    """Inputs in canonical order: trials by id, check stones by stone."""

    trials: tuple[TrialGrade, ...]
    scale: GradeScale
    settings: PoolSettings
    reference_steels: tuple[str, ...] | None
    anchors: tuple[Anchor, ...]
    stones: tuple[str, ...]
    prior_mean: tuple[float, ...]
    """Shift of each stone's prior mean, in the order of ``stones``."""

    def digest(self) -> str:
        """SHA-256, hexadecimal, of the method and everything above."""
        head = {
            "method": METHOD_VERSION,
            "scale": asdict(self.scale),
            "settings": asdict(self.settings),
            "reference_steels": self.reference_steels,
            "anchors": [[a.stone, float(a.grade), float(a.sd)] for a in self.anchors],
            "stones": self.stones,
            "prior_mean": self.prior_mean,
        }
        body = [[t.trial_id, t.stone, t.tester, t.steel, float(t.grade)] for t in self.trials]
        text = json.dumps([head, body], ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


def once_each(trials: Sequence[TrialGrade], exclude: set[str]) -> list[TrialGrade]:
    """Each trial once, leaving out the excluded ones. One id with two contents is refused,
    for nobody knows which.
    """
    seen: dict[str, TrialGrade] = {}
    faults: list[FieldError] = []
    for t in trials:
        first = seen.setdefault(t.trial_id, t)
        if first is not t and first != t:
            faults.append(
                FieldError(
                    f"trials.{t.trial_id}",
                    f"given once as {first.stone}, {first.tester}, {first.steel}, {first.grade:g} "
                    f"and once as {t.stone}, {t.tester}, {t.steel}, {t.grade:g}",
                )
            )
    if faults:
        raise Invalid(
            f"{len(faults)} trial id(s) stand for two different trials; keep one of each. "
            f"The first: {faults[0].message}.",
            faults,
        )
    return [t for t in seen.values() if t.trial_id not in exclude]
