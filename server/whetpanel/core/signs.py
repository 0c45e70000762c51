"""What the signs say: water uptake, density and mud as a first guess of a stone's grade.

The signs never grade a stone. Once a club has enough graded stones, and only if held-out stones
prove that the signs help, they set the mean from which a stone's grade starts; trials then pull it
away. Where the trials of a stone and its signs disagree, the stone asks for a second look.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import stats

from whetpanel.core.missing import complete
from whetpanel.core.ridge import Line, fit_line
from whetpanel.errors import Invalid

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

MIN_STONES = 30
"""Graded stones with a sign, below which nothing is tried: five slopes want a few stones each."""
MIN_SEEN = 10
"""Stones on which a sign must have been noted before it is used."""
N_FOLDS = 10
N_REPEATS = 3
MOST_PROOF_STONES = 2000
"""Of more stones a random choice of this many proves the point as well, and in half a second."""
PROOF_SE = 2.0
"""The mean gain on held-out stones must be this many of its standard errors above zero."""
FLAG_Z = 2.5
FLAG_GAP = 0.75
"""A contradiction is flagged at this standardised gap, if it is also this wide (units; on 1–5 grades)."""
_TAIL_DF = 4
# A stone that contradicts its signs is just what we look for, and one of them must not veto the
# proof: held-out stones are scored by a t distribution, and the line draws far residuals in.
# (Measured: with normal scores one such stone in 120 hid good signs.)


@dataclass(frozen=True)
class Sign:
    """A sign's name and whether its logarithm is what matters (times and counts, which span decades)."""

    name: str
    logged: bool = False


SIGNS: tuple[Sign, ...] = (
    Sign("water_uptake_s", logged=True),
    Sign("bulk_density_g_cm3"),
    Sign("mud_shade"),
    Sign("metal_share"),
    Sign("strokes_to_mud", logged=True),
)
"""The signs of the default protocols. Common practice, no source."""


@dataclass(frozen=True)
class SignEffect:
    """How far the grade moves with one standard deviation of a sign, the other signs held; 90 % limits."""

    name: str
    per_sd: float
    low90: float
    high90: float
    n_seen: int


@dataclass(frozen=True)
class HeldOut:
    """How well held-out grades were foretold, with and without the signs.

    ``gain`` is the mean gain in log predictive density per stone (nats, heavy-tailed score),
    ``gain_se`` its standard error; the RMSEs are in grades, and hold the uncertainty of the held-out
    grades themselves.
    """

    gain: float
    gain_se: float
    rmse_with: float
    rmse_without: float
    n_stones: int


@dataclass(frozen=True)
class SignCheck:
    """One stone's grade against its signs. ``gap`` is grade less foretold grade, ``z`` that over its sd.

    ``leading`` names the sign that speaks loudest against the grade.
    """

    stone: int
    foretold: float
    foretold_sd: float
    gap: float
    z: float
    contradicts: bool
    leading: str | None


@dataclass(frozen=True)
class SignsAnswer:
    """Whether the signs are used, why or why not, and what they say.

    When ``used``: ``prior_mean`` and ``prior_sd`` (n_stones,) are what the signs say of each stone,
    leaving the stone's own grade out, so that no grade supports itself; ``checks`` has one entry for
    each graded stone. Otherwise both arrays are None and ``checks`` is empty; ``held_out`` and
    ``effects`` are still given where they could be computed.
    """

    used: bool
    reason: str
    prior_mean: FloatArray | None
    prior_sd: FloatArray | None
    effects: tuple[SignEffect, ...]
    held_out: HeldOut | None
    checks: tuple[SignCheck, ...]
    left_out: tuple[str, ...]
    n_stones: int


@dataclass(frozen=True)
class _Evidence:
    """What the trials alone say: y (n,) with variance v (n,), for the stones with ``graded``."""

    y: FloatArray
    v: FloatArray
    graded: BoolArray


def _trials_alone(
    grade: FloatArray, sd: FloatArray, prior_mean: ArrayLike, prior_sd: float | None
) -> _Evidence:
    """Take the pooling prior out of (grade, sd) again.

    A pooled grade is already drawn towards the prior mean; regressing drawn-in grades on signs would
    shrink the slopes, and count the prior as evidence. For a normal posterior the division is exact.
    """
    graded = np.isfinite(grade) & np.isfinite(sd) & (sd > 0)
    y, v = np.where(graded, grade, 0.0), np.where(graded, sd, 1.0) ** 2
    if prior_sd is not None:
        precision = 1 / v - 1 / prior_sd**2
        graded = graded & (precision > 1e-3 / prior_sd**2)
        precision = np.where(graded, precision, 1.0)
        y = np.where(graded, (y / v - np.asarray(prior_mean) / prior_sd**2) / precision, 0.0)
        v = 1 / precision
    return _Evidence(y, v, graded)


