"""Simulated clubs whose truth is known: the measuring stick for the pooling engine.

A trial of stone i by tester r with steel k has the fine grade

    y* = mu + theta_i + alpha_ik + s_k − beta_r + sigma_r · noise

rounded to the nearest half step and held inside 1 to 5. A careless tester gives a uniformly random grade with
probability ``careless_share``. The true grade of a stone is the mean over steels of mu + theta_i + alpha_ik + s_k.
Every draw comes from the generator passed in.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from whetpanel.core.pooling import GradeScale, PooledArrays, TrialGrade, pool_arrays

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
HARDNESS = GradeScale("hardness", 1.0, 5.0, 0.5)


@dataclass(frozen=True)
class ClubPlan:
    """The shape of a club and its hyper-parameters, in grades of the 1 to 5 scale."""

    n_stones: int = 60
    n_testers: int = 8
    n_steels: int = 3
    trials_per_stone: tuple[int, ...] = (5, 6, 7, 8)
    """Dealt to the stones in turn."""
    mu: float = 3.0
    tau: float = 0.8
    nu: float = 0.2
    tau_steel: float = 0.25
    tau_beta: float = 0.3
    sigma: float = 0.4
    omega: float = 0.35
    n_careless: int = 0
    careless_share: float = 0.7
    n_biased: int = 0
    bias: float = 1.0
    n_blocks: int = 1
    """Blocks of stones and testers that never meet."""


@dataclass(frozen=True)
class Club:
    """Trials by code in a random order of arrival, and the truth behind them."""

    plan: ClubPlan
    stone: Ints
    tester: Ints
    steel: Ints
    grade: Floats
    truth: Floats
    """(S,)"""
    cell_truth: Floats
    """(S, K)"""
    beta: Floats
    sigma: Floats
    careless: npt.NDArray[np.bool_]

    def trials(self) -> list[TrialGrade]:
        """The same trials by name."""
        rows = zip(
            self.stone.tolist(), self.tester.tolist(), self.steel.tolist(), self.grade.tolist(), strict=True
        )
        return [
            TrialGrade(f"trial-{t:06d}", f"stone-{i:05d}", f"tester-{r:03d}", f"steel-{k}", g)
            for t, (i, r, k, g) in enumerate(rows)
        ]

    def pool(self, **options: Any) -> PooledArrays:
        """The engine's answer."""
        return pool_arrays(
            self.stone, self.tester, self.steel, self.grade, scale=HARDNESS, n_stones=self.plan.n_stones,
            n_testers=self.plan.n_testers, n_steels=self.plan.n_steels, **options,
        )  # fmt: skip


def draw_plan(plan: ClubPlan, rng: np.random.Generator) -> ClubPlan:
    """The same shape with hyper-parameters of its own: no two clubs are alike."""
    return replace(
        plan,
        mu=plan.mu + 0.3 * rng.standard_normal(),
        tau=plan.tau * np.exp(0.2 * rng.standard_normal()),
        nu=plan.nu * np.exp(0.3 * rng.standard_normal()),
        tau_steel=plan.tau_steel * np.exp(0.3 * rng.standard_normal()),
        tau_beta=plan.tau_beta * np.exp(0.3 * rng.standard_normal()),
        sigma=plan.sigma * np.exp(0.2 * rng.standard_normal()),
        omega=plan.omega * np.exp(0.3 * rng.standard_normal()),
    )


def simulate_club(plan: ClubPlan, rng: np.random.Generator) -> Club:
    """Draw stones, testers and trials."""
    S, R, K = plan.n_stones, plan.n_testers, plan.n_steels
    n_i = np.resize(np.array(plan.trials_per_stone), S)
    stone = np.repeat(np.arange(S), n_i)
    tester = _who_tries(plan, n_i, rng)
    first = np.concatenate([[0], np.cumsum(n_i)[:-1]])
    steel = (np.arange(stone.size) - first[stone] + rng.integers(0, K, S)[stone]) % K
    theta = plan.tau * rng.standard_normal(S)
    alpha = plan.nu * rng.standard_normal((S, K))
    s = plan.tau_steel * rng.standard_normal(K)
    s -= s.mean()
    beta = plan.tau_beta * rng.standard_normal(R)
    sigma = plan.sigma * np.exp(plan.omega * rng.standard_normal(R))
    who = rng.permutation(R)
    careless = np.zeros(R, dtype=np.bool_)
    careless[who[: plan.n_careless]] = True
    beta[who[plan.n_careless : plan.n_careless + plan.n_biased]] += plan.bias
    cell = plan.mu + theta[:, None] + alpha + s
    fine = cell[stone, steel] - beta[tester] + sigma[tester] * rng.standard_normal(stone.size)
    grade = np.clip(np.round(2.0 * fine) / 2.0, 1.0, 5.0)
    random = careless[tester] & (rng.random(stone.size) < plan.careless_share)
    grade[random] = 1.0 + 0.5 * rng.integers(0, 9, int(random.sum()))
    order = rng.permutation(stone.size)
    return Club(
        plan,
        stone[order],
        tester[order],
        steel[order],
        grade[order],
        cell.mean(1),
        cell,
        beta,
        sigma,
        careless,
    )


def _who_tries(plan: ClubPlan, n_i: Ints, rng: np.random.Generator) -> Ints:
    """Testers differ in activity; within a stone nobody repeats until everybody has had a turn."""
    R = plan.n_testers
    activity = rng.gamma(4.0, 1.0, R)
    if R > 30 and plan.n_blocks == 1:
        return rng.choice(R, size=int(n_i.sum()), p=activity / activity.sum())
    block_of_stone = np.arange(n_i.size) * plan.n_blocks // n_i.size
    block_of_tester = np.arange(R) * plan.n_blocks // R
    out: list[int] = []
    for i, n in enumerate(n_i.tolist()):
        pool = np.flatnonzero(block_of_tester == block_of_stone[i])
        p = activity[pool] / activity[pool].sum()
        left = n
        while left > 0:
            m = min(pool.size, left)
            out.extend(rng.choice(pool, size=m, replace=False, p=p).tolist())
            left -= m
    return np.array(out, dtype=np.int64)
