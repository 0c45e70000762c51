"""The trials: eight testers of different severity and care, and stones whose truth only this page knows.

Each grade is drawn as the pooling model believes grades arise: the stone's truth, plus what this steel does
on this stone, plus what the steel does everywhere, minus the tester's severity, plus the tester's scatter;
rounded to a half step and clipped to 1–5. Now and then a careless tester's grade has nothing to do with
the stone.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Any

import numpy as np

from .ids import demo_rng
from .inspections import SECOND
from .observations import observe
from .scenario import BLADES, LOTS, TESTERS, Blade
from .stones import CHECK_STONES, STONES, Stone

SCALES = ("hardness", "fineness", "ease")


@dataclass(frozen=True)
class Temper:
    """How a tester grades, in steps of the scale, for hardness, fineness and ease.

    ``severity`` is taken off every grade; ``sigma`` is the scatter; ``lapse`` the share of grades that are
    picked blindly; ``response`` how far the tester follows the stones at all (1 fully, 0 always a three);
    ``drift`` is severity gained per 30 days.
    """

    severity: tuple[float, float, float]
    sigma: float
    lapse: float = 0.0
    response: float = 1.0
    drift: float = 0.0
    activity: float = 1.0


TEMPERS = {
    "gwenda": Temper((0.7, 0.6, 0.45), 0.28),
    "jonah": Temper((-0.7, -0.6, -0.5), 0.32),
    "bram": Temper((0.1, -0.15, 0.0), 0.5, lapse=0.4),
    "lisbet": Temper((0.0, 0.05, -0.1), 0.14, response=0.12),
    "chiyo": Temper((0.05, 0.0, 0.05), 0.16, activity=1.25),
    "faraj": Temper((-0.05, 0.1, 0.0), 0.36, activity=1.15),
    "ines": Temper((-0.35, -0.25, -0.1), 0.3, drift=0.1),
    "kofi": Temper((0.2, -0.1, 0.15), 0.45, activity=0.3),
}


@dataclass(frozen=True, eq=False)
class Purpose:
    """What a purpose asks: who tries stones for it, how many trials, and how its people place their scale."""

    key: str
    n_trials: int
    testers: tuple[str, ...]
    offset: tuple[float, float, float]
    steel: dict[str, tuple[float, float, float]]


# The steel effects of a purpose add up to nothing, so a check stone's agreed grade is its mean truth.
PURPOSES = (
    Purpose("knife", 236, tuple(TEMPERS), (0, 0, 0), {
        "white_carbon": (0.05, 0.1, 0.2), "tungsten_alloy": (0.05, 0.05, 0.0),
        "fine_stainless": (-0.1, -0.15, -0.2)}),
    Purpose("razor", 78, ("gwenda", "jonah", "bram", "chiyo", "faraj", "ines"), (-0.5, -0.5, -0.2), {
        "white_carbon": (0.0, 0.15, 0.15), "silver_steel": (0.0, 0.0, 0.0),
        "fine_stainless": (0.0, -0.15, -0.15)}),
    Purpose("plane_iron", 46, ("faraj", "lisbet", "jonah", "chiyo", "kofi"), (0.1, 0.1, 0.0), {
        "tungsten_alloy": (0.1, 0.1, 0.15), "powder_high_alloy": (-0.1, -0.1, -0.15)}),
)  # fmt: skip

FIRST_DAY, LAST_DAY = date(2025, 10, 11), date(2026, 8, 15)
UNTRIED = ("TAR-08", "BRI-06", "ULL-04", "ULL-05")
MUD_PHOTOS = ("QUA-01", "OSS-06", "OSS-01", "TAR-01", "VEN-01", "BRI-02")
EXCLUDED_REASON = "The blade slipped and nicked its edge half way; the tester asked to leave this one out."


@dataclass(frozen=True)
class Trial:
    """One tester, one stone, one blade. ``truth`` and ``blind_pick`` are for tests; they are never sent."""

    key: str
    purpose: str
    stone: Stone
    tester: str
    blade: Blade
    thickness_mm: float
    started_at: datetime
    finished_at: datetime
    observations: dict[str, Any]
    grades: dict[str, float]
    truth: tuple[float, float, float]
    blind_pick: bool
    mud_photo: bool = False
    excluded: bool = False
    notes: str = ""


def suits(stone: Stone, purpose: str) -> bool:
    """Who would try what: razors want fine stones, plane irons want width."""
    if stone.code in UNTRIED:
        return False
    if purpose == "razor":
        return stone.fineness >= 3.6
    if purpose == "plane_iron":
        return stone.form == "bench" and stone.width_mm >= 65
    return True


@cache
def steel_on_stone(stone: Stone, purpose: Purpose) -> dict[str, tuple[float, ...]]:
    """What each steel does on this very stone; on a check stone, whose grade is agreed, it adds up to 0."""
    draws = 0.2 * demo_rng("steel", stone.code, purpose.key).standard_normal((len(purpose.steel), 3))
    if CHECK_STONES.get(stone.code) == purpose.key:
        draws -= draws.mean(axis=0)
    return {steel: tuple(map(float, row)) for steel, row in zip(purpose.steel, draws, strict=True)}


def truth(stone: Stone, purpose: Purpose, steel: str) -> tuple[float, float, float]:
    """The true grades of a stone with one steel, on the scale as the purpose's people place it, unclipped."""
    base = np.array((stone.hardness, stone.fineness, stone.ease)) + purpose.offset
    full = base + steel_on_stone(stone, purpose)[steel] + purpose.steel[steel]
    return (float(full[0]), float(full[1]), float(full[2]))


