"""The demo club is coherent with itself and with the trade's usual ranges, and the same on every run."""

import itertools
import re
import uuid
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from seed.findings import Finding
from seed.ids import demo_id
from seed.inspections import FOUND, SECOND, Look, looks
from seed.observations import JIS
from seed.records import Ids, check_stone_record, inspection_record, stone_record
from seed.scenario import BLADES, LOTS, PEOPLE, TESTERS
from seed.stones import BY_CODE, CHECK_STONES, STONES
from seed.trials import PURPOSES, SCALES, TEMPERS, Trial, trials, truth

LOOKS = tuple(looks())
TRIALS = trials()
KINDS = {"fissure", "inclusion", "line", "chip", "soft_spot", "stain"}
FOUND_ANYWHERE = [(look, finding) for look in LOOKS for finding in look.findings]

# g/cm³. Slate, chert and sandstone: ranges usually given, from memory. Novaculite: encyclopaedia article
# "Novaculite" (2.2–2.5). The other kinds: common practice, no source.
DENSITY = {
    "slate": (2.7, 2.8),
    "chert": (2.5, 2.65),
    "sandstone": (2.0, 2.6),
    "novaculite": (2.2, 2.5),
    "siltstone": (2.1, 2.6),
    "schist": (2.6, 2.9),
    "garnet_slate": (2.75, 3.1),
}


def misses(tester: str, scale: str, purpose: str | None = None) -> np.ndarray:
    """Grade minus truth for one tester's trials."""
    n = SCALES.index(scale)
    return np.array(
        [t.grades[scale] - t.truth[n] for t in TRIALS if t.tester == tester and purpose in (None, t.purpose)]
    )


def test_ids_are_unique_and_shaped_as_version_seven():
    """Every record has an id of its own, in the layout of RFC 9562, section 5.7."""
    ids = Ids("alderbeck")
    made = [
        *(ids.member(p) for p in PEOPLE),
        *(ids.lot(lot) for lot in LOTS),
        *(ids.stone(s) for s in STONES),
        *(ids.blade(b) for b in BLADES),
        *(ids.check_stone(BY_CODE[code]) for code in CHECK_STONES),
        *(ids.inspection(look) for look in LOOKS),
        *(ids.finding(look, n) for look in LOOKS for n in range(len(look.findings))),
        *(ids.trial(trial) for trial in TRIALS),
    ]

    assert len(made) == len(set(made))
    for one in map(uuid.UUID, made):
        assert (one.version, one.variant) == (7, uuid.RFC_4122)


def test_an_id_carries_its_moment_and_its_club():
    """RFC 9562: the first 48 bits are Unix milliseconds. Another club gets other ids."""
    at = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
    one, other = demo_id("alderbeck", "stone", "A", at), demo_id("elsewhere", "stone", "A", at)

    assert int(at.timestamp() * 1000) == uuid.UUID(one).int >> 80
    assert one != other
    assert one == demo_id("alderbeck", "stone", "A", at)


def test_codes_names_and_slots_are_unique():
    assert len(STONES) == len(BY_CODE) == len({s.code for s in STONES})
    assert len(PEOPLE) == len({p.key for p in PEOPLE})
    for tester, own in itertools.groupby(
        sorted(TRIALS, key=lambda t: (t.tester, t.started_at)), lambda t: t.tester
    ):
        for first, second in itertools.pairwise(own):
            assert first.finished_at <= second.started_at, f"{tester} would try two stones at once"


def test_the_club_is_as_large_as_a_club():
    """Some forty stones of seven kinds, eight testers, over three hundred trials, two check stones."""
    assert 38 <= len(STONES) <= 44
    assert set(DENSITY) == {s.kind for s in STONES}
    assert len(TESTERS) == 8
    assert len(TRIALS) >= 300
    assert {"knife", "razor", "plane_iron"} == {t.purpose for t in TRIALS}
    assert len(CHECK_STONES) == 2
    assert len({b.steel for b in BLADES}) >= 4
    assert (max(t.started_at for t in TRIALS) - min(t.started_at for t in TRIALS)).days > 180


