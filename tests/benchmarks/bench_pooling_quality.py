"""Coverage and error of pooled grades over many simulated clubs, against mean, median and a mixed model in R.

Run by hand:  python -m tests.benchmarks.bench_pooling_quality [--clubs 200] [--design even,1248,...] [--no-r]

"raw" coverage asks whether the printed 90 % interval holds the true grade. "centred" first moves the club's true
grades so that their mean agrees with the pooled mean, since without check stones the level is known only to the
severity spread over the square root of the number of testers; it uses the sd about the tested stones' mean.
"""

import argparse
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

import numpy as np
from tests.simulation import Club, ClubPlan, Floats, draw_plan, simulate_club

Z90 = 1.6448536269514722
DESIGNS = {
    "1248": ClubPlan(trials_per_stone=(1, 2, 4, 8)),
    "even": ClubPlan(trials_per_stone=(4, 5, 6, 7, 7, 8, 8, 9)),
    "four": ClubPlan(n_testers=4, trials_per_stone=(1, 2, 4)),
    "careless": ClubPlan(trials_per_stone=(4, 5, 6, 7, 7, 8, 8, 9), n_careless=2, n_biased=1),
    "careless-thin": ClubPlan(trials_per_stone=(1, 2, 4, 8), n_careless=2, n_biased=1),
    "clipped": ClubPlan(mu=4.4, tau=0.9),
}
R_SCRIPT = Path(__file__).with_name("pool_lmer.R")


def clubs_of(design: str, n: int, seed: int) -> list[Club]:
    """Fresh clubs, each with hyper-parameters of its own."""
    key = sorted(DESIGNS).index(design)
    return [
        simulate_club(
            draw_plan(DESIGNS[design], np.random.default_rng([seed, key, c, 0])),
            np.random.default_rng([seed, key, c, 1]),
        )
        for c in range(n)
    ]


def by_stone(club: Club, how: str) -> Floats:
    """Mean or median of each stone's grades."""
    f = np.mean if how == "mean" else np.median
    return np.array([f(club.grade[club.stone == i]) for i in range(club.plan.n_stones)])


def lmer(clubs: list[Club]) -> tuple[list[Floats], list[Floats], float]:
    """lme4 with the same terms: estimates and sd per club, and R's own seconds."""
    with tempfile.TemporaryDirectory() as folder:
        data, out = Path(folder, "in.csv"), Path(folder, "out.csv")
        with data.open("w") as f:
            f.write("club,stone,rater,steel,y\n")
            for c, club in enumerate(clubs):
                for i, r, k, y in zip(club.stone, club.tester, club.steel, club.grade, strict=True):
                    f.write(f"{c},{i},{r},{k},{y}\n")
        said = subprocess.run(
            ["Rscript", str(R_SCRIPT), str(data), str(out), "full"],
            check=True,
            capture_output=True,
            text=True,
        )
        rows = np.genfromtxt(out, delimiter=",", names=True)
    est, sd = [], []
    for c, club in enumerate(clubs):
        mine = rows[rows["club"] == c]
        e, s = np.full(club.plan.n_stones, np.nan), np.full(club.plan.n_stones, np.nan)
        e[mine["stone"].astype(int)] = mine["est"]
        s[mine["stone"].astype(int)] = mine["sd"]
        est.append(e)
        sd.append(s)
    return est, sd, float(said.stdout.split("seconds")[1].split()[0])


class Tally:
    """Errors and coverage of one method over clubs."""

    def __init__(self) -> None:
        self.error: list[Floats] = []
        self.raw: list[Floats] = []
        self.centred: list[Floats] = []

    def add(self, grade: Floats, truth: Floats, low: Floats | None = None, high: Floats | None = None,
            sd_centred: Floats | None = None) -> None:  # fmt: skip
        """One club. The grade is compared with the truth held inside the ends."""
        held = np.clip(truth, 1.0, 5.0)
        self.error.append(grade - held)
        if low is not None and high is not None:
            self.raw.append((held >= low) & (held <= high))
        if sd_centred is not None:
            moved = held - (held - grade).mean()
            lo = np.minimum(np.clip(grade - Z90 * sd_centred, 1.0, 5.0), 4.75)
            hi = np.maximum(np.clip(grade + Z90 * sd_centred, 1.0, 5.0), 1.25)
            self.centred.append((moved >= lo) & (moved <= hi))

    def rmse(self) -> float:
        """Root mean square error over all stones."""
        return float(np.sqrt(np.mean(np.concatenate(self.error) ** 2)))

    def rmse_centred(self) -> float:
        """The same with each club's mean error taken out."""
        return float(np.sqrt(np.mean(np.concatenate([e - e.mean() for e in self.error]) ** 2)))


def share(parts: list[Floats]) -> float:
    """Share of true."""
    return float(np.mean(np.concatenate(parts))) if parts else float("nan")


def run(design: str, n: int, seed: int, with_r: bool) -> None:
    """Print one design's table."""
    clubs = clubs_of(design, n, seed)
    tallies = {name: Tally() for name in ("mean", "median", "pooled")}
    n_trials = np.concatenate([np.bincount(c.stone, minlength=c.plan.n_stones) for c in clubs])
    began = time.process_time()
    pooled = [club.pool() for club in clubs]
    seconds = time.process_time() - began
    for club, p in zip(clubs, pooled, strict=True):
        tallies["mean"].add(by_stone(club, "mean"), club.truth)
        tallies["median"].add(by_stone(club, "median"), club.truth)
        tallies["pooled"].add(p.grade, club.truth, p.low90, p.high90, p.relative_sd)
    if with_r:
        tallies["lme4"] = Tally()
        est, sd, r_seconds = lmer(clubs)
        for club, e, s in zip(clubs, est, sd, strict=True):
            tallies["lme4"].add(
                np.clip(e, 1.0, 5.0), club.truth, np.clip(e - Z90 * s, 1, 5), np.clip(e + Z90 * s, 1, 5), s
            )
        print(f"  time: pooled {seconds:.1f} s, lme4 {r_seconds:.1f} s for {n} clubs")
    rounds = [p.n_rounds for p in pooled]
    print(f"{design}: {n} clubs; rounds mean {np.mean(rounds):.1f} max {max(rounds)}, "
          f"converged {np.mean([p.converged for p in pooled]):.3f}")  # fmt: skip
    for name, t in tallies.items():
        print(f"  {name:7s} RMSE {t.rmse():.4f} (centred {t.rmse_centred():.4f})  "
              f"coverage raw {share(t.raw):.3f} centred {share(t.centred):.3f}")  # fmt: skip
    if with_r:
        a, b = tallies["pooled"], tallies["lme4"]
        print(
            f"  ratio to lme4: RMSE {a.rmse() / b.rmse():.3f}, centred {a.rmse_centred() / b.rmse_centred():.3f}"
        )
    raw, cen = np.concatenate(tallies["pooled"].raw), np.concatenate(tallies["pooled"].centred)
    each = [
        f"{m}: {raw[n_trials == m].mean():.3f}/{cen[n_trials == m].mean():.3f}" for m in np.unique(n_trials)
    ]
    print("  coverage raw/centred by trials a stone  " + "  ".join(each), flush=True)


if __name__ == "__main__":
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--clubs", type=int, default=200)
    ask.add_argument("--seed", type=int, default=2031)
    ask.add_argument("--design", default=",".join(DESIGNS))
    ask.add_argument("--no-r", action="store_true")
    given = ask.parse_args()
    for name in given.design.split(","):
        run(name, given.clubs, given.seed, not given.no_r and shutil.which("Rscript") is not None)
