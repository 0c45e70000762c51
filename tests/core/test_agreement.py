"""Every other figure of agreement against its published example."""

import numpy as np
import pytest
from scipy.stats import friedmanchisquare
from statsmodels.stats.inter_rater import fleiss_kappa as statsmodels_fleiss_kappa
from tests.core.published import rows, table

from whetpanel.core.agreement import (
    Ratings,
    agreed_value,
    agreement_report,
    algorithm_a,
    category_counts,
    fleiss_kappa,
    gauge_anova,
    gauge_ranges,
    intraclass_correlations,
    kendall_w,
    latent_classes,
    make_ratings,
    range_constant,
    ratings_of_trials,
    repeatability_and_reproducibility,
)
from whetpanel.errors import Invalid


class TestIntraclassCorrelations:
    def test_shrout_and_fleiss_table_2(self) -> None:
        """Shrout and Fleiss (1979): .17 .29 .71 .44 .62 .91; further digits by the R package psych."""
        f = intraclass_correlations(table("shrout_fleiss_1979"))
        found = [i.icc for i in (f.one_1, f.two_1, f.three_1, f.one_k, f.two_k, f.three_k)]

        assert [round(i or 0, 2) for i in found] == [0.17, 0.29, 0.71, 0.44, 0.62, 0.91]
        assert [round(i or 0, 5) for i in found] == [0.16574, 0.28976, 0.71484, 0.44280, 0.62005, 0.90932]
        squares = (f.ms_targets, f.ms_within, f.ms_raters, f.ms_residual)
        assert [round(s, 5) for s in squares] == [11.24167, 6.26389, 32.48611, 1.01944]

    def test_its_f_and_limits(self) -> None:
        """F 1.79468 on 5, 18 and 11.02725 on 5, 15; 95 % limits as psych and pingouin print them."""
        f = intraclass_correlations(table("shrout_fleiss_1979"))
        limits = [
            (round(i.low95 or 0, 3), round(i.high95 or 0, 3))
            for i in (f.one_1, f.two_1, f.three_1, f.one_k, f.two_k, f.three_k)
        ]

        assert round(f.one_1.f or 0, 5) == 1.79468
        assert (f.one_1.df1, f.one_1.df2) == (5, 18)
        assert round(f.three_1.f or 0, 5) == 11.02725
        assert (f.three_1.df1, f.three_1.df2) == (5, 15)
        assert limits == [
            (-0.133, 0.723),
            (0.019, 0.761),
            (0.342, 0.946),
            (-0.884, 0.912),
            (0.071, 0.927),
            (0.676, 0.986),
        ]

    def test_a_constant_lean_hurts_agreement_but_not_consistency(self) -> None:
        """Algebra: raters who differ by a constant only have ICC(3,1) = 1 and ICC(2,1) below 1."""
        f = intraclass_correlations(np.add.outer([1.0, 2.0, 3.0, 4.5], [0.0, 0.5, 1.0]))

        assert f.three_1.icc == pytest.approx(1.0)
        assert f.three_1.f is None
        assert f.two_1.icc is not None
        assert f.two_1.icc < 0.95

    def test_equal_values_everywhere_give_no_figure_and_no_nan(self) -> None:
        f = intraclass_correlations(np.full((4, 3), 3.0))

        assert [i.icc for i in (f.one_1, f.two_1, f.three_1, f.one_k, f.two_k, f.three_k)] == [None] * 6

    @pytest.mark.parametrize("shape", [(1, 3), (3, 1)])
    def test_a_table_too_small_is_refused(self, shape: tuple[int, int]) -> None:
        with pytest.raises(Invalid, match="two targets and two raters"):
            intraclass_correlations(np.ones(shape))

    def test_a_gap_is_refused(self) -> None:
        with pytest.raises(Invalid, match="complete"):
            intraclass_correlations(np.array([[1.0, np.nan], [2.0, 3.0]]))


def coal() -> Ratings:
    data = rows("iso5725_2_coal")
    return make_ratings(
        [r["level"] for r in data], [r["lab"] for r in data], [float(r["value"]) for r in data]
    )