def grade(
    eta: Sequence[float], tester: str, day: date, rng: np.random.Generator
) -> tuple[dict[str, float], bool]:
    """The three grades a tester gives, and whether they were picked blindly."""
    temper = TEMPERS[tester]
    drifted = temper.drift * (day - FIRST_DAY).days / 30
    scatter = rng.standard_normal(3) * temper.sigma
    blind = bool(rng.random() < temper.lapse)
    picks = rng.integers(2, 11, 3) / 2
    heard = 3 + temper.response * (np.array(eta) - 3)
    felt = np.clip(np.round((heard - np.array(temper.severity) - drifted + scatter) * 2) / 2, 1, 5)
    return {scale: float(value) for scale, value in zip(SCALES, picks if blind else felt, strict=True)}, blind


def counts(stones: list[Stone], purpose: Purpose) -> dict[str, int]:
    """Trials per stone: uneven, as in any club, but nobody skips the check stones."""
    rng = demo_rng("counts", purpose.key)
    least = {s.code: 14 if CHECK_STONES.get(s.code) == purpose.key else 1 for s in stones}
    spare = purpose.n_trials - sum(least.values())
    pull = np.array([0.0 if least[s.code] > 1 else rng.gamma(2.2) for s in stones])
    share = np.floor(pull / pull.sum() * spare).astype(int)
    share[np.argsort(-pull)[: spare - share.sum()]] += 1
    return {s.code: least[s.code] + int(n) for s, n in zip(stones, share, strict=True)}


def draw_testers(rng: np.random.Generator, pool: tuple[str, ...], n: int) -> list[str]:
    """Who tries it: nobody twice until all have, the busy ones first."""
    weight = np.array([TEMPERS[t].activity for t in pool])
    out: list[str] = []
    while len(out) < n:
        order = rng.choice(
            len(pool), size=min(len(pool), n - len(out)), replace=False, p=weight / weight.sum()
        )
        out += [pool[i] for i in order]
    return out


def club_days() -> list[date]:
    """Thursdays and Saturdays between the first evening and the summer break."""
    days = (FIRST_DAY + timedelta(days=n) for n in range((LAST_DAY - FIRST_DAY).days + 1))
    return [day for day in days if day.weekday() in (3, 5)]


