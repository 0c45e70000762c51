"""Time and growth of the pooling engine, against lme4 and ordinal in R and MixedLM in statsmodels, in one run.

Run by hand:  OMP_NUM_THREADS=1 python -m tests.benchmarks.bench_pooling_speed [--sizes 400,20k,200k,1m] [--r 20k]

Processor seconds of one thread on both sides, so that other jobs on the machine do not count; ratios are what to
read. The growth exponent is log(time ratio)/log(size ratio) from 20k to 1m trials.
"""

import argparse
import shutil
import subprocess
import tempfile
import time
import warnings
from pathlib import Path

import numpy as np
import pandas as pd
import statsmodels.formula.api as smf
from tests.simulation import HARDNESS, Club, ClubPlan, simulate_club

from whetpanel.core.plan import plan_trials
from whetpanel.core.pooling import PoolSettings, pool_arrays, pool_grades

SHAPES = {
    "400": ClubPlan(60, 8, 3, (5, 6, 7, 8)),
    "20k": ClubPlan(2000, 60, 3, (10,)),
    "200k": ClubPlan(20_000, 200, 3, (10,)),
    "1m": ClubPlan(100_000, 500, 3, (10,)),
}
HERE = Path(__file__).parent
R_LIMIT_S = 900


def once(club: Club, **options: object) -> tuple[float, int]:
    """Processor seconds and rounds of one cold fit."""
    began = time.process_time()
    pooled = club.pool(**options)
    return time.process_time() - began, pooled.n_rounds


def in_r(script: str, club: Club, *more: str) -> float | None:
    """R's own seconds, reading left out; None when it took too long."""
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder, "in.csv")
        columns = {"club": 0, "stone": club.stone, "rater": club.tester, "steel": club.steel, "y": club.grade}
        pd.DataFrame(columns).to_csv(data, index=False)
        try:
            said = subprocess.run(
                ["Rscript", str(HERE / script), str(data), str(Path(folder, "out.csv")), *more],
                check=True, capture_output=True, text=True, timeout=R_LIMIT_S,
            )  # fmt: skip
        except subprocess.TimeoutExpired:
            return None
    return float(said.stdout.split("seconds")[1].split()[0])


def in_statsmodels(club: Club) -> float:
    """Seconds of MixedLM with crossed stone and tester effects."""
    data = pd.DataFrame(
        {"y": club.grade, "stone": club.stone, "tester": club.tester, "steel": club.steel, "all": 1}
    )
    parts = {"stone": "0 + C(stone)", "tester": "0 + C(tester)"}
    began = time.process_time()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        smf.mixedlm("y ~ C(steel)", data, groups="all", vc_formula=parts, re_formula="0").fit(method="lbfgs")
    return time.process_time() - began


def ratio(theirs: float | None, ours: float) -> str:
    """Their time over ours."""
    return f"> {R_LIMIT_S / ours:.0f} x" if theirs is None else f"{theirs:.2f} s = {theirs / ours:.1f} x"


def warm_start(club: Club) -> None:
    """One new trial at 20k: time of the refresh, and how far it lies from the cold fit."""
    n = club.stone.size
    shape = {
        "scale": HARDNESS, "n_stones": club.plan.n_stones, "n_testers": club.plan.n_testers,
        "n_steels": club.plan.n_steels,
    }  # fmt: skip
    but_one = [v[: n - 1] for v in (club.stone, club.tester, club.steel, club.grade)]
    whole = (club.stone, club.tester, club.steel, club.grade)
    base = pool_arrays(*but_one, **shape)
    times = []
    for _ in range(5):
        began = time.process_time()
        warm = pool_arrays(*whole, **shape, warm=base.warm)
        times.append(time.process_time() - began)
    cold = pool_arrays(*whole, **shape)
    apart = np.abs(warm.grade - cold.grade).max() / HARDNESS.step
    trials = club.trials()
    named = pool_grades(trials[:-1], scale=HARDNESS)
    began = time.process_time()
    pool_grades(trials, scale=HARDNESS, warm=named.warm)
    by_name = time.process_time() - began
    print(f"warm start: {1000 * min(times):.0f} ms, {warm.n_rounds} rounds; from the cold fit "
          f"{apart:.1e} of a step in the grade; by name {1000 * by_name:.0f} ms")  # fmt: skip


def plan_time() -> None:
    """A plan of 50 trials for 500 stones."""
    for testers in (8, 60):
        club = simulate_club(ClubPlan(500, testers, 3, (2,)), np.random.default_rng(1))
        result = pool_grades(club.trials(), scale=HARDNESS, settings=PoolSettings(widen=False))
        began = time.process_time()
        plan = plan_trials(result, n=50, target_half_width=0.4)
        print(
            f"plan of {len(plan)} trials, 500 stones, {testers} testers: {time.process_time() - began:.3f} s"
        )


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--sizes", default="400,20k,200k,1m")
    ask.add_argument("--r", default="20k", help="sizes at which R is asked too")
    ask.add_argument("--clmm", default="20k", help="sizes at which ordinal is asked too")
    given = ask.parse_args()
    has_r = shutil.which("Rscript") is not None
    seconds: dict[str, float] = {}
    for size in given.sizes.split(","):
        club = simulate_club(SHAPES[size], np.random.default_rng(5))
        options = {"settings": PoolSettings(widen=False)} if size == "400" else {}
        runs = [once(club, **options) for _ in range(1 if size == "1m" else 3)]
        seconds[size] = min(t for t, _ in runs)
        print(f"{size:>5}: pooled {seconds[size]:.3f} s, {runs[0][1]} rounds", flush=True)
        if size == "400":
            print(f"       with the small-club widening {once(club)[0]:.3f} s")
            print(f"       statsmodels MixedLM {ratio(in_statsmodels(club), seconds[size])}", flush=True)
        if has_r and size in given.r.split(","):
            print(f"       lme4 main effects {ratio(in_r('pool_lmer.R', club), seconds[size])}", flush=True)
            print(
                f"       lme4 same terms {ratio(in_r('pool_lmer.R', club, 'full'), seconds[size])}",
                flush=True,
            )
        if has_r and size in given.clmm.split(","):
            print(f"       ordinal::clmm {ratio(in_r('pool_clmm.R', club), seconds[size])}", flush=True)
        if size == "20k":
            warm_start(club)
    if {"20k", "1m"} <= seconds.keys():
        print(f"growth exponent 20k to 1m: {np.log(seconds['1m'] / seconds['20k']) / np.log(50):.2f}")
    plan_time()


if __name__ == "__main__":
    main()