def _prove(
    X: FloatArray,
    blur: FloatArray,
    e: _Evidence,
    rows: NDArray[np.int64],
    unit: float,
    rng: np.random.Generator,
) -> HeldOut:
    """Repeated K-fold: both lines, with their spreads, are fitted anew without each fold."""
    n = rows.size
    with_signs, without = np.zeros((N_REPEATS, n)), np.zeros((N_REPEATS, n))
    error_with, error_without = np.zeros((N_REPEATS, n)), np.zeros((N_REPEATS, n))
    level = np.ones((X.shape[0], 1))
    no_blur = np.zeros((X.shape[0], 0, 0))
    start = fit_line(X[rows], blur[rows], e.y[rows], e.v[rows], unit).hyper
    level_start = fit_line(level[rows], no_blur[rows], e.y[rows], e.v[rows], unit).hyper
    for repeat in range(N_REPEATS):
        for held in np.array_split(rng.permutation(n), N_FOLDS):
            kept = np.setdiff1d(np.arange(n), held)
            out, train = rows[held], rows[kept]
            for design, fog, h, score, error in (
                (X, blur, start, with_signs, error_with),
                (level, no_blur, level_start, without, error_without),
            ):
                line = fit_line(design[train], fog[train], e.y[train], e.v[train], unit, h)
                mean, variance = line.foretell(design[out], fog[out])
                score[repeat, held] = stats.t.logpdf(e.y[out], _TAIL_DF, mean, np.sqrt(variance + e.v[out]))
                error[repeat, held] = e.y[out] - mean
    gain = (with_signs - without).mean(axis=0)
    return HeldOut(
        gain=float(gain.mean()),
        gain_se=float(gain.std(ddof=1) / np.sqrt(n)),
        rmse_with=float(np.sqrt((error_with**2).mean())),
        rmse_without=float(np.sqrt((error_without**2).mean())),
        n_stones=n,
    )


