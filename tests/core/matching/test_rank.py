"""Ranking: probabilities against sampling from the same laws, what must never happen, and what is said of it."""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm
from tests.core.matching.laws import SCALES, a_wish, all_scales, blade, facts_of, same

from whetpanel.core.matching import WISHES, GrainEvidence, Matched, StoneLaws, Wish, match, needs
from whetpanel.core.matching.rank import needs_of
from whetpanel.core.steels import SteelMap

RNG = np.random.default_rng
DATA = Path(__file__).parents[2] / "data"
NEW = SteelMap("any", (), None)


def all_probabilities(found: Matched, n: int) -> np.ndarray:
    p = np.full(n, np.nan)
    p[found.order] = found.probability
    return p


def sampled(
    wish: Wish, maps: list[SteelMap], laws: dict[str, StoneLaws], n: int, rng: np.random.Generator
) -> np.ndarray:
    """How often all bands hold every blade's grade, drawing all that is unknown of each."""
    S = len(laws["fineness"].stones)
    ok = np.ones((S, n), dtype=bool)
    for scale, law in laws.items():
        K = len(law.steels)
        root = np.linalg.cholesky(law.cov)
        g = law.mean[:, :, None] + root @ rng.standard_normal((S, K + 1, n))
        for need in needs_of(wish, maps, laws):
            if need.scale != scale:
                continue
            one = maps[need.blade]
            if one.how == "same":
                drawn = g[:, law.steels.index(one.steels[0])]
            else:
                drawn = g[:, K] + np.sqrt(law.new_steel_var) * rng.standard_normal((S, n))
                # One untried steel has one departure on each scale, whichever of its blades is asked.
            ok &= (drawn > need.low) & (drawn < need.high)
    return ok.mean(1)


@pytest.mark.parametrize(
    "maps",
    [
        [same(0)],
        [NEW],
        [same(0), same(1)],
        [same(0), NEW],
        [same(0), same(1), same(2)],
        [same(0), same(1), NEW],
    ],
)
def test_the_stated_probability_is_that_of_sampling(maps: list[SteelMap]) -> None:
    """For one blade to three, tried and untried steels, within the sampling error of 20 000 draws."""
    laws = all_scales(30, RNG(4))
    blades = [
        blade(f"steel_{j}" if one.how == "same" else f"new_{j}", bevel="wide") for j, one in enumerate(maps)
    ]
    wish = a_wish(*blades)

    found = match(wish, maps, laws, facts_of(laws["fineness"]), limit=30)
    often = sampled(wish, maps, laws, 20_000, RNG(11))

    assert often == pytest.approx(all_probabilities(found, 30), abs=4 * 0.5 / np.sqrt(20_000) + 2e-3)


def test_one_blade_is_a_product_of_normal_areas() -> None:
    """By scipy.stats.norm: fineness 2.75 to 4.25, ease from 2.5 on, hardness 1.75 to 4.75; ends beyond the last grade
    of a scale are open, so a stone off the end of the scale is not ruled out."""
    laws = all_scales(40, RNG(1))

    found = match(a_wish(), [same(1)], laws, facts_of(laws["fineness"]), limit=40)

    expected = 1.0
    for scale, low, high in (("fineness", 2.75, 4.25), ("ease", 2.5, np.inf), ("hardness", 1.75, 4.75)):
        sd = np.sqrt(laws[scale].cov[:, 1, 1])
        expected = expected * (
            norm.cdf(high, laws[scale].mean[:, 1], sd) - norm.cdf(low, laws[scale].mean[:, 1], sd)
        )
    assert expected == pytest.approx(all_probabilities(found, 40), rel=1e-9)