class TestRepeatability:
    def test_sulfur_in_coal(self) -> None:
        """ISO 5725-2:1994 Annex B.1, printed m, s_r, s_R to three decimals; the fourth is recomputed."""
        levels = repeatability_and_reproducibility(coal()).levels
        found = [
            (
                round(p.mean, 4),
                round(p.repeatability_sd or 0, 4),
                round(p.between_sd or 0, 4),
                round(p.reproducibility_sd or 0, 4),
            )
            for p in levels
        ]
        printed = [
            (round(p.mean, 3), round(p.repeatability_sd or 0, 3), round(p.reproducibility_sd or 0, 3))
            for p in levels
        ]

        assert printed == [
            (0.690, 0.015, 0.026),
            (1.252, 0.029, 0.061),
            (1.667, 0.017, 0.035),
            (3.250, 0.026, 0.058),
        ]
        assert found == [
            (0.6904, 0.0151, 0.0216, 0.0264),
            (1.2523, 0.0288, 0.0533, 0.0606),
            (1.6674, 0.0171, 0.0303, 0.0348),
            (3.2496, 0.0261, 0.0521, 0.0582),
        ]
        assert levels[0].repeatability_limit == pytest.approx(2.8 * (levels[0].repeatability_sd or 0))

    def test_the_overall_figures_find_known_spreads(self) -> None:
        """Simulation from known parameters: s_r 0.3, s_L 0.5, so s_R √0.34; 400 levels."""
        rng = np.random.default_rng(11)
        unit, rater, value = [], [], []
        for u in range(400):
            for lab in range(6):
                lean = rng.normal(0, 0.5)
                for _ in range(rng.integers(1, 4)):
                    unit.append(f"{u:03}")
                    rater.append(str(lab))
                    value.append(u * 0.1 + lean + rng.normal(0, 0.3))
        p = repeatability_and_reproducibility(make_ratings(unit, rater, value))

        assert p.repeatability_sd == pytest.approx(0.3, abs=0.015)
        assert p.between_sd == pytest.approx(0.5, abs=0.03)
        assert p.reproducibility_sd == pytest.approx(0.34**0.5, abs=0.03)

    def test_without_repeats_nothing_is_claimed(self) -> None:
        p = repeatability_and_reproducibility(make_ratings(["a", "a", "b"], ["x", "y", "x"], [1.0, 2.0, 3.0]))

        assert (p.repeatability_sd, p.between_sd, p.reproducibility_sd) == (None, None, None)

    def test_a_negative_between_variance_is_floored_and_said(self) -> None:
        p = repeatability_and_reproducibility(
            make_ratings(["a"] * 4, ["x", "x", "y", "y"], [1.0, 3.0, 1.0, 3.0])
        )

        assert p.levels[0].floored
        assert p.levels[0].between_sd == 0.0


class TestKendall:
    def test_three_judges_six_candidates(self) -> None:
        """Siegel (1956), printed W = .16 (from memory; recomputed 0.161905)."""
        c = kendall_w(np.array([[1, 6, 3, 2, 5, 4], [1, 5, 6, 4, 2, 3], [6, 3, 2, 5, 4, 1]], dtype=float).T)

        assert c.s == pytest.approx(25.5)
        assert c.w is not None
        assert round(c.w, 6) == 0.161905
        assert c.w_uncorrected == pytest.approx(c.w)

    def test_ties(self) -> None:
        """Siegel (1956), printed W = .828 corrected for ties (from memory; recomputed to six digits)."""
        judges = [
            [1, 4.5, 2, 4.5, 3, 7.5, 6, 9, 7.5, 10],
            [2.5, 1, 2.5, 4.5, 4.5, 8, 9, 6.5, 10, 6.5],
            [2, 1, 4.5, 4.5, 4.5, 4.5, 8, 8, 8, 10],
        ]
        c = kendall_w(np.array(judges).T)

        assert c.s == pytest.approx(591.0)
        assert c.w is not None
        assert c.chi_square is not None
        assert round(c.w_uncorrected, 6) == 0.795960
        assert round(c.w, 6) == 0.827731
        assert round(c.chi_square, 4) == 22.3487
        assert c.df == 9

    def test_one_sixteenth(self) -> None:
        """A public encyclopaedia of proofs works four judges and three competitors to W = 1/16."""
        c = kendall_w(np.array([[1, 1, 2, 3], [3, 2, 3, 1], [2, 3, 1, 2]], dtype=float))

        assert c.w == pytest.approx(1 / 16)

    @pytest.mark.parametrize("seed", range(5))
    def test_it_is_friedmans_test_in_other_words(self, seed: int) -> None:
        """m(n − 1)W is Friedman's chi-square, ties corrected; source: scipy."""
        scores = np.random.default_rng(seed).integers(1, 5, (8, 4)).astype(float)
        c = kendall_w(scores)

        # scipy wants one sample per thing, each with one value per judge.
        assert c.chi_square == pytest.approx(friedmanchisquare(*scores).statistic)
        assert c.p == pytest.approx(friedmanchisquare(*scores).pvalue)

    def test_judges_who_tie_everything_have_no_order(self) -> None:
        assert kendall_w(np.full((4, 3), 2.0)).w is None