@pytest.mark.parametrize("stone", STONES, ids=lambda s: s.code)
def test_stones_measure_like_stones(stone):
    """Densities in the usual range; bench stones at least 180 mm, hand and finger stones under 120 mm (common
    practice, no source: under about 100–120 mm a stone is a hand or finger stone)."""
    low, high = DENSITY[stone.kind]
    assert low <= stone.density <= high
    if stone.form == "bench":
        assert stone.length_mm >= 180
        assert 20 <= stone.thickness_mm <= 40
    if stone.form in ("hand", "finger"):
        assert stone.length_mm < 120
    if stone.mass_g is not None and stone.form == "bench" and stone.slip == 1:
        volume_cm3 = stone.length_mm * stone.width_mm * stone.thickness_mm / 1000
        assert stone.mass_g / volume_cm3 == pytest.approx(stone.density, rel=0.03)
    assert stone.lot in {lot.code for lot in LOTS}


@pytest.mark.parametrize(("look", "finding"), FOUND_ANYWHERE, ids=lambda x: getattr(x, "key", ""))
def test_every_finding_lies_on_its_face(look, finding):
    """Points within the face; a spot with room for its size; a trace of more than one point has a length."""
    half = 0.0 if len(finding.points) > 1 else (finding.size_mm or 0) / 2
    for x, y in finding.points:
        assert half <= x <= look.stone.length_mm - half
        assert half <= y <= look.stone.width_mm - half
    assert len(set(finding.points)) == len(finding.points)


def test_findings_of_every_kind_are_there():
    assert {finding.kind for _, finding in FOUND_ANYWHERE} == KINDS
    assert set(FOUND) <= set(BY_CODE)


def test_readings_lie_on_the_face_and_enough_of_them():
    """Fewer than three readings make no plane."""
    measured = [look for look in LOOKS if look.flatness_method]
    assert {"grid", "straightedge"} == {look.flatness_method for look in measured}
    for look in measured:
        assert len(look.readings) >= 3
        for x, y, _ in look.readings:
            assert 0 <= x <= look.stone.length_mm
            assert 0 <= y <= look.stone.width_mm


def test_wet_stones_weigh_more_than_dry_ones():
    weighed = [look for look in LOOKS if look.dry_mass_g is not None]
    assert weighed
    for look in weighed:
        assert look.wet_mass_g >= look.dry_mass_g


def test_every_grade_is_on_the_scale():
    """1 to 5 by half steps, for each of the three scales."""
    for trial in TRIALS:
        assert set(SCALES) == set(trial.grades)
        for grade in trial.grades.values():
            assert 1 <= grade <= 5
            assert grade * 2 == int(grade * 2)


def test_finish_bands_name_grits_of_the_standard():
    """JIS R 6001 fine grits end at #8000 (page on JIS R 6001 1987); nothing is claimed beyond."""
    bands = [t.observations["finish_band"] for t in TRIALS if "finish_band" in t.observations]
    for band in bands:
        assert band["low"] in JIS
        assert band["high"] in JIS
        assert band["low"] < band["high"] <= 8000


def test_testers_differ_as_they_are_said_to():
    """True severities differ, and so do grades: severe below, lenient above, the careless scattered most."""
    assert len({temper.severity for temper in TEMPERS.values()}) == len(TEMPERS)
    for scale in ("hardness", "fineness"):
        assert misses("gwenda", scale).mean() < -0.4
        assert misses("jonah", scale).mean() > 0.4
        assert abs(misses("chiyo", scale).mean()) < 0.2
        assert misses("bram", scale).std() > 2.5 * misses("chiyo", scale).std()
    lisbet = [t.grades["hardness"] for t in TRIALS if t.tester == "lisbet"]
    assert np.std(lisbet) < 0.3


def test_one_tester_drifts():
    """The later half of her trials is graded lower than the earlier half."""
    order = sorted((t for t in TRIALS if t.tester == "ines"), key=lambda t: t.started_at)
    miss = [t.grades["hardness"] - t.truth[0] for t in order]
    half = len(miss) // 2
    assert np.mean(miss[half:]) < np.mean(miss[:half]) - 0.3


