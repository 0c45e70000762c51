"""Stones in the order of the probability that they meet all a buyer wishes.

For one blade the need is a band on each graded scale (fineness by the finish wanted, ease by the hand, hardness by
blade and purpose), a sensible step from the finest stone owned, a price and a size. The probability that all are met
is the product of

    P(fineness in its band) · P(ease in its band) · P(hardness in its band) · P(the step is sensible) · price · size

where the last two are 1 or 0. The scales are fitted apart, so given the fits they count as independent, and so does
the size of the scratches; what ties them in the stones (a hard stone is often a fine one) is in the means. For several
blades the grades of one stone with all of them are one normal vector on each scale, and the probability of its box
takes the place of each factor.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from whetpanel.core.matching.laws import CLASS_SHARE, StoneLaws, blade_laws
from whetpanel.core.matching.needs import (
    FINISH,
    SKILL,
    STEP_LEAST,
    STEP_MOST,
    BuyerBlade,
    GrainEvidence,
    HardnessNeed,
    stone_hardness,
)
from whetpanel.core.matching.rectangles import box_probability
from whetpanel.core.steels import SteelMap

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

WISHES = ("finish", "skill", "hardness", "step", "budget", "size")
"""What can be relaxed, one at a time."""
SCALE_OF = {"finish": "fineness", "skill": "ease", "hardness": "hardness"}
_HAIR = 2e-3
LIKELY, EVEN = 0.8, 0.5
"""From here on a stone is likely to serve; below EVEN it is likelier not to."""
_CHUNK = 16


@dataclass(frozen=True)
class Wish:
    """What a buyer asks for. ``owned_um``: grain of the finest stone owned; ``waived``: wishes that shall not count."""

    purpose: str
    blades: tuple[BuyerBlade, ...]
    finish: str
    skill: str
    owned_um: float | None = None
    budget: float | None = None
    currency: str = ""
    min_length_mm: float | None = None
    min_width_mm: float | None = None
    max_mass_g: float | None = None
    waived: frozenset[str] = frozenset()


@dataclass(frozen=True)
class StoneFacts:
    """What is known of a stone beside its grades."""

    stone_id: str
    length_mm: float
    width_mm: float
    mass_g: float | None
    price: float | None
    currency: str
    grain: GrainEvidence


@dataclass(frozen=True)
class Need:
    """A band on one scale for one blade."""

    wish: str
    scale: str
    blade: int
    low: float
    high: float
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Relaxed:
    """The best a single wish less would bring. ``wish``: one of WISHES or "blade:<n>"."""

    wish: str
    stone: int
    probability: float


@dataclass(frozen=True)
class Matched:
    """The answer. Stones are numbered as the facts given.

    order        (n,) the best stones, best first
    probability  (n,) that all wishes are met for all blades
    by_blade     (S, J) that all are met for one blade alone
    by_need      need → (S,), one for each of ``needs``
    step         (S,) that the step from the stone owned is sensible; 1 where nothing is asked
    estimated    (S,) whether the step rests on other stones' scratches, as nobody noted this one's
    mean, sd     scale → (S, J) of the grade with each blade, unclipped
    """

    order: Ints
    probability: Floats
    by_blade: Floats
    needs: tuple[Need, ...]
    by_need: tuple[Floats, ...]
    step: Floats
    estimated: npt.NDArray[np.bool_]
    affordable: npt.NDArray[np.bool_]
    fitting: npt.NDArray[np.bool_]
    mean: Mapping[str, Floats]
    sd: Mapping[str, Floats]
    relaxed: tuple[Relaxed, ...]
    n_likely: int = field(default=0)


def hardness_needs(wish: Wish, maps: Sequence[SteelMap]) -> list[HardnessNeed]:
    """How hard a stone suits each blade."""
    return [
        stone_hardness(blade, wish.purpose, one.steel_class)
        for blade, one in zip(wish.blades, maps, strict=True)
    ]


def needs_of(wish: Wish, maps: Sequence[SteelMap], laws: Mapping[str, StoneLaws]) -> tuple[Need, ...]:
    """The bands on the scales that the club grades, less what is waived."""
    found = []
    for j, hardness in enumerate(hardness_needs(wish, maps)):
        for name, band, reasons in (
            ("finish", FINISH[wish.finish].band, (FINISH[wish.finish].band.reason,)),
            ("skill", SKILL[wish.skill].band, (SKILL[wish.skill].band.reason,)),
            ("hardness", hardness.band, hardness.reasons),
        ):
            law = laws.get(SCALE_OF[name])
            if law is not None and name not in wish.waived:
                low, high = band.on(law.low, law.high)
                found.append(Need(name, law.scale, j, low, high, reasons))
    return tuple(found)


class _Blades:
    """One scale: the law over the distinct steels, and for each blade its column there."""

    def __init__(
        self, laws: StoneLaws, rows: Ints, wish: Wish, maps: Sequence[SteelMap], share: float
    ) -> None:
        columns: dict[tuple[str, ...] | int, int] = {}
        self.column: list[int] = []
        distinct: list[SteelMap] = []
        for j, (blade, one) in enumerate(zip(wish.blades, maps, strict=True)):
            # Two blades of one steel are one column; of two untold steels each is its own.
            key: tuple[str, ...] | int = j
            if one.how == "same":
                key = ("club", one.steels[0])
            elif blade.steel is not None:
                key = ("steel", blade.steel)
            if key not in columns:
                columns[key] = len(distinct)
                distinct.append(one)
            self.column.append(columns[key])
        law = blade_laws(laws, distinct, class_share=share)
        self.mean, self.cov = law.mean[rows], law.cov[rows]
        self.bands: dict[int, tuple[float, float]] = {}

    def grade(self) -> tuple[Floats, Floats]:
        """(S, J) mean and sd with each blade."""
        sd = np.sqrt(np.diagonal(self.cov, axis1=1, axis2=2))
        return self.mean[:, self.column], sd[:, self.column]

    def together(self, stones: Ints, blades: Sequence[int]) -> Floats:
        """P(the grades with all these blades lie in their bands)."""
        boxes: dict[int, tuple[float, float]] = {}
        for j in blades:
            low, high = self.bands[j]
            k = self.column[j]
            before = boxes.get(k, (-np.inf, np.inf))
            boxes[k] = max(low, before[0]), min(high, before[1])
        at = np.array(sorted(boxes), dtype=np.int64)
        lows, highs = np.array([boxes[k] for k in at.tolist()]).T
        law = np.ix_(stones, at), np.ix_(stones, at, at)
        return box_probability(self.mean[law[0]], self.cov[law[1]], lows, highs)


def match(
    wish: Wish,
    maps: Sequence[SteelMap],
    laws: Mapping[str, StoneLaws],
    facts: Sequence[StoneFacts],
    *,
    limit: int = 20,
    class_share: float = CLASS_SHARE,
) -> Matched:
    """Rank stones for a wish: the best ``limit`` of them, and what each single wish less would bring.

    ``laws`` by scale id hold every stone of ``facts``; a scale the club does not grade asks for nothing.
    """
    S, J = len(facts), len(wish.blades)
    every, all_blades = np.arange(S), tuple(range(J))
    needs = needs_of(wish, maps, laws)
    scales: dict[str, _Blades] = {}
    for scale in sorted({law.scale for law in laws.values()}):
        at = {stone: row for row, stone in enumerate(laws[scale].stones)}
        rows = np.array([at[one.stone_id] for one in facts], dtype=np.int64)
        scales[scale] = _Blades(laws[scale], rows, wish, maps, class_share)
    for need in needs:
        scales[need.scale].bands[need.blade] = need.low, need.high
    by_need = tuple(scales[need.scale].together(every, (need.blade,)) for need in needs)
    step, estimated = _steps(wish, facts, scales.get("fineness"))
    affordable = np.array([_affordable(wish, one) for one in facts], dtype=np.bool_)
    fitting = np.array([_fits(wish, one) for one in facts], dtype=np.bool_)
    stone_wide = {"step": step, "budget": affordable.astype(float), "size": fitting.astype(float)}

    def stone_part(without: str) -> Floats:
        kept = [value for name, value in stone_wide.items() if name != without and name not in wish.waived]
        out: Floats = np.prod(kept, axis=0) if kept else np.ones(S)
        return out

    def alone(without: str, blades: Sequence[int]) -> Floats:
        """(S, len(blades)): the probability for one blade at a time."""
        out = np.repeat(stone_part(without)[:, None], len(blades), axis=1)
        for need, p in zip(needs, by_need, strict=True):
            if need.wish != without and need.blade in blades:
                out[:, list(blades).index(need.blade)] *= p
        return out

    asked = {need.wish: need.scale for need in needs}
    in_pairs: dict[tuple[str, int, int], Floats] = {}

    def bound(without: str, blades: Sequence[int]) -> Floats:
        """(S,): never below the probability for all these blades; that of the two that go together least."""
        if len(blades) < 3:
            least_alone: Floats = alone(without, blades).min(1, initial=1.0)
            return least_alone
        least = np.ones(S)
        for i, j in combinations(blades, 2):
            p = np.ones(S)
            for name, scale in asked.items():
                if name != without:
                    if (scale, i, j) not in in_pairs:
                        in_pairs[scale, i, j] = scales[scale].together(every, (i, j))
                    p = p * in_pairs[scale, i, j]
            least = np.minimum(least, p)
        return least * stone_part(without)

    def together(without: str, blades: Sequence[int]) -> Callable[[Ints], Floats]:
        wide = stone_part(without)

        def of(stones: Ints) -> Floats:
            p = wide[stones].copy()
            for name, scale in asked.items():
                if name != without:
                    p *= scales[scale].together(stones, blades)
            return p

        return of

    by_blade = alone("", all_blades)
    order, probability = _best(bound("", all_blades), together("", all_blades), limit)
    relaxed = []
    for name in _active(wish, asked, stone_wide):
        at_best, p = _best(bound(name, all_blades), together(name, all_blades), 1)
        relaxed += [Relaxed(name, int(at_best[0]), float(p[0]))] if p.size else []
    if J > 1:
        for j in all_blades:
            others = tuple(i for i in all_blades if i != j)
            at_best, p = _best(bound("", others), together("", others), 1)
            relaxed += [Relaxed(f"blade:{j}", int(at_best[0]), float(p[0]))] if p.size else []
    graded = {scale: blades.grade() for scale, blades in scales.items()}
    return Matched(
        order=order, probability=probability, by_blade=by_blade, needs=needs, by_need=by_need, step=step,
        estimated=estimated, affordable=affordable, fitting=fitting,
        mean={scale: moments[0] for scale, moments in graded.items()},
        sd={scale: moments[1] for scale, moments in graded.items()},
        relaxed=tuple(sorted(relaxed, key=lambda one: (-one.probability, one.wish))),
        n_likely=int((probability >= LIKELY).sum()),
    )  # fmt: skip


def _active(wish: Wish, asked: Mapping[str, str], stone_wide: Mapping[str, Floats]) -> list[str]:
    """Wishes that could be relaxed: those that are asked and bind somewhere."""
    return [
        name
        for name in WISHES
        if name not in wish.waived
        and (name in asked or (name in stone_wide and (stone_wide[name] < 1.0).any()))
    ]


def _best(bound: Floats, exact: Callable[[Ints], Floats], n: int) -> tuple[Ints, Floats]:
    """The n stones of highest probability, best first, ties by number.

    ``bound`` (S,) is never below the exact value (serving all blades is no likelier than serving two of them), so
    stones whose bound lies below the n-th best found need not be worked out.
    """
    by_bound = np.argsort(-bound, kind="stable")
    found_at: list[int] = []
    found: list[float] = []
    chunk = min(max(2 * n, _CHUNK), 16 * _CHUNK)
    for start in range(0, by_bound.size, chunk):
        stones = by_bound[start : start + chunk]
        top = float(bound[stones[0]])
        # The exact value is a sum over a lattice and may lie a hair above its bound.
        if len(found) >= n and (top < _HAIR or sorted(found, reverse=True)[n - 1] >= top + _HAIR):
            break
        found_at += stones.tolist()
        found += exact(stones).tolist()
    numbers, values = np.array(found_at, dtype=np.int64), np.array(found)
    best = np.lexsort((numbers, -values))[:n]
    return numbers[best], values[best]


def _steps(
    wish: Wish, facts: Sequence[StoneFacts], fineness: "_Blades | None"
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """P(the step from the stone owned is sensible), and where it is told from other stones' scratches.

    Where nobody noted a stone's scratches, they are read off its fineness by the club's own line of log2 µm on
    fineness, with the scatter about it; with fewer than eight stones to draw the line the step counts as even odds.
    """
    S = len(facts)
    noted = np.array([one.grain.usable for one in facts], dtype=np.bool_)
    if wish.owned_um is None:
        return np.ones(S), np.zeros(S, dtype=np.bool_)
    mean = np.array([one.grain.mean for one in facts])
    var = np.array([one.grain.var for one in facts])
    if not noted.all() and fineness is not None and noted.sum() >= 8:
        x, x_sd = fineness.mean[:, 0], np.sqrt(fineness.cov[:, 0, 0])
        centre = x[noted].mean()
        spread = max(float(((x[noted] - centre) ** 2).sum()), 1e-9)
        slope = float(((x[noted] - centre) * mean[noted]).sum()) / spread
        left = mean[noted] - mean[noted].mean() - slope * (x[noted] - centre)
        scatter = float(left @ left) / (int(noted.sum()) - 2)
        told = ~noted
        mean[told] = mean[noted].mean() + slope * (x[told] - centre)
        var[told] = scatter + slope**2 * x_sd[told] ** 2
    known = np.isfinite(mean) & np.isfinite(var)
    owned = np.log2(wish.owned_um)
    sd = np.sqrt(np.where(known, var, 1.0))
    at = np.where(known, mean, 0.0)
    p = ndtr((owned - np.log2(STEP_LEAST) - at) / sd) - ndtr((owned - np.log2(STEP_MOST) - at) / sd)
    return np.where(known, np.clip(p, 0.0, 1.0), 0.5), ~noted


def _affordable(wish: Wish, one: StoneFacts) -> bool:
    """Not dearer than the budget. A stone without a price, or with one in another currency, is not ruled out."""
    return (
        wish.budget is None or one.price is None or one.currency != wish.currency or one.price <= wish.budget
    )


def _fits(wish: Wish, one: StoneFacts) -> bool:
    """Large and light enough. A stone nobody weighed is not ruled out."""
    length, width = max(one.length_mm, one.width_mm), min(one.length_mm, one.width_mm)
    return (
        (wish.min_length_mm is None or length >= wish.min_length_mm)
        and (wish.min_width_mm is None or width >= wish.min_width_mm)
        and (wish.max_mass_g is None or one.mass_g is None or one.mass_g <= wish.max_mass_g)
    )