class TestKappa:
    def test_the_encyclopaedia_example(self) -> None:
        """Fleiss' kappa 0.210 as printed; 0.209931 also by statsmodels."""
        counts = table("fleiss_10x14")
        k = fleiss_kappa(counts)

        assert k.kappa is not None
        assert round(k.kappa, 3) == 0.210
        assert round(k.kappa, 6) == 0.209931
        assert k.kappa == pytest.approx(statsmodels_fleiss_kappa(counts), abs=1e-12)

    @pytest.mark.parametrize("seed", range(5))
    def test_any_table_agrees_with_statsmodels(self, seed: int) -> None:
        counts = np.random.default_rng(seed).multinomial(7, [0.5, 0.3, 0.2], size=12)

        assert fleiss_kappa(counts).kappa == pytest.approx(statsmodels_fleiss_kappa(counts), abs=1e-12)

    def test_counts_come_from_ratings(self) -> None:
        ratings = make_ratings(["a", "a", "b", "b"], ["x", "y", "x", "y"], [1.0, 2.0, 2.0, 2.0])

        assert category_counts(ratings).tolist() == [[1, 1], [0, 2]]

    def test_uneven_numbers_of_ratings_are_refused(self) -> None:
        with pytest.raises(Invalid, match="nominal alpha"):
            fleiss_kappa([[2, 0], [1, 0]])

    def test_one_category_only_has_no_kappa(self) -> None:
        assert fleiss_kappa([[3, 0], [3, 0]]).kappa is None


class TestAlgorithmA:
    CREOSOTE = (24.140, 20.155, 19.500, 20.300, 20.705, 17.570, 20.100, 20.940, 21.185)

    def test_creosote_round_by_round(self) -> None:
        """ISO 5725-5 creosote means (data: documentation of the R package metRology); rounds recomputed."""
        r = algorithm_a(self.CREOSOTE)
        found = [tuple(None if v is None else round(v, 4) for v in step) for step in r.steps[:5]]

        assert found == [
            (None, None, 20.3, 0.9491),
            (18.8763, 21.7237, 20.3872, 0.9856),
            (18.9088, 21.8656, 20.4066, 1.0097),
            (18.8921, 21.9211, 20.4109, 1.0267),
            (18.8709, 21.9509, 20.4119, 1.0388),
        ]
        assert round(r.mean, 6) == 20.412143
        assert round(r.sd, 6) == 1.069840
        assert round(r.se, 4) == 0.4458
        assert r.converged
        assert [x for x, c in zip(self.CREOSOTE, r.clipped, strict=True) if c] == [24.140, 17.570]

    def test_a_second_set(self) -> None:
        """Seven values from a learned society's technical brief (from memory); results recomputed."""
        r = algorithm_a([4.5, 4.9, 5.6, 4.2, 6.2, 5.2, 9.9])

        assert (round(r.mean, 5), round(r.sd, 5)) == (5.38649, 1.14596)

    def test_equal_values_are_their_own_mean(self) -> None:
        r = algorithm_a([3.0, 3.0, 3.0])

        assert (r.mean, r.sd, r.converged) == (3.0, 0.0, True)

    def test_more_than_half_equal_still_feels_the_rest(self) -> None:
        r = algorithm_a([3.0, 3.0, 3.0, 3.5, 4.0])

        assert 3.0 < r.mean <= 3.3
        assert r.sd > 0

    def test_nothing_is_refused(self) -> None:
        with pytest.raises(Invalid, match="at least one value"):
            algorithm_a([])