def test_clipping_the_ends_instead_of_leaving_them_open_is_seen_to_fail() -> None:
    """A stone finer than the scale can say serves the finest wish; holding the band inside 5 would call it a miss."""
    laws = all_scales(1, RNG(2))
    law = laws["fineness"]
    fine = {**laws, "fineness": replace(law, mean=np.full_like(law.mean, 5.6))}

    right = match(a_wish(finish="polished"), [same(0)], fine, facts_of(law)).by_need[0][0]
    sd = np.sqrt(law.cov[0, 0, 0])
    clipped = norm.cdf(5.0, 5.6, sd) - norm.cdf(3.75, 5.6, sd)

    assert right > 0.99
    assert clipped < 0.2


def test_pruned_ranking_is_the_whole_ranking_cut_short() -> None:
    """Working out only stones that can still be among the best gives the same stones in the same order."""
    laws = all_scales(700, RNG(6))
    wish = a_wish(blade("a"), blade("b", "wide"), blade("c", "narrow"))
    maps = [same(0), same(1), same(2)]
    facts = facts_of(laws["fineness"])

    best = match(wish, maps, laws, facts, limit=10)
    everything = match(wish, maps, laws, facts, limit=700)

    assert everything.order[:10].tolist() == best.order.tolist()
    assert everything.probability[:10].tolist() == best.probability.tolist()
    assert (np.diff(everything.probability) <= 0).all()
    assert (everything.probability <= everything.by_blade[everything.order].min(1) + 3e-3).all()


def test_two_blades_of_one_steel_are_one_unknown() -> None:
    """Their bands are cut with each other, so serving both is serving the narrower, not the product of two."""
    laws = all_scales(20, RNG(7))
    twice = a_wish(blade("steel_0", "ordinary"), blade("steel_0", "wide"))
    once = a_wish(blade("steel_0", "wide"))
    facts = facts_of(laws["fineness"])

    both = all_probabilities(match(twice, [same(0), same(0)], laws, facts, limit=20), 20)
    wide = all_probabilities(match(once, [same(0)], laws, facts, limit=20), 20)

    # The wide bevel's band of stone hardness, 1.5 to 4, is cut by the ordinary one's, 1.75 to 4.75.
    assert (both <= wide + 1e-12).all()
    alone = match(twice, [same(0), same(0)], laws, facts, limit=20).by_blade
    assert (both > alone.prod(1) - 1e-12).all()


@settings(max_examples=40, deadline=None)
@given(
    low=st.floats(1.0, 4.5), width=st.floats(0.1, 3.0), more=st.floats(0.0, 2.0), less=st.floats(0.0, 2.0),
    seed=st.integers(0, 5),
)  # fmt: skip
def test_a_wider_band_is_never_less_likely(
    low: float, width: float, more: float, less: float, seed: int
) -> None:
    """Whichever way it widens, for a tried and an untried steel together."""
    laws = all_scales(8, RNG(seed))
    facts = facts_of(laws["fineness"])

    def p(a: float, b: float) -> np.ndarray:
        finish = replace(needs.FINISH["clean"], band=needs.Band(a, b, ""))
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(needs.FINISH, "clean", finish)
            wish = a_wish(blade("steel_0"), blade("other"))
            return all_probabilities(match(wish, [same(0), NEW], laws, facts, limit=8), 8)

    assert (p(low - less, low + width + more) >= p(low, low + width) - 1e-9).all()


def test_a_more_practised_hand_never_makes_a_stone_less_likely() -> None:
    """From learning over practised to experienced, and a wish waived is never worse than one kept."""
    laws = all_scales(60, RNG(9))
    facts = facts_of(laws["fineness"])

    def p(**changes: object) -> np.ndarray:
        return all_probabilities(match(a_wish(**changes), [same(0)], laws, facts, limit=60), 60)

    assert (p(skill="learning") <= p(skill="practised") + 1e-12).all()
    assert (p(skill="practised") <= p(skill="experienced") + 1e-12).all()
    for wish in WISHES:
        assert (p() <= p(waived=frozenset({wish})) + 1e-12).all(), wish


