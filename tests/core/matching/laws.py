"""Small made-up panels for the matching tests; every draw comes from the generator passed in."""

from typing import Any

import numpy as np

from whetpanel.core.matching import BuyerBlade, GrainEvidence, StoneFacts, StoneLaws, Wish
from whetpanel.core.steels import SteelMap

SCALES = ("fineness", "ease", "hardness")
UNNOTED = GrainEvidence(0, float("nan"), float("inf"), 0)


def some_laws(
    n: int, rng: np.random.Generator, *, n_steels: int = 3, sd: float = 0.4, scale: str = "fineness"
) -> StoneLaws:
    """Stones whose grades with all steels lean together, as pooled ones do."""
    base = rng.uniform(1.2, 4.8, (n, 1))
    mean = np.hstack([base + 0.3 * rng.standard_normal((n, n_steels)), base])
    root = sd * (0.6 * np.ones((n, n_steels + 1, 1)) + 0.0)
    own = sd * 0.5 * rng.uniform(0.5, 1.5, (n, n_steels + 1))
    cov = root @ root.transpose(0, 2, 1) + own[:, :, None] * np.eye(n_steels + 1) * own[:, None, :]
    steels = tuple(f"steel_{k}" for k in range(n_steels))
    stones = tuple(f"stone-{i:04d}" for i in range(n))
    return StoneLaws(scale, scale.title(), 1.0, 5.0, 0.5, steels, stones, mean, cov, 0.3)


def all_scales(n: int, rng: np.random.Generator, **options: Any) -> dict[str, StoneLaws]:
    return {scale: some_laws(n, rng, scale=scale, **options) for scale in SCALES}


def facts_of(laws: StoneLaws, **changes: Any) -> list[StoneFacts]:
    plain = {
        "length_mm": 205.0,
        "width_mm": 75.0,
        "mass_g": 900.0,
        "price": 100.0,
        "currency": "EUR",
        "grain": UNNOTED,
    }
    return [StoneFacts(stone_id=stone, **{**plain, **changes}) for stone in laws.stones]


def same(k: int) -> SteelMap:
    return SteelMap("same", (f"steel_{k}",), "plain_carbon")


def blade(steel: str | None = "steel_0", bevel: str = "ordinary", hrc: float | None = 60.0) -> BuyerBlade:
    return BuyerBlade("", steel, None, hrc, bevel)


def a_wish(*blades: BuyerBlade, **changes: Any) -> Wish:
    return Wish(
        **{
            "purpose": "knife",
            "blades": blades or (blade(),),
            "finish": "clean",
            "skill": "practised",
            **changes,
        }
    )
