"""How many trials a plan saves: trials until 90 % of a club's stones may be published, by policy.

Run by hand:  python -m tests.benchmarks.bench_pooling_plan [--clubs 12] [--testers 3] [--steels 2]

A stone may be published once its interval is narrow enough and it has met so many testers and steels (none asked for
unless given).

"random": any tester, stone and steel. "fewest": the stone, and of it the steel, with the fewest trials; the
tester whose turn it is. "plan": core/plan.py with the tester whose turn it is. "plan, any tester": it
chooses the tester too. "narrowing alone": the same without counting testers and steels, until nothing is left to
narrow; the rest as "fewest". Batches of five, then the club is pooled anew.
"""

import argparse

import numpy as np
from tests.simulation import HARDNESS, ClubPlan, simulate_club

from whetpanel.core.plan import plan_trials
from whetpanel.core.pooling import PoolResult, PoolSettings, TrialGrade, pool_grades

Z90 = 1.6448536269514722
BATCH, MOST = 5, 500
SETTINGS = PoolSettings(widen=False)


def trials_needed(
    policy: str, seed: int, target: float, testers: int, steels: int, share: float = 0.9
) -> tuple[int, float]:
    """Trials in all when the share is reached, and the share of true grades inside their intervals then."""
    shape = ClubPlan(n_stones=40, n_testers=6, trials_per_stone=(1,))
    club = simulate_club(shape, np.random.default_rng([7, seed]))
    rng = np.random.default_rng([8, seed])
    trials = club.trials()
    warm = None
    turn = 0
    while True:
        result = pool_grades(trials, scale=HARDNESS, settings=SETTINGS, warm=warm,
                             stones=[f"stone-{i:05d}" for i in range(40)])  # fmt: skip
        warm = result.warm
        a = result.arrays
        may = (Z90 * a.sd <= target) & (a.n_testers >= testers) & (a.n_steels >= steels)
        if np.mean(may) >= share or len(trials) >= MOST:
            truth = np.clip(club.truth, 1, 5)
            return len(trials), float(np.mean((truth >= a.low90) & (truth <= a.high90)))
        for i, r, k in next_batch(policy, result, turn, target, testers, steels, rng):
            fine = club.cell_truth[i, k] - club.beta[r] + club.sigma[r] * rng.standard_normal()
            grade = float(np.clip(np.round(2 * fine) / 2, 1, 5))
            trials.append(
                TrialGrade(
                    f"trial-{len(trials):06d}", f"stone-{i:05d}", f"tester-{r:03d}", f"steel-{k}", grade
                )
            )
        turn += BATCH


def next_batch(
    policy: str,
    result: PoolResult,
    turn: int,
    target: float,
    testers: int,
    steels: int,
    rng: np.random.Generator,
) -> list[tuple[int, int, int]]:
    """(stone, tester, steel) of the next five trials."""
    if policy == "random":
        return [(int(rng.integers(40)), int(rng.integers(6)), int(rng.integers(3))) for _ in range(BATCH)]
    if policy == "fewest":
        return _fewest(result, turn, rng)
    load = None
    if policy == "plan":
        whose = [(turn + j) % 6 for j in range(BATCH)]
        load = {name: whose.count(int(name[-3:])) for name in result.tester_names}
    if policy == "narrowing alone":
        testers = steels = 0
    plan = plan_trials(
        result,
        n=BATCH,
        target_half_width=target,
        min_testers=testers,
        min_steels=steels,
        load=load,
        repeats=True,
    )
    done = [(int(p.stone[-5:]), int(p.tester[-3:]), int(p.steel[-1])) for p in plan]
    return done or _fewest(result, turn, rng)


def _fewest(result: PoolResult, turn: int, rng: np.random.Generator) -> list[tuple[int, int, int]]:
    cells = result.arrays.cell_trials.astype(float)
    out = []
    for j in range(BATCH):
        i = int(np.argmin(cells.sum(1) + 1e-3 * rng.random(40)))
        k = int(np.argmin(cells[i] + 1e-3 * rng.random(3)))
        cells[i, k] += 1
        out.append((i, (turn + j) % 6, k))
    return out


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--clubs", type=int, default=12)
    ask.add_argument("--target", type=float, default=0.5)
    ask.add_argument("--testers", type=int, default=0)
    ask.add_argument("--steels", type=int, default=0)
    given = ask.parse_args()
    base: float | None = None
    policies = ["fewest", "plan", "plan, any tester", "random"]
    if given.testers or given.steels:
        policies.insert(3, "narrowing alone")
    for policy in policies:
        runs = [
            trials_needed(policy, c, given.target, given.testers, given.steels) for c in range(given.clubs)
        ]
        needed = float(np.mean([n for n, _ in runs]))
        base = base or needed
        most, covered = max(n for n, _ in runs), np.mean([c for _, c in runs])
        print(
            f"{policy:17s} {needed:6.1f} trials (most {most}), {needed / base:.2f} of fewest-first; "
            f"coverage at the end {covered:.3f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
