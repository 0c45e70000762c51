"""Gauge repeatability and reproducibility: appraisers measure parts, each several times."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy import stats

from whetpanel.core.agreement.ratings import FloatArray
from whetpanel.errors import Invalid

# The interaction is pooled into repeatability when its F test gives p above this (common practice of
# the automotive measurement-systems manual).
POOLING_P = 0.25


@dataclass(frozen=True)
class Row:
    """One line of the analysis of variance; F and p are None for the lines that are not tested."""

    source: str
    ss: float
    df: int
    f: float | None = None
    p: float | None = None


@dataclass(frozen=True)
class GaugeStudy:
    """Standard deviations in the unit of measurement.

    ``ev`` equipment (repeatability), ``av`` appraisers (reproducibility, with any interaction),
    ``grr`` both, ``pv`` parts, ``tv`` total. ``distinct`` is how many groups of parts the gauge can
    tell apart, cut down to a whole number, at least one; None when ``grr`` is zero.
    """

    ev: float
    av: float
    grr: float
    pv: float
    tv: float
    distinct: int | None
    rows: tuple[Row, ...]
    interaction_pooled: bool

    def percent_of_total(self) -> dict[str, float] | None:
        """Each standard deviation as a percentage of ``tv``; they do not add up to 100."""
        if self.tv == 0:
            return None
        return {name: 100.0 * getattr(self, name) / self.tv for name in ("ev", "av", "grr", "pv")}

    def percent_of_variance(self) -> dict[str, float] | None:
        """Each variance as a percentage of the total variance; repeatability, appraisers and parts add up."""
        if self.tv == 0:
            return None
        return {name: 100.0 * (getattr(self, name) / self.tv) ** 2 for name in ("ev", "av", "grr", "pv")}


def _study(ev: float, av: float, pv: float, rows: tuple[Row, ...], pooled: bool) -> GaugeStudy:
    grr = float(np.hypot(ev, av))
    # 1.41 for the square root of two, as the manual has it; the ratio is one of standard deviations.
    distinct = max(1, int(1.41 * pv / grr)) if grr > 0 else None
    return GaugeStudy(ev, av, grr, pv, float(np.hypot(grr, pv)), distinct, rows, pooled)


def _checked(cube: FloatArray) -> FloatArray:
    cube = np.asarray(cube, dtype=np.float64)
    if cube.ndim != 3 or min(cube.shape) < 2:
        raise Invalid("A gauge study needs at least two parts, two appraisers and two trials each.")
    if not np.isfinite(cube).all():
        raise Invalid("A gauge study needs a complete table: every appraiser, every part, every trial.")
    return cube


def gauge_anova(cube: FloatArray) -> GaugeStudy:
    """The study of an (n_parts, n_appraisers, n_trials) table by analysis of variance.

    Parts and appraisers are random and crossed, so both are tested against their interaction, and the
    interaction against repeatability. The interaction is pooled into repeatability when its p is above
    0.25; the tests stay as they are, the components come from the pooled term. Negative components
    are set to zero. Raises Invalid for an incomplete table.

    References
    ----------
    Automotive Industry Action Group, Measurement Systems Analysis, 4th edition (2010), chapter III.
    """
    cube = _checked(cube)
    parts, appraisers, trials = cube.shape
    grand = cube.mean()
    part_mean, appraiser_mean = cube.mean(axis=(1, 2)), cube.mean(axis=(0, 2))
    cell_mean = cube.mean(axis=2)
    ss_part = appraisers * trials * float(((part_mean - grand) ** 2).sum())
    ss_appraiser = parts * trials * float(((appraiser_mean - grand) ** 2).sum())
    interaction = cell_mean - part_mean[:, None] - appraiser_mean[None, :] + grand
    ss_interaction = trials * float((interaction**2).sum())
    ss_repeat = float(((cube - cell_mean[:, :, None]) ** 2).sum())
    df_part, df_appraiser = parts - 1, appraisers - 1
    df_interaction, df_repeat = df_part * df_appraiser, parts * appraisers * (trials - 1)

    ms_interaction, ms_repeat = ss_interaction / df_interaction, ss_repeat / df_repeat
    f_interaction = ms_interaction / ms_repeat if ms_repeat > 0 else None
    p_interaction = None
    if f_interaction is not None:
        p_interaction = float(stats.f.sf(f_interaction, df_interaction, df_repeat))
    pooled = p_interaction is not None and p_interaction > POOLING_P
    error = (ss_interaction + ss_repeat) / (df_interaction + df_repeat) if pooled else ms_interaction

    def tested(source: str, ss: float, df: int) -> Row:
        if ms_interaction <= 0:
            return Row(source, ss, df)
        f = ss / df / ms_interaction
        return Row(source, ss, df, f, float(stats.f.sf(f, df, df_interaction)))

    var_repeat = error if pooled else ms_repeat
    var_interaction = 0.0 if pooled else max(0.0, (ms_interaction - ms_repeat) / trials)
    var_appraiser = max(0.0, (ss_appraiser / df_appraiser - error) / (parts * trials))
    var_part = max(0.0, (ss_part / df_part - error) / (appraisers * trials))
    rows = (
        tested("part", ss_part, df_part),
        tested("appraiser", ss_appraiser, df_appraiser),
        Row("part by appraiser", ss_interaction, df_interaction, f_interaction, p_interaction),
        Row("repeat", ss_repeat, df_repeat),
        Row("total", ss_part + ss_appraiser + ss_interaction + ss_repeat, cube.size - 1),
    )
    return _study(
        float(np.sqrt(var_repeat)),
        float(np.sqrt(var_appraiser + var_interaction)),
        float(np.sqrt(var_part)),
        rows,
        pooled,
    )


@cache
def _mean_and_square_of_range(n: int) -> tuple[float, float]:
    """E[W] and E[W²] of the range W of n standard normal values, by quadrature.

    P(W ≤ w) = n ∫ φ(x) [Φ(x + w) − Φ(x)]^(n−1) dx; then E[W] = ∫ (1 − F), E[W²] = 2 ∫ w (1 − F).
    """
    x, wx = np.polynomial.legendre.leggauss(200)
    x, wx = 9.0 * x, 9.0 * wx
    w, ww = np.polynomial.legendre.leggauss(200)
    w, ww = 7.0 * (w + 1.0), 7.0 * ww
    below = stats.norm.cdf(x[None, :] + w[:, None]) - stats.norm.cdf(x)[None, :]
    above = 1.0 - n * (below ** (n - 1)) @ (wx * stats.norm.pdf(x))
    return float(ww @ above), float(2.0 * ww @ (w * above))


def range_constant(n: int, *, single: bool) -> float:
    """What the manual calls K: one over the mean range of n values (1/d2), or over d2* for a single range.

    ``single`` is for a study with one range only, whose root mean square, not mean, is wanted.
    """
    mean, square = _mean_and_square_of_range(n)
    return float(1.0 / np.sqrt(square)) if single else 1.0 / mean


def gauge_ranges(cube: FloatArray) -> GaugeStudy:
    """The same study by averages and ranges, the way it is done on paper; ``rows`` is empty.

    It ignores any interaction, and can give another number of distinct groups than ``gauge_anova``.
    K1 assumes more than about fifteen cells, as the manual's table does.

    References
    ----------
    Automotive Industry Action Group, Measurement Systems Analysis, 4th edition (2010), chapter III;
    the constants from the distribution of the range (Duncan, Quality Control and Industrial
    Statistics, appendix D3).
    """
    cube = _checked(cube)
    parts, appraisers, trials = cube.shape
    mean_range = float(np.ptp(cube, axis=2).mean())
    appraiser_range = float(np.ptp(cube.mean(axis=(0, 2))))
    part_range = float(np.ptp(cube.mean(axis=(1, 2))))
    ev = mean_range * range_constant(trials, single=False)
    av_squared = (appraiser_range * range_constant(appraisers, single=True)) ** 2 - ev**2 / (parts * trials)
    pv = part_range * range_constant(parts, single=True)
    return _study(ev, float(np.sqrt(max(0.0, av_squared))), pv, (), True)