def gauge_cube() -> np.ndarray:
    data = rows("gage_rr_10x3x3")
    cube = np.full((10, 3, 3), np.nan)
    for r in data:
        cube[int(r["part"]) - 1, "ABC".index(r["operator"]), int(r["trial"]) - 1] = float(r["value"])
    return cube


class TestGauge:
    """Automotive measurement-systems manual, 10 parts, 3 appraisers, 3 trials (data from memory)."""

    def test_analysis_of_variance(self) -> None:
        study = gauge_anova(gauge_cube())
        ss = [round(r.ss, 5) for r in study.rows]
        f = [round(r.f, n) for r, n in zip(study.rows[:3], (2, 2, 3), strict=True) if r.f is not None]

        assert ss == [88.36193, 3.16726, 0.35898, 2.75893, 94.64711]
        assert f == [492.29, 79.41, 0.434]
        assert study.interaction_pooled

    def test_components(self) -> None:
        study = gauge_anova(gauge_cube())
        percent, share = study.percent_of_total(), study.percent_of_variance()

        found = [round(s, 6) for s in (study.ev, study.av, study.grr, study.pv, study.tv)]
        assert found == [0.199933, 0.226838, 0.302372, 1.042327, 1.085300]
        assert percent is not None
        assert share is not None
        assert [round(p, 2) for p in percent.values()] == [18.42, 20.90, 27.86, 96.04]
        assert [round(p, 2) for p in share.values()] == [3.39, 4.37, 7.76, 92.24]
        assert study.distinct == 4

    def test_averages_and_ranges(self) -> None:
        study = gauge_ranges(gauge_cube())
        percent = study.percent_of_total()

        found = [round(s, 5) for s in (study.ev, study.av, study.grr, study.pv, study.tv)]
        assert found == pytest.approx([0.20186, 0.22967, 0.30577, 1.10460, 1.14613], abs=2e-4)
        assert percent is not None
        assert [round(p, 1) for p in percent.values()] == [17.6, 20.0, 26.7, 96.4]
        assert study.distinct == 5

    def test_the_constants_of_the_paper_form(self) -> None:
        """K1 0.5908 (3 trials), K2 0.5231 (3 appraisers), K3 0.3146 (10 parts): a blank public worksheet."""
        assert round(range_constant(3, single=False), 4) == 0.5908
        assert round(range_constant(3, single=True), 4) == 0.5231
        assert round(range_constant(10, single=True), 4) == 0.3146

    def test_a_perfect_gauge_tells_everything_apart(self) -> None:
        study = gauge_anova(np.broadcast_to(np.arange(4.0)[:, None, None], (4, 2, 2)))

        assert (study.grr, study.distinct) == (0.0, None)

    def test_a_gap_is_refused(self) -> None:
        cube = gauge_cube()
        cube[0, 0, 0] = np.nan
        with pytest.raises(Invalid, match="complete"):
            gauge_anova(cube)


def anaesthetists() -> Ratings:
    data = rows("dawid_skene_anaesthetists")
    readings = [
        (r["patient"].zfill(2), c[:2], float(r[c]))
        for r in data
        for c in ("o1a", "o1b", "o1c", "o2", "o3", "o4", "o5")
    ]
    return make_ratings([r[0] for r in readings], [r[1] for r in readings], [r[2] for r in readings])