def _without_itself(
    line: Line, X: FloatArray, blur: FloatArray, e: _Evidence, rows: NDArray[np.int64]
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance for every stone, a graded stone's own grade taken out of the line (closed form)."""
    mean, variance = line.foretell(X, blur)
    own = X[rows]
    leverage = np.einsum("ij,jk,ik->i", own, line.cov, own)
    h = np.minimum(leverage / (e.v[rows] + line.sigma2 + line.noise), 0.999)
    mean[rows] = (mean[rows] - h * e.y[rows]) / (1 - h)
    variance[rows] += leverage * h / (1 - h)
    return mean, variance


def _checks(
    line: Line,
    X: FloatArray,
    e: _Evidence,
    foretold: FloatArray,
    variance: FloatArray,
    rows: NDArray[np.int64],
    names: Sequence[str],
    unit: float,
) -> tuple[SignCheck, ...]:
    gap = e.y[rows] - foretold[rows]
    z = gap / np.sqrt(variance[rows] + e.v[rows])
    against = -np.sign(gap)[:, None] * X[rows, 1:] * line.b[1:]  # what each sign says the other way
    loudest = against.argmax(axis=1)
    return tuple(
        SignCheck(
            stone=int(stone),
            foretold=float(foretold[stone]),
            foretold_sd=float(np.sqrt(variance[stone])),
            gap=float(gap[j]),
            z=float(z[j]),
            contradicts=bool(abs(z[j]) >= FLAG_Z and abs(gap[j]) >= FLAG_GAP * unit),
            leading=names[loudest[j]] if against[j, loudest[j]] > 0 else None,
        )
        for j, stone in enumerate(rows)
    )


def learn_from_signs(
    signs: ArrayLike,
    grade: ArrayLike,
    sd: ArrayLike,
    *,
    rng: np.random.Generator,
    kinds: Sequence[Sign] = SIGNS,
    prior_mean: ArrayLike = 0.0,
    prior_sd: float | None = None,
    unit: float = 1.0,
) -> SignsAnswer:
    """Do the signs foretell the grades of this club's stones, and if so, what do they say of each?

    Parameters
    ----------
    signs
        (n_stones, n_signs) in the order of ``kinds``; NaN where not noted. Logged signs above zero.
    grade, sd
        (n_stones,) pooled grade and its sd on one scale; NaN for a stone without a trial.
    rng
        splits the stones into folds; the same rng state gives the same answer.
    prior_mean, prior_sd
        of the prior under which ``grade`` was pooled, which is taken out again first. None when
        ``grade`` holds no prior.
    unit
        a quarter of the scale (``GradeScale.unit``): 1 on the scale from 1 to 5.

    Returns
    -------
    SignsAnswer
        ``used`` only when at least 30 graded stones have a sign, and held-out stones are foretold
        better with the signs than without, by twice the standard error of the gain and in RMSE too.

    Raises
    ------
    Invalid
        for a logged sign not above zero or an infinite value; ValueError when the shapes disagree.

    Notes
    -----
    A missing sign is guessed from the stone's other signs, and the guess's uncertainty is carried.
    Errors of grades are taken as independent between stones; a shared tester's severity makes them
    slightly less so. Effects are associations in this club's stones, not laws of stone.
    """
    raw: FloatArray = np.array(signs, dtype=np.float64, ndmin=2)
    g: FloatArray = np.asarray(grade, dtype=np.float64)
    s: FloatArray = np.asarray(sd, dtype=np.float64)
    if raw.shape != (g.size, len(kinds)) or s.shape != g.shape:
        raise ValueError("signs must be (n_stones, n_signs), grade and sd (n_stones,)")
    if np.isinf(raw).any():
        raise Invalid("A sign is infinite. Leave a sign out when it was not noted.")
    for j, kind in enumerate(kinds):
        if kind.logged:
            if (raw[:, j] <= 0).any():
                raise Invalid(f"{kind.name} must be above zero: its logarithm is used.")
            raw[:, j] = np.log(raw[:, j])
    e = _trials_alone(g, s, prior_mean, prior_sd)

    seen = np.isfinite(raw)
    spread = np.array([np.ptp(c[m]) if m.any() else 0.0 for c, m in zip(raw.T, seen.T, strict=True)])
    enough = ((seen & e.graded[:, None]).sum(axis=0) >= MIN_SEEN) & (spread > 0)
    names = [k.name for k, use in zip(kinds, enough, strict=True) if use]
    left_out = tuple(k.name for k, use in zip(kinds, enough, strict=True) if not use)
    raw, seen = raw[:, enough], seen[:, enough]
    rows = np.flatnonzero(e.graded & seen.any(axis=1))
    if rows.size < MIN_STONES or not names:
        n = int(rows.size)
        reason = f"{n} graded stones have signs; {MIN_STONES} are needed before the signs are tried."
        return SignsAnswer(False, reason, None, None, (), None, (), left_out, n)

    z, blur = complete(raw)
    X = np.column_stack([np.ones(g.size), z])
    proof = rows
    if rows.size > MOST_PROOF_STONES:
        proof = np.sort(rng.choice(rows, MOST_PROOF_STONES, replace=False))
    held_out = _prove(X, blur, e, proof, unit, rng)
    line = fit_line(X[rows], blur[rows], e.y[rows], e.v[rows], unit)
    reach = stats.norm.ppf(0.95) * np.sqrt(np.diag(line.cov))
    effects = tuple(
        SignEffect(
            name,
            float(line.b[j]),
            float(line.b[j] - reach[j]),
            float(line.b[j] + reach[j]),
            int(seen[rows, j - 1].sum()),
        )
        for j, name in enumerate(names, start=1)
    )
    proven = held_out.gain > PROOF_SE * held_out.gain_se and held_out.rmse_with < held_out.rmse_without
    if not proven:
        reason = (
            f"Left out: on {held_out.n_stones} held-out stones the signs changed the error from "
            f"{held_out.rmse_without:.2f} to {held_out.rmse_with:.2f}, which proves no help."
        )
        return SignsAnswer(False, reason, None, None, effects, held_out, (), left_out, int(rows.size))
    mean, variance = _without_itself(line, X, blur, e, rows)
    reason = (
        f"Used: on {held_out.n_stones} held-out stones the signs cut the error from "
        f"{held_out.rmse_without:.2f} to {held_out.rmse_with:.2f}."
    )
    checks = _checks(line, X, e, mean, variance, rows, names, unit)
    return SignsAnswer(
        True, reason, mean, np.sqrt(variance), effects, held_out, checks, left_out, int(rows.size)
    )


def average_signs(stone: ArrayLike, value: ArrayLike, n_stones: int, *, logged: bool) -> FloatArray:
    """(n_stones,) mean of (n,) notes of one sign by stone code, geometric when ``logged``; NaN where none.

    Notes that are not finite are skipped. Raises Invalid for a logged note not above zero.
    """
    code = np.asarray(stone, dtype=np.int64)
    x: FloatArray = np.asarray(value, dtype=np.float64)
    keep = np.isfinite(x)
    code, x = code[keep], x[keep]
    if logged:
        if (x <= 0).any():
            raise Invalid("A time or a count of strokes must be above zero.")
        x = np.log(x)
    count = np.bincount(code, minlength=n_stones)
    total = np.bincount(code, x, n_stones)
    mean: FloatArray = np.divide(total, count, out=np.full(n_stones, np.nan), where=count > 0)
    return np.asarray(np.exp(mean)) if logged else mean