def test_what_to_relax_is_the_best_of_leaving_each_wish_out() -> None:
    """Each line is what matching again without that wish finds at the top; the most helpful stands first."""
    laws = all_scales(80, RNG(10))
    facts = [
        replace(one, price=50.0 + 5 * i, length_mm=120.0 + 2 * i)
        for i, one in enumerate(facts_of(laws["fineness"]))
    ]
    wish = a_wish(
        blade("steel_0"), blade("steel_1", "wide"), finish="polished", skill="learning", budget=80.0, currency="EUR",
        min_length_mm=250.0,
    )  # fmt: skip
    maps = [same(0), same(1)]

    found = match(wish, maps, laws, facts)

    assert 0.0 == found.probability[0]  # what is cheap enough is too short
    assert [one.probability for one in found.relaxed] == sorted(
        (o.probability for o in found.relaxed), reverse=True
    )
    for one in found.relaxed:
        if one.wish.startswith("blade:"):
            j = int(one.wish.removeprefix("blade:"))
            fewer = replace(wish, blades=tuple(b for i, b in enumerate(wish.blades) if i != j))
            again = match(fewer, [m for i, m in enumerate(maps) if i != j], laws, facts)
        else:
            again = match(replace(wish, waived=frozenset({one.wish})), maps, laws, facts)
        assert again.probability[0] == pytest.approx(one.probability, abs=1e-9), one.wish
        assert again.order[0] == one.stone or again.probability[0] == 0.0


def grain(um: float, n: int = 4, sd_octaves: float = 0.3) -> GrainEvidence:
    return GrainEvidence(n, float(np.log2(um)), sd_octaves**2 / n, 0)


def size_of(system: str, number: int) -> float:
    """Median or mean size in µm as the published tables print it (tests/data/SOURCES.md names them)."""
    name, column = {
        "jis": ("grit_jis_r6001_fine.csv", "d50_um"),
        "fepa_f": ("grit_fepa_f_micro.csv", "d50_um"),
        "fepa_p": ("grit_fepa_p.csv", "mean_um"),
    }[system]
    with (DATA / name).open(encoding="utf-8") as table:
        rows = {row["grade"].lstrip("#FP"): float(row[column]) for row in csv.DictReader(table)}
    return rows[str(number)]


@pytest.mark.parametrize(
    ("owned", "stone", "sensible"),
    [
        (("jis", 1000), ("jis", 3000), True),
        (("jis", 1000), ("jis", 1000), False),  # the same again
        (("jis", 1000), ("jis", 600), False),  # coarser
        (("jis", 240), ("jis", 6000), False),  # too much in one go
        (("fepa_p", 1000), ("jis", 1500), True),  # P1000 is 18.3 µm
        (
            ("fepa_f", 1000),
            ("jis", 1500),
            False,
        ),  # F1000 is 4.5 µm: the same number, and #1500 would be coarser
        (("jis", 1000), ("fepa_p", 1000), False),  # coarser by the table, though the numbers are alike
    ],
)
def test_the_step_from_the_stone_owned(
    owned: tuple[str, int], stone: tuple[str, int], sensible: bool
) -> None:
    """Sizes from the tables of JIS R 6001 (1987), FEPA 42-2 and FEPA 43-2; which step is sensible is common practice,
    no source. Going by the numbers alone would take the last three the other way round."""
    laws = all_scales(1, RNG(0))

    found = match(
        a_wish(owned_um=size_of(*owned)), [same(0)], laws,
        facts_of(laws["fineness"], grain=grain(size_of(*stone))),
    )  # fmt: skip

    assert bool(found.step[0] > 0.5) is sensible
    assert not found.estimated[0]