def thickness_mm(stone: Stone, day: date) -> float:
    """What the calliper shows: soft stones lose a little every month, a lapping takes its share at once."""
    for second in SECOND:
        if second.code == stone.code and second.thickness_mm is not None and second.day <= day:
            return second.thickness_mm
    received = next(lot.received_on for lot in LOTS if lot.code == stone.lot)
    per_month = {"siltstone": 0.05, "sandstone": 0.07}.get(stone.kind, 0.0)
    return round(stone.thickness_mm - per_month * (day - received).days / 30, 1)


NOTES = (
    "Let the mud work, it pays.", "Light hand at the end.", "Needed more water than I thought.",
    "Second face of the blade felt better.", "Would buy this one.", "Slipped a little toward the heel.",
)  # fmt: skip


@cache
def trials() -> tuple[Trial, ...]:
    """Every trial of the demo club, in order of time."""
    out: list[Trial] = []
    sat: dict[tuple[str, date], int] = {}
    days = club_days()
    for purpose in PURPOSES:
        stones = [s for s in STONES if suits(s, purpose.key)]
        wanted = counts(stones, purpose)
        blades = {b.steel: b for b in BLADES if b.form == purpose.key}
        for stone in stones:
            rng = demo_rng("trials", purpose.key, stone.code)
            received = next(lot.received_on for lot in LOTS if lot.code == stone.lot)
            # A deeply lapped stone has all its trials before that, so it asks for a confirming one.
            lapped = [s.day for s in SECOND if s.code == stone.code and s.day >= date(2026, 6, 1)]
            last = min([LAST_DAY, *lapped])
            open_days = [d for d in days if received + timedelta(days=14) <= d < last]
            steels = list(purpose.steel)
            first = int(rng.integers(len(steels)))
            for n, tester in enumerate(draw_testers(rng, purpose.testers, wanted[stone.code])):
                at = int(rng.integers(len(open_days)))
                while sat.get((tester, open_days[at % len(open_days)]), 0) >= 4:
                    at += 1
                day = open_days[at % len(open_days)]
                turn = sat.get((tester, day), 0)
                sat[tester, day] = turn + 1
                steel = steels[(first + n) % len(steels)]
                start = datetime.combine(day, time(16, 0), tzinfo=UTC) + timedelta(
                    minutes=45 * turn + int(rng.integers(0, 12))
                )
                eta = truth(stone, purpose, steel)
                grades, blind = grade(eta, tester, day, rng)
                key = f"{purpose.key}/{stone.code}/{tester}/{n}"
                out.append(
                    Trial(
                        key=key,
                        purpose=purpose.key,
                        stone=stone,
                        tester=tester,
                        blade=blades[steel],
                        thickness_mm=thickness_mm(stone, day),
                        started_at=start,
                        finished_at=start + timedelta(minutes=int(rng.integers(14, 32))),
                        observations=observe(stone, purpose.key, rng, careless=TEMPERS[tester].lapse > 0),
                        grades=grades,
                        truth=eta,
                        blind_pick=blind,
                        mud_photo=purpose.key == "knife" and n == 0 and stone.code in MUD_PHOTOS,
                        notes=str(rng.choice(NOTES)) if rng.random() < 0.12 else "",
                    )
                )
    return tuple(sorted(_with_one_excluded(out), key=lambda t: (t.started_at, t.key)))


def _with_one_excluded(all_trials: list[Trial]) -> list[Trial]:
    """The knife trial that lies farthest from its stone is the one the dealer left out."""

    def miss(trial: Trial) -> float:
        return max(abs(trial.grades[s] - t) for s, t in zip(SCALES, trial.truth, strict=True))

    worst = max((t for t in all_trials if t.blind_pick and t.purpose == "knife"), key=miss)
    return [replace(t, excluded=True) if t is worst else t for t in all_trials]


assert set(TEMPERS) == {person.key for person in TESTERS}