def test_signs_go_with_the_stone():
    """Common practice, no source: hard stones hold the drop, darken the mud and answer late to the stroke."""

    def rank_agreement(name: str) -> float:
        pairs = [(t.stone.hardness, t.observations[name]) for t in TRIALS if name in t.observations]
        ranks = np.argsort(np.argsort(np.array(pairs), axis=0), axis=0)
        return float(np.corrcoef(ranks.T)[0, 1])

    assert rank_agreement("water_uptake_s") > 0.8
    assert rank_agreement("mud_shade") > 0.6
    assert rank_agreement("metal_share") > 0.6
    assert rank_agreement("strokes_to_mud") > 0.7
    assert rank_agreement("pressure_sensitivity") < -0.6


def test_check_stones_agree_with_the_truth():
    """The agreed grade is the mean truth over the reference steels, so that it anchors and does not pull."""
    for code, purpose_key in CHECK_STONES.items():
        stone = BY_CODE[code]
        purpose = next(p for p in PURPOSES if p.key == purpose_key)
        mean = np.mean([truth(stone, purpose, steel) for steel in purpose.steel], axis=0)
        agreed = check_stone_record(stone, Ids("alderbeck"))["grades"]
        for scale, value in zip(SCALES, mean, strict=True):
            assert value == pytest.approx(agreed[scale]["grade"], abs=1e-9)
        assert {t.tester for t in TRIALS if t.stone is stone and t.purpose == purpose_key} == set(TEMPERS)


def test_marked_faces_are_not_graded():
    """A stamp or natural skin is left alone: the other face is the working face."""
    for stone in STONES:
        assert stone.working_face not in {mark.face for mark in stone.marks}


def test_nobody_tries_a_stone_before_it_came_or_after_it_was_lapped():
    """A deeply lapped stone has only older trials, so that it asks for a confirming one."""
    received = {lot.code: lot.received_on for lot in LOTS}
    lapped = {s.code: s.day for s in SECOND if s.code in ("QUA-01", "BRI-03")}
    assert len(lapped) == 2
    for trial in TRIALS:
        assert trial.started_at.date() > received[trial.stone.lot]
        if trial.stone.code in lapped:
            assert trial.started_at.date() < lapped[trial.stone.code]


def test_blades_fit_their_trials():
    assert all(t.blade.form == t.purpose for t in TRIALS)


def test_one_trial_is_left_out_and_some_stones_have_none():
    assert sum(t.excluded for t in TRIALS) == 1
    tried = Counter(t.stone.code for t in TRIALS)
    assert set(BY_CODE) - set(tried)
    assert min(tried.values()) == 1


def test_the_same_every_time():
    """Built again from nothing, every record is equal: nothing hangs on the clock or on chance."""
    before = [(t.key, t.grades, t.observations, t.started_at) for t in TRIALS]
    trials.cache_clear()
    again: tuple[Trial, ...] = trials()
    ids = Ids("alderbeck")
    second: list[Look] = list(looks())

    assert before == [(t.key, t.grades, t.observations, t.started_at) for t in again]
    assert [inspection_record(a, ids, ()) for a in LOOKS] == [inspection_record(b, ids, ()) for b in second]


def test_records_are_plain_json():
    """Numbers, words and lists alone: numpy's own numbers would not travel."""
    import json

    ids, lots = Ids("alderbeck"), {lot.code: lot for lot in LOTS}
    json.dumps([stone_record(s, ids, lots, ()) for s in STONES])
    json.dumps([inspection_record(look, ids, ()) for look in LOOKS])
    json.dumps([t.observations | t.grades for t in TRIALS])


def test_quarries_are_marked_as_invented():
    assert all(re.search(r"\(invented\)$", lot.quarry) for lot in LOTS)


def test_a_finding_needs_its_place():
    """The record of a finding keeps every point in order."""
    finding = Finding("fissure", ((0, 1), (2, 3)))
    assert finding.as_record("x")["points"] == [{"x_mm": 0, "y_mm": 1}, {"x_mm": 2, "y_mm": 3}]


def test_the_readme_counts_right():
    """The numbers in seed/README.md are those of the scenario."""
    text = (Path(__file__).parents[2] / "seed" / "README.md").read_text(encoding="utf-8")
    words = {6: "six", 8: "eight", 9: "nine", 42: "forty-two"}

    assert f"{len(TRIALS)} trials" in text
    assert f"{words[len(STONES)]} stones" in text
    assert (
        f"{words[len(PEOPLE)]} members, {words[len(LOTS)]} lots, {words[len(BLADES)]} reference blades"
        in text
    )