class TestLatentClasses:
    """Dawid and Skene (1979), Applied Statistics 28:20–28."""

    def test_class_shares(self) -> None:
        """Printed .40 .42 .11 .07 (from memory); four digits and the likelihood recomputed by EM."""
        fit = latent_classes(anaesthetists())

        assert [round(s, 2) for s in fit.class_share] == [0.40, 0.42, 0.11, 0.07]
        assert [round(s, 4) for s in fit.class_share] == [0.4000, 0.4216, 0.1118, 0.0667]
        assert round(fit.log_likelihood, 4) == -190.7310
        assert fit.converged

    def test_error_rates(self) -> None:
        printed = {
            0: [[0.907, 0.093, 0, 0], [0.070, 0.877, 0.053, 0], [0, 0.339, 0.661, 0], [0, 0, 0.556, 0.444]],
            1: [[0.833, 0.167, 0, 0], [0.053, 0.633, 0.315, 0], [0, 0, 1, 0], [0, 0, 0, 1]],
            2: [[1, 0, 0, 0], [0.105, 0.789, 0.105, 0], [0, 0.404, 0.199, 0.398], [0, 0, 0.667, 0.333]],
            3: [[0.944, 0.056, 0, 0], [0.053, 0.843, 0.104, 0], [0, 0, 0.801, 0.199], [0, 0, 0.333, 0.667]],
            4: [[1, 0, 0, 0], [0.158, 0.735, 0.107, 0], [0, 0.209, 0.791, 0], [0, 0, 0.333, 0.667]],
        }
        fit = latent_classes(anaesthetists())

        for rater, rates in printed.items():
            np.testing.assert_allclose(fit.error_rates[rater], rates, atol=6e-4)

    def test_posteriors(self) -> None:
        fit = latent_classes(anaesthetists())

        np.testing.assert_allclose(fit.posterior, table("dawid_skene_posteriors"), atol=6e-4)
        assert round(fit.posterior[34, 1], 3) == 0.948
        assert round(fit.posterior[37, 2], 3) == 0.979

    def test_one_class_is_refused(self) -> None:
        with pytest.raises(Invalid, match="two different classes"):
            latent_classes(make_ratings(["a", "b"], ["x", "x"], [1.0, 1.0]))


class TestAgreedValue:
    def test_eight_coaching_studies(self) -> None:
        """Printed 7.7 with standard error 4.1 (Gelman and others, Bayesian Data Analysis)."""
        data = rows("eight_groups_pooling")
        a = agreed_value([float(r["estimate"]) for r in data], [float(r["standard_error"]) for r in data])

        assert (round(a.mean, 1), round(a.se, 1)) == (7.7, 4.1)
        assert (round(a.mean, 6), round(a.se, 6)) == (7.685617, 4.071919)
        assert (round(a.q, 5), a.df, a.between_variance) == (4.70708, 7, 0.0)

    def test_sources_that_disagree_widen(self) -> None:
        """Algebra: two estimates d apart with equal s have between-variance d²/2 − s²."""
        a = agreed_value([0.0, 4.0], [1.0, 1.0])

        assert a.between_variance == pytest.approx(4.0**2 / 2 - 1.0)
        assert a.random_se == pytest.approx((8.0 / 2) ** 0.5)

    def test_an_exact_statement_is_refused(self) -> None:
        with pytest.raises(Invalid, match="no statement is exact"):
            agreed_value([1.0], [0.0])


class TestReport:
    def test_seven_readings_of_the_anaesthetists(self) -> None:
        """Alpha over the seven readings: ordinal 0.79870, nominal 0.58576 (computed, nothing published)."""
        data = rows("dawid_skene_anaesthetists")
        long = [(r["patient"], c, float(v)) for r in data for c, v in r.items() if c != "patient"]
        ratings = make_ratings([r[0] for r in long], [r[1] for r in long], [r[2] for r in long])
        rng = np.random.default_rng(1)
        ordinal = agreement_report(ratings, level="ordinal", rng=rng, n_resamples=100)
        nominal = agreement_report(ratings, level="nominal", rng=rng, n_resamples=100)

        assert round(ordinal.alpha.alpha or 0, 5) == 0.79870
        assert round(nominal.alpha.alpha or 0, 5) == 0.58576
        assert ordinal.icc is not None
        assert ordinal.kendall_w is not None
        assert ordinal.precision is None
        assert set(ordinal.why_not) == {"precision"}
        assert set(nominal.why_not) == {"icc", "kendall_w", "precision"}

    def test_repeats_bring_precision_and_take_the_complete_table(self) -> None:
        report = agreement_report(coal(), level="interval", rng=np.random.default_rng(1), n_resamples=50)

        assert report.precision is not None
        assert set(report.why_not) == {"icc", "kendall_w"}
        assert report.n_repeats == 107 - 32

    def test_trials_with_another_steel_are_no_repeats(self) -> None:
        ratings = ratings_of_trials(
            ["K1", "K1", "K1"], ["ash", "ash", "ash"], ["white", "white", "blue"], [3.0, 3.5, 4.0]
        )

        assert ratings.units == ("K1 with blue", "K1 with white")
        assert ratings.n_repeats() == 1