def test_an_unnoted_grain_is_read_off_the_fineness_of_others() -> None:
    """With enough noted stones a line in log2 µm; with too few the step is even odds, and both are said to be told."""
    laws = all_scales(40, RNG(12))
    law = laws["fineness"]
    true_um = 2.0 ** (5.5 - 1.2 * law.mean[:, 0])
    facts = [replace(one, grain=grain(true_um[i])) for i, one in enumerate(facts_of(law))]
    blind = [
        one if i else replace(one, grain=GrainEvidence(0, float("nan"), float("inf"), 0))
        for i, one in enumerate(facts)
    ]
    wish = a_wish(owned_um=2.5 * true_um[0])

    told = match(wish, [same(0)], laws, blind)
    few = match(wish, [same(0)], laws, facts_of(law)[:3])

    assert told.estimated.tolist() == [True] + [False] * 39
    assert told.step[0] == pytest.approx(match(wish, [same(0)], laws, facts).step[0], abs=0.2)
    assert [0.5, 0.5, 0.5] == few.step.tolist()


def test_bands_past_the_end_of_a_standard_have_no_size() -> None:
    """Half of the notes must have one, or the stone counts as unnoted; few notes never claim to be exact."""
    some = needs.grain_evidence([[1.0], [1.0, 1.0, 1.0], []], [0, 2, 3])

    assert [True, True, False] == [one.usable for one in some]
    assert all(one.var > 0.03 for one in some)


def test_scales_a_club_does_not_grade_ask_for_nothing() -> None:
    """Without an ease scale the hand is not weighed, and nothing fails."""
    laws = {name: law for name, law in all_scales(10, RNG(0)).items() if name != "ease"}

    found = match(a_wish(skill="learning"), [same(0)], laws, facts_of(laws["fineness"]))

    assert {"finish", "hardness"} == {need.wish for need in found.needs}
    assert 10 == found.order.size


def test_other_scales_than_one_to_five_stretch_the_bands() -> None:
    """A scale from 0 to 8 by ones: 2.75 of 1 to 5 stands at 3.5, and open ends stay open."""
    assert (3.5, 6.5) == needs.FINISH["clean"].band.on(0.0, 8.0)
    assert (5.5, np.inf) == needs.FINISH["polished"].band.on(0.0, 8.0)
    assert (2.75, 4.25) == needs.FINISH["clean"].band.on(1.0, 5.0)


@pytest.mark.parametrize(
    ("bevel", "hrc", "steel_class", "low", "high"),
    [
        ("ordinary", 60.0, "plain_carbon", 1.75, 4.75),
        ("ordinary", 64.0, "plain_carbon", 1.75, 4.25),  # hard steel wants a bond that gives up grains
        ("ordinary", 56.0, "stainless", 2.25, 4.75),  # soft steel a bond that holds them
        ("wide", 60.0, "plain_carbon", 1.5, 4.0),  # wide contact: softer
        ("narrow", 60.0, "powder", 2.5, 4.25),
    ],
)
def test_blade_and_steel_choose_the_hardness_of_the_stone(
    bevel: str, hrc: float, steel_class: str, low: float, high: float
) -> None:
    """The directions are general grinding practice (hard work, soft bond; wide contact, soft bond); the figures are the
    club's, common practice with no source."""
    need = needs.stone_hardness(blade("x", bevel, hrc), "knife", steel_class)

    assert (low, high) == (need.band.low, need.band.high)
    assert need.reasons
    assert needs.stone_hardness(blade("x", "narrow", 66.0), "razor", "plain_carbon").band.high is None


def test_every_table_has_its_purpose_bevel_and_words() -> None:
    """A wish can be told for every purpose, and every threshold says why it stands there."""
    for purpose in ("knife", "razor", "plane_iron"):
        assert [one for one in needs.FINISHES if one.purpose == purpose]
        assert all((purpose, bevel) in needs.STONE_FOR for bevel in needs.BEVELS)
    for band in (
        *(f.band for f in needs.FINISHES),
        *(s.band for s in needs.SKILLS),
        *needs.STONE_FOR.values(),
    ):
        assert band.reason.endswith(".")
        assert band.low is None or band.high is None or band.low < band.high
    assert {"fineness", "ease", "hardness"} == set(SCALES)
